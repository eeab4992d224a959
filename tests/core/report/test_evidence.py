from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.compare.parties import one_party
from deliverylab.core.report.content import compose
from deliverylab.core.report.courses import chosen_chart
from deliverylab.core.report.evidence import Evidence
from tests.core.report.laid_out import FIT, assert_part_laid_out


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
    assert_part_laid_out(part, fit, canvas, text_boxes)


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
