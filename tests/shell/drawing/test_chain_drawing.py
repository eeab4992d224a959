from __future__ import annotations

from itertools import combinations

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.chain_layout import chain_layout
from deliverylab.shell.drawing.chain_drawing import ALSO_HERE, STARTS_HERE, drawn, paint_chain
from deliverylab.shell.theme import theme
from tests.core.compare.chain_cases import FOOT, SLOW_START, compared, line_up

FULL = [
    *line_up(lead_foot_direction=0.0), compared(*SLOW_START, -3.0),
    compared("stride_length", "", -1.5), compared("lead_knee_extension", "", -2.0),
    compared("com_forward_speed_kept", "release", 2.0), compared("ball_speed", "", -1.5),
]  # fmt: skip


@pytest.fixture
def layout(qapp):
    return chain_layout(chain_of(FULL))


@pytest.mark.parametrize("width", [500.0, 760.0, 1400.0])
def test_no_two_boxes_overlap_and_all_lie_inside(layout, width):
    drawing = drawn(layout, width, "metric")
    assert len(drawing.boxes) == len(layout.nodes)
    for a, b in combinations(drawing.boxes, 2):
        assert not a.place.intersects(b.place)
    for box in drawing.boxes:
        assert box.place.left() >= 0.0
        assert box.place.right() <= width
        assert box.place.bottom() <= drawing.height
        assert box.place.top() >= drawing.columns[box.placed.column].bottom()


def test_columns_go_from_left_to_right_and_causes_stand_above(layout):
    drawing = drawn(layout, 900.0, "metric")
    lefts = [column.left() for column in drawing.columns]
    assert lefts == sorted(lefts)
    for cause, effect in layout.edges:
        a, b = drawing.boxes[cause], drawing.boxes[effect]
        if a.placed.column == b.placed.column:
            assert a.place.bottom() < b.place.top()


def test_words_wrap_and_the_number_stands_where_it_fits(layout):
    wide, narrow = drawn(layout, 1400.0, "metric"), drawn(layout, 460.0, "metric")
    assert all(len(box.name) == 1 for box in wide.boxes)
    assert any(len(box.name) > 1 for box in narrow.boxes)
    assert all(any(char.isdigit() for char in box.change[-1]) for box in wide.boxes)
    assert narrow.height > wide.height
    for box in narrow.boxes:
        assert " ".join(box.change).startswith(box.placed.node.difference.words[:4])


def test_the_start_that_carries_most_is_told_from_the_others(layout):
    starts = [placed.node.key for placed in layout.nodes if placed.is_start]
    assert len(starts) > 1
    drawing = drawn(layout, 1400.0, "metric", first=starts[1])
    flags = {box.placed.node.key: " ".join(box.flag) for box in drawing.boxes}
    assert flags[starts[1]] == STARTS_HERE
    assert flags[starts[0]] == ALSO_HERE
    assert sum(map(bool, flags.values())) == len(starts)


def test_the_box_under_a_point_is_found(layout):
    drawing = drawn(layout, 900.0, "metric")
    for number, box in enumerate(drawing.boxes):
        assert drawing.at(box.place.center()) == number
    assert drawing.at(QPointF(-5.0, -5.0)) is None


def test_arrows_and_the_box_in_hand_are_painted(qapp):
    layout = chain_layout(chain_of(line_up()))
    drawing = drawn(layout, 600.0, "metric")
    number = next(n for n, placed in enumerate(layout.nodes) if placed.node.key == FOOT)
    pictures = []
    for selected in (None, number):
        picture = QImage(600, round(drawing.height), QImage.Format.Format_RGB32)
        picture.fill(theme().colour("pane"))
        painter = QPainter(picture)
        paint_chain(painter, drawing, selected=selected, is_focused=True)
        painter.end()
        pictures.append(picture)
    first, second = drawing.boxes[number], drawing.boxes[number + 1]
    between = QPointF(
        first.place.center().x(), 0.5 * (first.place.bottom() + second.place.top() - 6.0)
    ).toPoint()
    ground = theme().colour("pane").rgb()
    assert pictures[0].pixel(between) != ground
    assert pictures[0] != pictures[1]
