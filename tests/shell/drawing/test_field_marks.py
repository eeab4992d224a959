from __future__ import annotations

import pytest
from PySide6.QtGui import QImage, QPainter

from deliverylab.shell.drawing.field_marks import (
    LONGEST,
    FieldMark,
    enlargement,
    paint_field_marks,
)
from deliverylab.shell.drawing.view_transform import ViewTransform

VIEW = ViewTransform(frame_width=640, frame_height=360, width=640, height=360).fitted()


def inks(marks) -> set[tuple[int, int]]:
    """Return the places that are painted on."""
    image = QImage(640, 360, QImage.Format.Format_RGB32)
    image.fill(0)
    painter = QPainter(image)
    paint_field_marks(painter, marks, VIEW)
    painter.end()
    return {(x, y) for x in range(640) for y in range(360) if image.pixel(x, y) & 0xFFFFFF}


@pytest.mark.parametrize(("gap_px", "times"), [(0.3, 100), (0.9, 20), (4.0, 10), (60.0, 1)])
def test_misses_are_enlarged_until_they_can_be_seen(gap_px, times):
    marks = [FieldMark(x_px=100.0, y_px=100.0, tag="1", projected_px=(100.0 + gap_px, 100.0))]
    assert enlargement(marks, 1.0) == times
    assert times == 1 or times * gap_px <= LONGEST


def test_nothing_is_enlarged_before_a_solve():
    assert enlargement([FieldMark(x_px=1.0, y_px=2.0, tag="1")], 1.0) == 1
    assert enlargement([], 1.0) == 1


def test_the_place_itself_stays_seen_and_the_number_stands_beside():
    painted = inks([FieldMark(x_px=319.5, y_px=179.5, tag="3")])
    at = VIEW.to_widget(319.5, 179.5).toPoint()
    assert (at.x(), at.y()) not in painted
    assert any(y < at.y() - 10 for _, y in painted)


def test_the_miss_points_to_where_the_solve_puts_the_point():
    at = VIEW.to_widget(319.5, 179.5)
    painted = inks(
        [FieldMark(x_px=319.5, y_px=179.5, tag="3", projected_px=(319.9, 179.5), is_worst=True)]
    )
    right = [x for x, y in painted if abs(y - at.y()) <= 1 and x > at.x() + 20]
    left = [x for x, y in painted if abs(y - at.y()) <= 1 and x < at.x() - 20]
    assert right
    assert not left


def test_numbers_of_neighbours_go_apart():
    pair = [FieldMark(x_px=300.0, y_px=180.0, tag="1"), FieldMark(x_px=312.0, y_px=180.0, tag="2")]
    painted = {x for x, _ in inks(pair)}
    left, right = VIEW.to_widget(300.0, 180.0).x(), VIEW.to_widget(312.0, 180.0).x()
    assert min(painted) < left - 15
    assert max(painted) > right + 15
