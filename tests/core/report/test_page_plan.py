from __future__ import annotations

from deliverylab.core.model.plan import LIGHT_CAUTION, THROWS_CAUTION, Plan, Priority
from deliverylab.core.report.page_plan import page_plan, plan_item

KNEE = Priority(
    metric="lead_knee_flexion",
    event="release",
    way="less",
    value=54.0,
    u=1.0,
    target=45.0,
    cue="Push the ground away.",
)


def test_a_plan_says_until_when_and_in_which_order():
    told = page_plan(
        Plan(priorities=(KNEE,), recheck_date="2026-06-04", note=" Well done. "), "metric"
    )
    assert told.title == "Work on this until 4\u00a0June\u00a02026"
    assert told.note == "Well done."
    assert [item.cue for item in told.items] == ["Push the ground away."]
    assert page_plan(Plan(priorities=(KNEE,)), "metric").title == "Work on this"


def test_drills_that_load_the_arm_bring_their_caution():
    throws, towel = (
        Priority(metric="arm_slot", event="release", way="less", arm_load="throwing"),
        Priority(metric="elbow_flexion", event="release", way="less", arm_load="light"),
    )
    assert page_plan(Plan(priorities=(towel, throws)), "metric").cautions == (
        THROWS_CAUTION,
        LIGHT_CAUTION,
    )
    assert page_plan(Plan(priorities=(KNEE,)), "metric").cautions == ()


def test_without_anything_in_it_there_is_no_plan():
    assert page_plan(None, "metric") is None
    assert page_plan(Plan(recheck_date="2026-06-04", note=" "), "metric") is None


def test_where_it_was_and_where_it_shall_go_is_in_the_readers_units():
    aim = plan_item(KNEE, "metric").aim.replace("\u00a0", " ")
    assert aim == "Front knee bend at release: now 54° ± 2, aim for 45° or less"
    speed = Priority(
        metric="com_forward_speed", event="leg_lift", way="more", value=0.2, u=0.02, target=0.45
    )
    aim = plan_item(speed, "imperial").aim.replace("\u00a0", " ")
    assert aim == "Forward speed at leg lift: now 0.4 ± 0.1 mph, aim for 1.0 mph or more"


def test_without_numbers_or_cue_it_says_what_is_wanted():
    bare = Priority(metric="lead_knee_flexion", event="release", way="less")
    item = plan_item(bare, "metric")
    assert item.cue == "Front knee bend at release: straighter"
    assert item.aim == "Front knee bend at release"
    unknown = plan_item(Priority(metric="own_thing", way="more", target=1.0), "metric")
    assert unknown.cue == "own thing"
