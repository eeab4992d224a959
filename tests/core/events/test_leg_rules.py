from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.events.leg_rules import Landing, foot_contact, foot_plant, landing, leg_lift
from tests.core.events.moving import courses, drawn

LEG = ("lead_knee", "lead_ankle", "lead_heel", "lead_toe")


@pytest.fixture(scope="module")
def truth():
    return drawn()


def landed(body, truth):
    return landing(body, truth.events["leg_lift"], truth.events["release"] - 0.01)


@pytest.mark.parametrize("sight", ["side", "end", "space"])
def test_leg_lift_is_where_the_knee_is_highest(truth, sight):
    found = leg_lift(courses(truth, sight, roles=LEG)).found
    # the quartic's own misfit on the figure's knee; spread between people is counted elsewhere
    assert found.time_s == pytest.approx(truth.events["leg_lift"], abs=0.004)


def test_noise_of_the_knee_is_stated(truth):
    errors, u = [], []
    for seed in range(60):
        found = leg_lift(courses(truth, roles=LEG, noise_m=0.008, seed=seed)).found
        errors.append(found.time_s)
        u.append(found.u_s)
    # 60 draws: a standard deviation is known to 9 %
    assert np.std(errors) == pytest.approx(np.mean(u), rel=0.25)


def test_a_knee_that_is_seen_on_one_side_only_gives_nothing(truth):
    after = truth.times_s > truth.events["leg_lift"]
    said = leg_lift(courses(truth, roles=LEG, rows=after))
    assert said.found is None
    assert said.why == "track the lead knee on its way up and down again"
    assert leg_lift(courses(truth, roles=("lead_toe",))).found is None


@pytest.mark.parametrize("hand", ["right", "left"])
def test_contact_comes_before_plant_and_both_near_the_truth(hand):
    truth = drawn(hand=hand)
    body = courses(truth, roles=LEG)
    when = landed(body, truth)
    contact, plant = foot_contact(body, when), foot_plant(body, when)
    # a level above the ground is reached early, by 6 ms both
    assert contact.found.time_s == pytest.approx(truth.events["foot_contact"], abs=0.008)
    assert plant.found.time_s == pytest.approx(truth.events["foot_plant"], abs=0.008)
    assert contact.found.time_s < plant.found.time_s


def test_without_heel_and_toe_the_ankle_tells_the_contact(truth):
    body = courses(truth, roles=("lead_knee", "lead_ankle"))
    contact = foot_contact(body, landed(body, truth))
    assert contact.rule == "foot_contact_by_ankle"
    # 8 ms early on this figure
    assert contact.found.time_s == pytest.approx(truth.events["foot_contact"], abs=0.010)
    assert "heel and toe" in foot_plant(body, landed(body, truth)).why


def test_a_landmark_that_sits_beside_the_joint_changes_nothing(truth):
    body = courses(truth, roles=LEG)
    moved = type(body)(
        body.sight,
        {
            role: type(each)(each.times_s, each.values + 0.03, each.half_width_s)
            for role, each in body.courses.items()
        },
    )
    when = landed(body, truth)
    assert foot_contact(moved, when).found.time_s == pytest.approx(
        foot_contact(body, when).found.time_s, abs=1e-6
    )


def test_a_rear_view_tells_the_plant_but_not_the_touch(truth):
    body = courses(truth, "end", roles=LEG)
    when = landing(body, truth.events["leg_lift"], None)
    assert isinstance(when, Landing)
    assert foot_contact(body, when).found is None
    assert foot_plant(body, when).found.time_s == pytest.approx(
        truth.events["foot_plant"], abs=0.008
    )
    assert "after leg lift" in landing(body, None, None)


def test_a_foot_that_is_not_seen_to_land_is_said(truth):
    before = truth.times_s < truth.events["foot_contact"] - 0.03
    on_its_way = courses(truth, roles=LEG, rows=before)
    assert landing(courses(truth, roles=("lead_knee",)), None, None).startswith("track the lead")
    standing = truth.times_s > truth.events["release"]
    assert "strides" in landing(courses(truth, roles=LEG, rows=standing), None, None)
    assert (
        landing(on_its_way, truth.events["leg_lift"], None) == "track the lead foot until it rests"
    )


def test_a_level_within_the_noise_tells_nothing(truth):
    body = courses(truth, roles=LEG, noise_m=0.05, seed=2)
    when = landed(courses(truth, roles=LEG), truth)
    # heel and toe lie 1 cm above their rest somewhere in the noise; the ankle comes from far off
    assert foot_contact(body, when).rule == "foot_contact_by_ankle"
    assert foot_plant(body, when).found is None
