from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.space_sight import (
    NOT_SOLVED,
    ONE_CAMERA,
    OTHER_CAMERAS,
    SPACE_VIEW,
    SpaceSight,
    space_sight,
)
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.space import SetUpFinding
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from tests.core.metrics.solved import solved_delivery


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(5)


def test_it_is_remembered_for_the_very_delivery(solved):
    assert space_sight(solved.delivery) is space_sight(solved.delivery)
    other = replace(solved.delivery, notes="another")
    assert space_sight(other) is not space_sight(solved.delivery)


def test_it_says_why_nothing_can_be_told(solved):
    delivery = solved.delivery
    assert SpaceSight(replace(delivery, cameras=delivery.cameras[:1])).absence is ONE_CAMERA
    assert SpaceSight(replace(delivery, space=None)).absence is NOT_SOLVED
    renamed = (delivery.cameras[0], replace(delivery.cameras[1], name="other"))
    assert SpaceSight(replace(delivery, cameras=renamed)).absence is OTHER_CAMERAS
    finding = SetUpFinding(
        key="swapped",
        severity="refused",
        what="a and b are exchanged",
        where="rear",
        remedy="click",
    )
    refused = SpaceSight(replace(delivery, space=replace(delivery.space, findings=(finding,))))
    assert refused.absence.reason == "the cameras could not be solved: a and b are exchanged (rear)"
    assert refused.absence.remedy == "click"
    # nor is anything of it worked out, although its cameras are kept to be looked at
    assert refused.clips("right_wrist") == ()
    assert all(
        result.view != SPACE_VIEW for result in evaluate(refused.delivery) if result.is_shown
    )
    assert SpaceSight(delivery).absence is None


def test_landmarks_are_within_their_errors_of_the_joints(solved):
    """10 mm beside the joint along each axis in each camera, and 2 px: some 2 cm in space."""
    times_s = np.linspace(solved.truth.events["leg_lift"], solved.truth.events["release"], 20)
    start_s = solved.starts_s[0]
    found = SpaceSight(solved.delivery).places(times_s - start_s, 20.0).points.points_m
    true = solved.truth.motion.positions_at(times_s)
    gaps = np.stack([found[:, row] - true[key] for row, key in enumerate(LANDMARK_KEYS[:-1])])
    seen = gaps[np.isfinite(gaps).all(axis=-1)]
    assert len(seen) > 300
    assert np.sqrt(np.mean(np.sum(seen**2, axis=-1))) < 0.03


def test_marks_of_two_clips_are_averaged_by_their_u(solved):
    side, rear = solved.delivery.cameras
    shift_s = solved.delivery.space.camera(rear.name).offset_s
    marks = {"release": Mark(time_s=side.marks["release"].time_s - shift_s + 0.004, u_s=0.004)}
    first = {**side.marks, "release": Mark(time_s=side.marks["release"].time_s, u_s=0.004)}
    delivery = replace(
        solved.delivery, cameras=(replace(side, marks=first), replace(rear, marks=marks))
    )
    instant = SpaceSight(delivery).instant("release")
    assert instant.time_s == pytest.approx(side.marks["release"].time_s + 0.002, abs=1e-5)
    assert instant.u_s == pytest.approx(0.004 / np.sqrt(2.0), rel=0.01)
    assert SpaceSight(delivery).instant("finish") == SpaceSight(solved.delivery).instant("finish")


def test_one_rule_seen_from_two_clips_is_no_surer_than_from_one(solved):
    side, rear = solved.delivery.cameras
    shift_s = solved.delivery.space.camera(rear.name).offset_s
    at_s = side.marks["release"].time_s

    def sight(first: str, second: str, u_rear_s: float = 0.004) -> SpaceSight:
        marks = {
            side.name: {"release": Mark(time_s=at_s, u_s=0.004, origin=first)},
            rear.name: {"release": Mark(time_s=at_s - shift_s, u_s=u_rear_s, origin=second)},
        }
        cameras = tuple(replace(one, marks=marks[one.name]) for one in (side, rear))
        return SpaceSight(replace(solved.delivery, cameras=cameras))

    seen = sight("seen", "seen").instant("release").u_s
    assert sight("seen", "suggested").instant("release").u_s == pytest.approx(seen)
    assert sight("suggested", "suggested").instant("release").u_s == pytest.approx(0.004, rel=1e-3)
    surer = sight("suggested", "suggested", 0.002).instant("release").u_s
    assert surer == pytest.approx(0.002, rel=0.01)


def test_an_unmarked_event_is_none_and_a_stand_in_serves(solved):
    side, rear = solved.delivery.cameras
    marks = {"foot_contact": side.marks["foot_contact"]}
    sight = SpaceSight(replace(solved.delivery, cameras=(replace(side, marks=marks), rear)))
    assert sight.instant("release") is None
    assert sight.instant("foot_plant").event == "foot_contact"
