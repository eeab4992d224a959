from __future__ import annotations

import math

import msgspec
import pytest

from deliverylab.core.model.delivery import Mark
from deliverylab.core.vocabulary.field import BY_KEY
from deliverylab.core.workflow.space_clocks import body_facts, clock_by_marks, filmed_body
from tests.core.workflow.two_phones import solved_two_phones, two_phone_delivery

replace = msgspec.structs.replace
FIELD = BY_KEY["youth-46"]


def test_marks_of_several_events_are_averaged():
    side, rear = two_phone_delivery(2, rates=(240.0, 120.0)).delivery.cameras
    side = replace(side, marks={"release": Mark(time_s=1.0, u_s=0.003)})
    rear = replace(rear, marks={"release": Mark(time_s=0.6, u_s=0.004)})
    clock = clock_by_marks(side, rear)
    assert clock.events == ("release",)
    assert clock.offset_s == pytest.approx(0.4)
    assert clock.u_s == pytest.approx(0.005)
    assert clock_by_marks(side, replace(rear, marks={})) is None


def test_marks_that_contradict_each_other_widen_u():
    side, rear = two_phone_delivery(2, rates=(240.0, 120.0)).delivery.cameras
    first = {"leg_lift": Mark(time_s=1.0, u_s=0.003), "release": Mark(time_s=2.0, u_s=0.003)}
    second = {"leg_lift": Mark(time_s=0.9, u_s=0.004), "release": Mark(time_s=1.86, u_s=0.004)}
    clock = clock_by_marks(replace(side, marks=first), replace(rear, marks=second))
    assert clock.offset_s == pytest.approx(0.12)
    # 0.10 and 0.14: standard error of their mean
    assert clock.u_s == pytest.approx(0.02)


def test_slow_motion_is_taken_in_real_time():
    side, rear = two_phone_delivery(2, rates=(240.0, 120.0)).delivery.cameras
    slow = replace(rear.timing, stored_rate="30", capture_rate_hz=120.0)
    clock = clock_by_marks(
        replace(side, marks={"release": Mark(time_s=1.0, u_s=0.0)}),
        replace(rear, timing=slow, marks={"release": Mark(time_s=2.0, u_s=0.004)}),
    )
    assert clock.offset_s == pytest.approx(0.5)
    assert clock.u_s == pytest.approx(0.001)


def test_feet_stand_at_lift_and_plant_on_the_first_clips_clock():
    phones = two_phone_delivery(1)
    delivery = phones.delivery
    body = filmed_body(delivery, ["open-side", "rear"], FIELD)
    standing = dict(body.filmed.standing)
    drive = "right" if delivery.athlete.hand == "right" else "left"
    lift_s = delivery.cameras[0].marks["leg_lift"].time_s
    assert standing[f"{drive}_heel"] == pytest.approx(lift_s)
    assert len(standing) == 4
    # marked in the second clip alone: on the first one's clock all the same
    side, rear = delivery.cameras
    swapped = replace(
        delivery,
        cameras=(replace(side, marks={"release": side.marks["release"]}), rear),
    )
    there = dict(filmed_body(swapped, ["open-side", "rear"], FIELD).filmed.standing)
    assert there[f"{drive}_heel"] == pytest.approx(lift_s, abs=0.03)


def test_what_is_known_of_the_athlete():
    athlete = solved_two_phones().phones.delivery.athlete
    delivery = solved_two_phones().phones.delivery
    facts = body_facts(delivery, FIELD)
    assert facts.mound_height_m == FIELD.rubber_height_m
    assert facts.u_height_share == pytest.approx(
        math.hypot(0.015, athlete.u_height_m / athlete.height_m)
    )
    unknown = replace(delivery, athlete=replace(athlete, height_m=None))
    assert math.isnan(body_facts(unknown, FIELD).height_m)


def test_few_frames_leave_the_body_out():
    sparse = two_phone_delivery(5, only_events=True).delivery
    body = filmed_body(sparse, ["open-side", "rear"], FIELD)
    assert body.filmed is None
    assert body.missing == ()
    without = two_phone_delivery(5, only_events=True, is_marked=False).delivery
    assert filmed_body(without, ["open-side", "rear"], FIELD).missing == ("rear",)
