from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.compare.parties import one_party
from deliverylab.core.report.blocks import Fit
from deliverylab.core.report.content import compose
from deliverylab.core.report.courses import chosen_chart
from deliverylab.core.report.evidence import Evidence

FIT = Fit(
    picture_height=90.0,
    n_rows=7,
    row_height=26.0,
    n_list_lines=5,
    chart_height=100.0,
    n_measured_lines=10,
    gap=15.0,
)


@pytest.fixture
def content(athlete, model, make_differences):
    chart = chosen_chart(athlete, model, [], "metric")

    def build(n_alike=6, n_hidden=6):
        found = make_differences(4, n_alike, n_hidden)
        return compose(one_party(athlete), one_party(model), found, chart=chart)

    return build


@pytest.mark.parametrize("chart_height", [0.0, 100.0])
@pytest.mark.parametrize("numbers", [(0, 0), (0, 9), (9, 0), (9, 9)])
def test_it_stays_within_its_height(content, canvas, text_boxes, numbers, chart_height):
    part, fit = Evidence(content(*numbers), 507.0), replace(FIT, chart_height=chart_height)
    part.draw(canvas, 44.0, 700.0, fit)
    boxes = text_boxes(canvas.finish())
    assert min(box.bottom for box in boxes) >= 700.0 - part.height(fit) - 0.5
    assert max(box.right for box in boxes) <= 551.5
    for number, box in enumerate(boxes):
        assert all(box.overlap(other) < 0.5 for other in boxes[number + 1 :]), box


def test_without_room_for_the_curve_three_columns_stand_side_by_side(content, canvas, text_boxes):
    part = Evidence(content(), 507.0)
    part.draw(canvas, 44.0, 700.0, replace(FIT, chart_height=0.0))
    tops = {
        box.text.strip(): box.top
        for box in text_boxes(canvas.finish())
        if box.text.strip()
        in {"No difference we can see", "Not shown, and why", "How it was measured"}
    }
    assert len(tops) == 3
    assert max(tops.values()) - min(tops.values()) < 2.0


def test_the_curve_has_its_place_where_there_is_room(content, canvas, page_text):
    Evidence(content(), 507.0).draw(canvas, 44.0, 700.0, FIT)
    assert "through the delivery" in page_text(canvas.finish())
