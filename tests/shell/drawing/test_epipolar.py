from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF
from PySide6.QtGui import QImage, QPainter

from deliverylab.shell.drawing.epipolar import (
    SightLine,
    paint_sight_lines,
    visible_part,
    words_place,
)
from deliverylab.shell.drawing.view_transform import ViewTransform

AREA = QRectF(0.0, 0.0, 400.0, 300.0)
AWAY = QPointF(-1e4, -1e4)


def _painted(*lines, pointer=AWAY):
    """Return what is painted over black, shape (300, 400), brightest channel."""
    image = QImage(400, 300, QImage.Format.Format_RGB32)
    image.fill(0)
    view = ViewTransform(400.0, 300.0, 400.0, 300.0, 1.0, 199.5, 149.5)
    painter = QPainter(image)
    paint_sight_lines(painter, lines, view, pointer, QRectF())
    painter.end()
    pixels = np.frombuffer(image.constBits(), np.uint8).reshape(300, 400, 4)
    return pixels[..., :3].max(axis=2)


def test_the_line_lies_where_it_is_told_within_its_band(qapp):
    line = SightLine(a=(0.0, 100.0), b=(399.0, 140.0), half_widths_px=(5.0, 15.0))
    painted = _painted(line)
    for x in (40, 200, 360):
        rows = np.flatnonzero(painted[:, x])
        middle = 100.0 + 40.0 * x / 399.0
        assert painted[:, x].argmax() == pytest.approx(middle, abs=1.5)
        half = 5.0 + 10.0 * x / 399.0
        assert (rows.min(), rows.max()) == pytest.approx((middle - half, middle + half), abs=2.5)


def test_a_gap_reaches_from_the_point_to_the_line(qapp):
    bare = SightLine(a=(0.0, 100.0), b=(399.0, 100.0), half_widths_px=(3.0, 3.0))
    off = SightLine(
        a=bare.a,
        b=bare.b,
        half_widths_px=(3.0, 3.0),
        placed=(150.0, 160.0),
        foot=(150.0, 100.0),
        gap_text="60 px off",
    )
    added = _painted(off).astype(int) - _painted(bare)
    assert (added[106:158, 148:153].max(axis=1) > 50).all()
    assert added[176:204, 120:180].any(), "its words stand beyond the point"
    assert not added[:94].any()


def test_a_line_without_length_is_left_out(qapp):
    line = SightLine(a=(50.0, 50.0), b=(50.0, 50.0), half_widths_px=(5.0, 5.0), text="nowhere")
    assert not _painted(line).any()


@pytest.mark.parametrize(
    ("line", "seen"),
    [
        ((-100.0, 50.0, 500.0, 50.0), (0.0, 50.0, 400.0, 50.0)),
        ((200.0, -50.0, 200.0, 150.0), (200.0, 0.0, 200.0, 150.0)),
        ((10.0, 10.0, 20.0, 20.0), (10.0, 10.0, 20.0, 20.0)),
        ((-10.0, 400.0, 500.0, 400.0), None),
        ((-200.0, 150.0, -10.0, 150.0), None),
    ],
)
def test_what_is_seen_of_a_line(line, seen):
    part = visible_part(QLineF(*line), AREA)
    if seen is None:
        assert part is None
    else:
        assert (part.x1(), part.y1(), part.x2(), part.y2()) == pytest.approx(seen)


SIZE = QSizeF(120.0, 16.0)


def _rect(at):
    return QRectF(
        at.x() - SIZE.width() / 2, at.y() - SIZE.height() / 2, SIZE.width(), SIZE.height()
    )


@pytest.mark.parametrize("ends", [(-50.0, 100.0, 450.0, 180.0), (450.0, 60.0, -50.0, 20.0)])
def test_words_stand_inside_at_an_end_beside_the_line(ends):
    line = QLineF(*ends)
    right = words_place(line, AREA, SIZE, ())
    left = words_place(line, AREA, SIZE, (_rect(right),))
    assert left.x() < 100.0
    assert right.x() > 300.0
    for at in (left, right):
        assert AREA.contains(_rect(at))
        for x in np.linspace(_rect(at).left(), _rect(at).right(), 9):
            y = line.pointAt((x - line.x1()) / line.dx()).y()
            assert abs(y - at.y()) > 8.0, "the line does not go through its words"


def test_words_are_left_out_where_all_is_taken_or_nothing_seen():
    line = QLineF(0.0, 100.0, 400.0, 120.0)
    assert words_place(line, AREA, SIZE, (AREA,)) is None
    assert words_place(QLineF(0.0, -50.0, 400.0, -10.0), AREA, SIZE, ()) is None


def test_an_upright_line_is_named_beside_it():
    at = words_place(QLineF(200.0, 0.0, 200.0, 300.0), AREA, SIZE, ())
    assert AREA.contains(_rect(at))
