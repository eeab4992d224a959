from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.errors import UsageError
from deliverylab.core.events.rules import SPREADS
from deliverylab.core.metrics.space_sight import space_sight
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.filming import FilmingSetUp
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.workflow.suggesting import (
    accept,
    complaints,
    from_space,
    suggest_from_camera,
    suggestions,
    unmarked,
)
from deliverylab.core.workflow.trust_delivery import Care, simulated_delivery
from tests.core.metrics.solved import solved_delivery

CARE = Care(placing_px=2.0, clothing_m=0.010)


def filmed(view="open-side", hand="right", rate_hz=240.0, care=CARE, **spec):
    """Return a delivery as filmed, without marks, and its true events."""
    truth = build_delivery(DeliverySpec(hand=hand, **spec), rate_hz)
    set_up = FilmingSetUp(view=view, rate_hz=rate_hz)
    delivery = simulated_delivery(truth, set_up, care, np.random.default_rng(4)).delivery
    return changed(delivery, marks={}), truth.events


def changed(delivery, **fields):
    return replace(delivery, cameras=(replace(delivery.cameras[0], **fields),))


def of(delivery):
    return {each.event: each for each in suggestions(delivery, delivery.cameras[0])}


@pytest.mark.parametrize("view", ["open-side", "closed-side"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_either_side_and_either_hand_give_all_but_the_finish(view, hand):
    delivery, events = filmed(view, hand)
    found = of(delivery)
    assert {event for event, each in found.items() if not each.is_found} == {"finish"}
    for event, each in found.items():
        if each.is_found:
            # three u: one draw, of the mean figure
            assert abs(each.time_s - events[event]) < 3.0 * each.u_s, each


def test_a_slow_motion_clip_is_suggested_on_its_own_clock():
    delivery, _ = filmed()
    camera = delivery.cameras[0]
    slow = changed(delivery, timing=replace(camera.timing, stored_rate="30", capture_rate_hz=240.0))
    fast, slowed = of(delivery)["leg_lift"], of(slow)["leg_lift"]
    assert slowed.time_s == pytest.approx(8.0 * fast.time_s)
    assert slowed.u_s == pytest.approx(8.0 * fast.u_s)


def test_a_leaning_phone_is_set_upright():
    delivery, _ = filmed(care=Care(is_exact=True))
    camera = delivery.cameras[0]
    lean = np.radians(8.0)
    turn = np.array([[np.cos(lean), -np.sin(lean)], [np.sin(lean), np.cos(lean)]])
    middle = np.array([(camera.width_px - 1) / 2.0, (camera.height_px - 1) / 2.0])
    tracks = {
        key: type(track)(
            track.frames, (track.xy_px - middle) @ turn.T + middle, track.u_px, track.origins
        )
        for key, track in camera.tracks.items()
    }
    leaning = changed(delivery, tracks=tracks, scale=replace(camera.scale, vertical_deg=8.0))
    before, after = of(delivery), of(leaning)
    for event in ("leg_lift", "foot_contact", "foot_plant", "release"):
        assert after[event].time_s == pytest.approx(before[event].time_s, abs=1e-4)


def test_without_a_scale_the_legs_give_one():
    delivery, events = filmed()
    found = of(changed(delivery, scale=None))
    assert found["foot_contact"].time_s == pytest.approx(events["foot_contact"], abs=0.03)
    nothing = of(changed(delivery, scale=None, tracks={}))
    assert "set a scale" in nothing["release"].why


def test_a_view_from_above_gives_nothing():
    delivery, _ = filmed()
    found = of(changed(delivery, view="top"))
    assert not any(each.is_found for each in found.values())
    assert "from above" in found["release"].why


def test_repeated_frames_are_left_out():
    delivery, _ = filmed()
    camera = delivery.cameras[0]
    times_s = list(camera.timing.times_s)
    times_s[60] = times_s[59]  # the stamp of the one before: the same picture twice
    stamped = changed(delivery, timing=replace(camera.timing, stamps_s=tuple(times_s)))
    assert of(stamped)["leg_lift"].time_s == pytest.approx(
        of(delivery)["leg_lift"].time_s, abs=0.002
    )


def test_accepting_marks_with_u_and_is_taken_back():
    delivery, _ = filmed()
    camera = delivery.cameras[0]
    found = suggestions(delivery, camera)
    project = Project(ProjectRecord(deliveries=(delivery,)))
    inverse = project.apply(accept(delivery, camera, found, unmarked(camera, found)))
    marks = project.camera(delivery.name, None).marks
    assert set(marks) == {each.event for each in found if each.is_found}
    by_event = {each.event: each for each in found}
    for event, mark in marks.items():
        assert (mark.time_s, mark.u_s) == (by_event[event].time_s, by_event[event].u_s)
    assert unmarked(project.camera(delivery.name, None), found) == ()
    project.apply(inverse)
    assert project.camera(delivery.name, None).marks == {}


def test_what_is_not_suggested_cannot_be_accepted():
    delivery, _ = filmed()
    camera = delivery.cameras[0]
    with pytest.raises(UsageError, match="not suggested"):
        accept(delivery, camera, suggestions(delivery, camera), ("finish",))


def test_odd_suggestions_are_complained_of_before_they_are_accepted():
    delivery, _ = filmed()
    camera = delivery.cameras[0]
    found = suggestions(delivery, camera)
    assert complaints(camera, found, unmarked(camera, found)) == ()
    late = [
        dataclasses.replace(each, time_s=3.0) if each.event == "release" else each for each in found
    ]
    (said,) = complaints(camera, late, ("foot_contact", "release", "finish"))
    assert said.startswith("release comes")


def test_slow_motion_taken_for_real_time_is_not_seen_to_throw():
    delivery, _ = filmed()
    slow = changed(delivery, timing=replace(delivery.cameras[0].timing, stored_rate="30"))
    assert "check scale and capture rate" in of(slow)["release"].why


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(1003)


def test_solved_cameras_suggest_together(solved):
    found = {each.event: each for each in from_space(space_sight(solved.delivery))}
    assert {event for event, each in found.items() if not each.is_found} == {"finish"}
    assert found["full_layback"].u_s < SPREADS["full_layback"].u_s
    for event, each in found.items():
        if each.is_found:
            true_s = solved.truth.events[event] - solved.starts_s[0]
            assert abs(each.time_s - true_s) < 3.0 * each.u_s, each


def test_each_clip_gets_them_on_its_own_clock(solved):
    side, rear = solved.delivery.cameras
    on_rear = {each.event: each for each in suggestions(solved.delivery, rear)}
    in_space = {each.event: each for each in from_space(space_sight(solved.delivery))}
    offset_s = solved.delivery.space.cameras[1].offset_s
    # a rear view alone shows no forward motion
    assert on_rear["release"].time_s == pytest.approx(in_space["release"].time_s - offset_s)
    on_side = {each.event: each for each in suggestions(solved.delivery, side)}
    alone = {each.event: each for each in suggest_from_camera(solved.delivery, side)}
    assert {event for event, each in on_side.items() if not each.is_found} == {"finish"}
    for event, each in on_side.items():
        if each.is_found:
            assert each.u_s == min(alone[event].u_s, in_space[event].u_s)
