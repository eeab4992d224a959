from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.metrics.catalogue import PHASES
from deliverylab.core.metrics.spec import Contribution
from deliverylab.core.model.plan import Plan, Priority
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.report.page_chain import page_chain
from deliverylab.core.report.page_plan import page_plan
from deliverylab.core.report.sheet_content import SheetEntry, sheet_content
from deliverylab.core.report.sheet_rows import sections_of
from tests.core.compare.chain_cases import line_up


@pytest.fixture(scope="module")
def content(athlete, model):
    record = ProjectRecord(deliveries=(athlete, model))
    return sheet_content(record, athlete.name, model.name)


def said(piece):
    rows = getattr(piece, "rows", (piece,))
    return " | ".join(cell.text for row in rows for cell in row.cells)


def section(content, title):
    return next(each for each in sections_of(content, 507.0) if each.title == title)


def test_each_result_has_its_entry_once(content):
    results = [section(content, f"Results: {phase}") for phase in PHASES]
    assert sum(len(each.pieces) for each in results) == len(content.entries)


def test_a_shown_result_has_value_u_k_and_its_largest_parts(content, make_result):
    budget = (
        Contribution("cameras", 0.8, event="release"),
        Contribution("placing the landmarks", 0.5, landmark="lead_knee", event="foot_contact"),
        Contribution("timing of the event", 0.3),
        Contribution("smoothing", 0.1),
        Contribution("segment weights", 0.01),
    )
    shown = make_result(value=25.0, u=1.0, budget=budget)
    hidden = make_result(
        status="not_shown", value=None, u=None, reason="no rear view", remedy="film it"
    )
    told = said(
        section(
            replace(content, entries=(SheetEntry(mine=shown, theirs=hidden, difference=None),)),
            "Results: release",
        ).pieces[0]
    )
    assert "Trunk forward tilt at release (on the page: upper body lean)" in told
    assert "25° ± 2 | 1.0 | 2.00" in told
    assert "measured, camera “side”, open side: cameras 65" in told
    assert "placing the lead knee at foot contact 25" in told
    # 0.1² of 0.9901 is 1 %, 0.01² is nothing worth a word
    assert "1 more." in told
    assert "not shown | No rear view. What would help: film it." in told


def test_a_difference_has_its_yardstick_and_rank(content, make_difference):
    d = make_difference(
        "stride_length", "", 70.0, 85.0, rank=1,
    )  # fmt: skip
    d = type(d)(**{f: getattr(d, f) for f in d.__struct_fields__} | {
        "yardstick": 4.2, "yardstick_source": "spread between college pitchers", "score": 3.571,
        "n_a": 3,
    })  # fmt: skip
    one = replace(
        content, differences=(d,), entries=(SheetEntry(mine=d.a, theirs=d.b, difference=d),)
    )
    told = said(section(one, "Results: stride").pieces[0])
    assert "clear: shorter, rank 1; 3.57 times 4.20 % of height, spread between" in told
    assert "means of 3 and 1." in told
    ranked = said(section(one, "Clear differences by rank").pieces[0])
    assert ranked.startswith(
        "1 | Stride from leg lift to foot plant: shorter | 15.0 ± 2.8 % of height"
    )


def test_the_plan_stands_in_full_and_links_with_their_source(content):
    plan = Plan(
        priorities=(
            Priority(metric="arm_slot", event="release", way="less", cue="Stay tall", drill="Wall",
                     how="Slowly. " * 40, caution="No ball."),
        ),
        note="Well done.",
    )  # fmt: skip
    told = page_chain(line_up())
    full = replace(content, plan=page_plan(plan, "metric"), chain=told.chain)
    work = " ".join(said(piece) for piece in section(full, "What to work on").pieces)
    for text in (
        "1 Stay tall",
        "Drill: Wall",
        ("Slowly. " * 40).strip(),
        "Mind: No ball.",
        "Well done.",
    ):
        assert text in " ".join(work.split())
    links = [said(piece) for piece in section(full, "What goes together with what").pieces]
    assert links[0].startswith("Starts with front foot direction at foot plant (")
    assert any("→" in text and "common practice, strength 0.6" in text for text in links)


def test_marks_have_their_uncertainty(content, athlete):
    pieces = section(content, "Events as marked").pieces
    assert len(pieces) == sum(
        len(camera.marks)
        for d in (*content.a.deliveries, *content.b.deliveries)
        for camera in d.cameras
    )
    # 120 pictures a second: T/√12 = 2.4 ms
    assert "2.4 ms" in said(pieces[0])
