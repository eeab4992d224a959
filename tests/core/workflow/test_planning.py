from __future__ import annotations

import datetime as dt

import pytest
from msgspec.structs import replace

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.drills import DRILLS, NO_AIM
from deliverylab.core.compare.link_rows import less, more
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.library import Cue, Drill, Library
from deliverylab.core.model.plan import Plan, Priority
from deliverylab.core.workflow import planning
from deliverylab.core.workflow.planning import (
    cue_for,
    plan_cautions,
    priority_for,
    suggested_plan,
    target_of,
    with_drill,
)
from tests.core.compare.chain_cases import FOOT, TRUNK, compared, line_up

TODAY = dt.date(2026, 5, 14)
ADULT = Athlete(name="Ana", birth_year=1999)
NOBODY = Library()


def plan_of(differences, library=NOBODY, athlete=ADULT):
    a = Delivery(name="Ana 1", athlete=athlete, cameras=())
    return suggested_plan(a, chain_of(differences), library, today=TODAY)


def keys(plan):
    return [priority.key for priority in plan.priorities]


def test_the_start_of_the_chain_comes_first_and_what_follows_from_it_does_not():
    plan = plan_of([*line_up(), compared("glove_tuck_time", "", -1.5)])
    assert keys(plan) == [FOOT, ("glove_tuck_time", "")]
    assert plan.recheck_date == "2026-06-04"
    first = plan.priorities[0]
    # 3 U below the partner's 20: more is wanted
    assert (first.way, first.value, first.partner) == ("more", 14.0, 20.0)
    assert first.u == pytest.approx(0.7)
    assert first.cue
    assert first.drill


def test_nothing_clear_is_a_plan_of_nothing():
    assert plan_of([compared(*FOOT, 0.4)]) == Plan()
    assert plan_of([]) == Plan()


def test_what_is_nothing_to_aim_at_is_not_suggested():
    clear = [
        compared("trunk_lateral_tilt", "release", 3.0),
        compared("max_external_rotation", "", -3.0),
        compared("lead_knee_height", "leg_lift", 3.0),
        # a way that nobody is asked to go
        compared("separation", "foot_contact", 3.0),
    ]
    assert plan_of(clear) == Plan()


def test_where_the_start_is_no_aim_the_first_that_follows_is_taken():
    # nobody is asked for less separation; what follows from it can be worked on
    differences = [
        compared("separation", "foot_contact", 4.0),
        compared("trunk_forward_tilt", "release", 2.0),
    ]
    assert chain_of(differences).starts[0].node.metric == "separation"
    assert keys(plan_of(differences)) == [TRUNK]


def test_three_at_most_and_one_thing_once():
    alone = [
        compared("stride_offset", "", 2.0),
        compared("elbow_flexion", "foot_contact", 2.5),
        compared("contact_to_release_time", "", 2.0),
        compared("shoulder_abduction", "foot_contact", -2.0),
        compared("horizontal_abduction", "foot_contact", -2.0),
    ]
    plan = plan_of(alone)
    assert len(plan.priorities) == 3
    # both are reached by the same words
    twice = [compared("trunk_forward_tilt", "foot_contact", 2.0), *line_up()]
    twice.append(compared("trunk_forward_tilt", "foot_plant", 2.0))
    found = plan_of(twice).priorities
    assert len({one.metric for one in found}) == len({one.cue for one in found}) == len(found)


def test_a_clear_difference_that_is_small_among_pitchers_is_no_priority():
    small = replace(compared("stride_length", "", -2.0), yardstick=4.2, score=0.1)
    assert plan_of([small]) == Plan()
    assert keys(plan_of([replace(small, score=0.9)])) == [("stride_length", "")]
    # nor is one that only an athlete who throws very much alike makes look large: 0.6 of 4.2 is
    alike = replace(small, d=-0.6, u=0.1, yardstick=0.3, score=2.0)
    assert plan_of([alike]) == Plan()


