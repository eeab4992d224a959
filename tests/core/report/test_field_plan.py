from __future__ import annotations

import itertools

import pytest

from deliverylab.core.report.field_layout import TARGET_X_M, field_layout
from deliverylab.core.report.field_plan import draw_detail, draw_plan, fitted_plan
from deliverylab.core.report.sketch import Cell
from deliverylab.core.vocabulary.field import FIELDS

CELL = Cell(60.0, 500.0, 245.0, 220.0)
DETAIL = Cell(60.0, 500.0, 124.0, 140.0)
QUESTIONS = list(
    itertools.product(
        [size.key for size in FIELDS], ["left", "right"], ["metric", "imperial"], [5.0, 6.0, 15.0]
    )
)


def test_a_plan_holds_its_stretch_at_one_scale():
    plan = fitted_plan(CELL, ahead_m=3.0, behind_m=6.0, left_m=3.0, right_m=7.0)
    corners = [plan.place(x, y) for x in (3.0, -6.0) for y in (3.0, -7.0)]
    for x, y in corners:
        assert CELL.left - 1e-9 <= x <= CELL.left + CELL.width + 1e-9
        assert CELL.bottom - 1e-9 <= y <= CELL.bottom + CELL.height + 1e-9
    (left, top), (right, _), (_, bottom), _ = corners
    assert (right - left) / 10.0 == pytest.approx((top - bottom) / 9.0)
    assert (right - left) / 10.0 == pytest.approx(min(245.0 / 10.0, 220.0 / 9.0))


def test_the_plate_is_up_and_the_pitchers_left_is_left():
    plan = fitted_plan(CELL, ahead_m=3.0, behind_m=3.0, left_m=3.0, right_m=3.0)
    x, y = plan.place(0.0, 0.0)
    assert plan.place(TARGET_X_M, 0.0)[1] > y
    assert plan.place(0.0, 1.0)[0] < x


def _clear(boxes, cell):
    for number, box in enumerate(boxes):
        assert box.left >= cell.left, box
        assert box.right <= cell.left + cell.width, box
        assert box.bottom >= cell.bottom, box
        assert box.top <= cell.bottom + cell.height, box
        for other in boxes[number + 1 :]:
            assert box.overlap(other) < 0.6, (box, other)


@pytest.mark.parametrize(("key", "hand", "system", "distance_m"), QUESTIONS)
def test_words_of_the_plan_stand_clear(canvas, text_boxes, key, hand, system, distance_m):
    draw_plan(canvas, field_layout(key, hand, distance_m, distance_m), system, CELL)
    boxes = text_boxes(canvas.finish())
    said = {box.text.strip() for box in boxes}
    assert {"rear phone, 2×", "side phone, 2×"} <= said or distance_m < 9.0
    _clear(boxes, CELL)


@pytest.mark.parametrize("distances", [(5.0, 15.0), (15.0, 5.0)])
@pytest.mark.parametrize("hand", ["left", "right"])
def test_phones_may_stand_at_different_distances(canvas, text_boxes, hand, distances):
    draw_plan(canvas, field_layout("baseball", hand, *distances), "imperial", CELL)
    _clear(text_boxes(canvas.finish()), CELL)


@pytest.mark.parametrize("key", [size.key for size in FIELDS])
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_the_detail_says_how_cones_are_taped(canvas, text_boxes, page_text, key, system):
    draw_detail(canvas, field_layout(key, "right"), system, DETAIL)
    pdf = canvas.finish()
    _clear(text_boxes(pdf), DETAIL)
    ahead, beside = {"metric": ("2.00 m", "0.80 m"), "imperial": ("6 ft 6¾ in", "2 ft 7½ in")}[
        system
    ]
    said = page_text(pdf)
    assert said.count(beside) == 2
    assert said.count(ahead) == 1
