from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.compare.parties import one_party
from deliverylab.core.report.content import compose
from deliverylab.core.report.page_plan import PagePlan, PlanItem
from deliverylab.core.report.plan_panel import IN_FULL, PlanPanel
from tests.core.report.laid_out import FIT

SHORT = PlanItem(cue="Drift early.", aim="Forward speed at leg lift: aim for 0.3 m/s or more")
LONG = PlanItem(
    cue="Let the hips drift to the plate before the front knee is at the top, " * 2,
    aim=SHORT.aim,
    drill="Slow drift to the wall",
    how="Stand a step from a wall and let the hip touch it before the foot lands. " * 4,
    caution="Stop at the first pain, and count these throws with all the others.",
)


@pytest.fixture
def panel(athlete, model):
    content = compose(one_party(athlete), one_party(model), [])

    def build(*items, note=""):
        plan = PagePlan(title="Work on this until 4 June 2026", items=items, note=note)
        return PlanPanel(replace(content, plan=plan), 507.0)

    return build


@pytest.mark.parametrize("n_lines", [1, 2, 4, 8])
@pytest.mark.parametrize("items", [(SHORT,), (LONG,), (LONG, SHORT, LONG)])
def test_it_stays_within_its_panel(panel, canvas, text_boxes, items, n_lines):
    fit = replace(FIT, n_plan_lines=n_lines)
    part = panel(*items, note="Come again. " * 20)
    part.draw(canvas, 44.0, 700.0, fit)
    boxes = text_boxes(canvas.finish())
    assert max(box.top for box in boxes) <= 700.0 - 4.0
    assert min(box.bottom for box in boxes) >= 700.0 - part.height(fit) + 4.0
    assert max(box.right for box in boxes) <= 551.0 - 8.0
    for number, box in enumerate(boxes):
        assert all(box.overlap(other) < 0.5 for other in boxes[number + 1 :]), box


def test_what_is_cut_says_where_it_stands_in_full(panel, canvas, page_text):
    panel(LONG).draw(canvas, 44.0, 700.0, replace(FIT, n_plan_lines=2))
    said = page_text(canvas.finish())
    assert IN_FULL in said
    assert "…" in said


def test_what_to_mind_is_kept_before_how_it_is_done(panel, canvas, page_text):
    panel(LONG).draw(canvas, 44.0, 700.0, replace(FIT, n_plan_lines=3))
    assert f"Mind: {LONG.caution}" in page_text(canvas.finish())


def test_with_room_all_is_said(panel, canvas, page_text):
    panel(LONG, SHORT, note="Well done.").draw(canvas, 44.0, 700.0, replace(FIT, n_plan_lines=12))
    said = page_text(canvas.finish())
    for text in (
        LONG.how.strip(),
        LONG.caution,
        "Drill: Slow drift to the wall",
        "Well done.",
        "1",
    ):
        assert text in said
    assert IN_FULL not in said


def test_without_a_plan_it_takes_no_room(athlete, model):
    content = compose(one_party(athlete), one_party(model), [])
    assert PlanPanel(content, 507.0).height(FIT) == 0.0