def test_the_instructors_own_come_first():
    end = more(*FOOT)
    cue = Cue(metric=end.metric, event=end.event, way="more", text="Toes in.")
    own = Drill(
        name="Mine", serves=(end,), how="Do it. 2 × 5.", arm_load="throwing", caution="Mind."
    )
    first = plan_of(line_up(), Library(cues=(cue,), drills=(own,))).priorities[0]
    assert (first.cue, first.drill, first.how) == ("Toes in.", "Mine", own.how)
    assert (first.arm_load, first.caution) == ("throwing", "Mind.")


def test_a_small_gap_is_asked_for_whole_a_large_one_half():
    near = compared("stride_length", "", -2.0)  # 4 below 20, within 6
    assert target_of(near) == 20.0
    far = compared("stride_length", "", -5.0)  # 10 below
    assert target_of(far) == 15.0
    assert target_of(compared("stride_length", "", 5.0)) == 25.0
    # half of it would drown in U(d) = 2 u: then the whole
    assert target_of(replace(far, u=3.0)) == 20.0


def test_a_target_is_round_and_never_behind_the_value():
    knee = compared("lead_knee_flexion", "release", 2.0)
    a, b = replace(knee.a, value=40.4), replace(knee.b, value=37.7)
    assert target_of(replace(knee, a=a, b=b)) == 38.0
    near = replace(knee, a=replace(a, value=40.4), b=replace(b, value=40.3))
    assert target_of(near) == 40.0
    assert target_of(replace(knee, a=replace(a, value=39.8), b=replace(b, value=39.6))) == 39.6


def test_what_is_not_clear_or_no_aim_has_no_target():
    assert target_of(compared("stride_length", "", 0.5)) is None
    assert target_of(compared("stride_length", "", None)) is None
    for metric in NO_AIM:
        event = planning.metric(metric).result_events
        assert target_of(compared(metric, event[0] if event else "", 3.0)) is None


def test_an_instructor_may_choose_what_the_program_would_not():
    found = priority_for(compared("trunk_lateral_tilt", "release", 3.0), NOBODY)
    assert found.target is None
    assert found.cue
    assert found.drill
    bare = priority_for(compared("lead_knee_height", "leg_lift", 3.0), NOBODY)
    assert (bare.cue, bare.drill) == ("", "")


def test_another_drill_brings_all_that_belongs_to_it():
    plain = Priority(metric="stride_length", way="more", drill="Old", how="old", caution="old")
    found = with_drill(plain, DRILLS[0])
    assert (found.drill, found.how) == (DRILLS[0].name, DRILLS[0].how)
    assert (found.arm_load, found.caution) == (DRILLS[0].arm_load, DRILLS[0].caution)


def test_the_wording_for_minors_serves_where_the_age_is_not_known():
    end = more("lead_knee_extension")
    adult = cue_for(end, NOBODY, is_minor=False)
    assert cue_for(end, NOBODY, is_minor=True) == cue_for(end, NOBODY) != adult
    same = less("stride_offset")
    assert cue_for(same, NOBODY, is_minor=True) == cue_for(same, NOBODY, is_minor=False)
    assert cue_for(more("ball_speed"), NOBODY) == ""


def test_cautions_follow_what_is_done_and_who_does_it():
    def cautions(*loads, birth_year=1999):
        ways = ("stride_length", "separation", "arm_slot")
        priorities = tuple(
            Priority(metric=metric, way="more", arm_load=load)
            for metric, load in zip(ways, loads, strict=False)
        )
        athlete = Athlete(name="Ana", birth_year=birth_year)
        return plan_cautions(Plan(priorities=priorities), athlete, TODAY)

    assert cautions() == ()
    assert cautions("none") == (planning.PAIN_CAUTION,)
    assert cautions("throwing", "light") == (
        planning.THROWS_CAUTION,
        planning.LIGHT_CAUTION,
        planning.PAIN_CAUTION,
    )
    assert cautions("none", birth_year=2012)[-1] == planning.MINOR_CAUTION
    assert cautions("none", birth_year=None)[-1] == planning.UNKNOWN_AGE_CAUTION
