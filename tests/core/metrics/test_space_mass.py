from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.body_mass import mass_centre
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.remedies import CAMERAS
from deliverylab.core.metrics.space_mass import SpaceMotion
from deliverylab.core.metrics.space_sight import SPACE_VIEW, SpaceSight
from deliverylab.core.model.delivery import Mark
from deliverylab.core.synthetic.field_filming import FieldCare
from tests.core.metrics.solved import solved_delivery, true_points_m

STEP_S = 1e-3


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(2003, care=FieldCare(bias_m=0.010 / math.sqrt(3.0)))


@pytest.fixture(scope="module")
def results(solved):
    return {(r.metric, r.event): r for r in evaluate(solved.delivery)}


def _true_velocity(solved, event):
    time_s = solved.truth.events[event]
    pose = SpaceSight(solved.delivery).pose(
        true_points_m(solved, [time_s - STEP_S, time_s + STEP_S])
    )
    before, after = mass_centre(pose)
    return (after - before) / (2.0 * STEP_S)


@pytest.mark.parametrize("event", ["leg_lift", "foot_contact", "release"])
def test_the_bodys_speed_is_within_its_interval(solved, results, event):
    result = results["com_forward_speed", event]
    assert result.view == SPACE_VIEW
    assert result.value == pytest.approx(_true_velocity(solved, event)[0], abs=result.expanded_u)


def test_the_mean_push_follows_newtons_second_law(solved, results):
    """Mean force over mass = change of velocity over time, plus gravity (Newton)."""
    events = solved.truth.events
    change = _true_velocity(solved, "foot_contact") - _true_velocity(solved, "leg_lift")
    mean = change / (events["foot_contact"] - events["leg_lift"])
    true_deg = math.degrees(math.atan2(mean[0], mean[2] + 9.80665))
    result = results["support_force_direction", ""]
    assert result.status == "estimated"
    assert result.value == pytest.approx(true_deg, abs=result.expanded_u)


def test_the_cameras_are_part_of_it_and_need_no_scale(solved, results):
    assert all(camera.scale is None for camera in solved.delivery.cameras)
    budget = results["com_forward_speed", "foot_contact"].budget
    assert CAMERAS in {part.source for part in budget}


def test_without_marks_or_the_whole_body_it_says_so(solved):
    side, rear = solved.delivery.cameras
    marks = {event: mark for event, mark in side.marks.items() if event != "release"}
    unmarked = replace(solved.delivery, cameras=(replace(side, marks=marks), rear))
    found = {(r.metric, r.event): r for r in evaluate(unmarked)}
    assert found["com_forward_speed", "release"].reason == "release not marked"
    assert found["com_forward_speed", "leg_lift"].is_shown
    tracks = {key: track for key, track in rear.tracks.items() if key != "left_elbow"}
    partial = replace(solved.delivery, cameras=(side, replace(rear, tracks=tracks)))
    found = {(r.metric, r.event): r for r in evaluate(partial)}
    assert "whole body" in found["com_forward_speed", "leg_lift"].reason


def test_marks_in_the_wrong_order_are_said(solved, results):
    side, rear = solved.delivery.cameras
    late = Mark(time_s=side.marks["release"].time_s + 0.1, u_s=1e-6)
    marks = {**side.marks, "foot_contact": late}
    turned = replace(solved.delivery, cameras=(replace(side, marks=marks), rear))
    found = {(r.metric, r.event): r for r in evaluate(turned)}
    kept = found["com_forward_speed_kept", "release"]
    assert kept.reason == "release is not marked after foot contact"


def test_hands_that_no_clip_shows_are_stood_in_for_at_a_cost(solved, results):
    cameras = tuple(
        replace(
            camera,
            tracks={key: t for key, t in camera.tracks.items() if not key.endswith("_hand")},
        )
        for camera in solved.delivery.cameras
    )
    cut = {(r.metric, r.event): r for r in evaluate(replace(solved.delivery, cameras=cameras))}
    here = cut["com_forward_speed", "foot_contact"]
    assert here.u > results["com_forward_speed", "foot_contact"].u
    assert "landmarks that others stand in for" in {part.source for part in here.budget}


def test_a_turned_vertical_is_what_the_cameras_leave_unsure(solved):
    motion = SpaceMotion(SpaceSight(solved.delivery))
    assert motion.u_level_deg() == solved.delivery.space.worst_deg
    assert motion.u_mark_s("release") == pytest.approx(1e-6)
    assert np.isnan(SpaceMotion(SpaceSight(solved.delivery)).u_mark_s("unknown"))
