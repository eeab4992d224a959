"""Positions at an event: interpolation, snapping, stand-ins, default u."""

from __future__ import annotations

import math

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.inputs import (
    default_u_px,
    event_positions,
    longest_px,
    metres_per_px,
    working_scale,
)
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.precision import PlacingPrecision
from deliverylab.core.model.track import Position, Track

replace = msgspec.structs.replace


def track(*frames):
    return Track.of((frame, Position(10.0 * frame, 5.0)) for frame in frames)


def test_at_the_first_and_the_last_frame_there_is_no_slope_but_a_place(side):
    camera = side.delivery.cameras[0]
    last = camera.timing.n_frames - 1
    for frame in (0, last):
        marks = {"release": Mark(time_s=frame / 240)}
        positions = event_positions(side.delivery, replace(camera, marks=marks), "release")
        seen = positions.of("lead_knee")
        assert seen.x_px == camera.tracks["left_knee"].at(frame).x_px
        assert seen.before is None or seen.after is None


def test_uneven_frames_count_their_own_intervals(side):
    camera = side.delivery.cameras[0]
    n = camera.timing.n_frames
    at = camera.timing.frame_at(camera.marks["release"].time_s)
    # One frame was dropped just before release: that gap is twice as long.
    stamps_s = tuple(float(t) for t in np.arange(n) / 240 + (np.arange(n) >= at) / 240)
    timing = replace(camera.timing, stamps_s=stamps_s)
    marks = {"release": Mark(time_s=stamps_s[at])}
    uneven = replace(camera, timing=timing, marks=marks)
    positions = event_positions(side.delivery, uneven, "release")
    assert positions.step_s == pytest.approx(3 / 240)
    assert positions.u_time_s == pytest.approx(2 / 240 / math.sqrt(12))
    assert positions.frame_s == pytest.approx(2 / 240)
    early = replace(uneven, marks={"release": Mark(time_s=stamps_s[20])})
    assert event_positions(side.delivery, early, "release").u_time_s == pytest.approx(
        1 / 240 / math.sqrt(12)
    )


def test_positions_outside_the_trim_stay_in_use(side):
    camera = side.delivery.cameras[0]
    frame = camera.timing.frame_at(camera.marks["release"].time_s)
    trimmed = replace(camera, first_frame=40, last_frame=frame)
    usual = event_positions(side.delivery, camera, "release")
    assert event_positions(side.delivery, trimmed, "release") == usual


def test_an_unmarked_plant_is_replaced_by_contact_and_says_so(side):
    camera = side.delivery.cameras[0]
    marks = {key: mark for key, mark in camera.marks.items() if key != "foot_plant"}
    positions = event_positions(side.delivery, replace(camera, marks=marks), "foot_plant")
    assert positions.event == "foot_contact"
    assert positions.is_stand_in
    assert event_positions(side.delivery, replace(camera, marks={}), "release") is None


def test_u_of_the_instant_is_a_rectangular_frame_interval(side):
    # T/sqrt(12): JCGM 100:2008, 4.3.7.
    positions = event_positions(side.delivery, side.delivery.cameras[0], "release")
    assert positions.u_instant_s(["lead_knee"]) == pytest.approx(1 / 240 / math.sqrt(12))


def test_a_stated_mark_u_is_used_in_real_seconds(side):
    camera = side.delivery.cameras[0]
    timing = replace(camera.timing, stored_rate="30", capture_rate_hz=240.0)
    marks = {"release": Mark(time_s=8.0, u_s=0.016)}
    positions = event_positions(
        side.delivery, replace(camera, timing=timing, marks=marks), "release"
    )
    assert positions.u_time_s == pytest.approx(0.002)


def test_default_u_is_that_of_the_landmark_and_of_the_click(side):
    camera = side.delivery.cameras[0]
    size = metres_per_px(side.delivery, camera)
    u_px = default_u_px(side.delivery, camera)
    assert u_px["left_hip"] == pytest.approx(math.hypot(0.5, 0.020 / size), rel=1e-3)
    assert u_px["left_knee"] < u_px["left_hip"]


def test_the_legs_tell_the_size_of_a_pixel_where_no_scale_does(side):
    camera = side.delivery.cameras[0]
    scaled = metres_per_px(side.delivery, camera)
    guessed = metres_per_px(side.delivery, replace(camera, scale=None))
    # The longest thigh or shank seen is nearly in the plane: within 5 %.
    assert guessed == pytest.approx(scaled, rel=0.05)
    scale, is_entered = working_scale(side.delivery, replace(camera, scale=None))
    assert not is_entered
    assert scale.u_yaw_deg == 5.0
    assert working_scale(side.delivery, replace(camera, scale=None, tracks={})) == (None, False)


def test_longest_needs_a_frame_that_shows_both():
    assert longest_px(track(1, 2), track(3)) == 0.0
    a = Track.of([(1, Position(0.0, 0.0)), (2, Position(0.0, 0.0))])
    b = Track.of([(1, Position(3.0, 4.0)), (2, Position(6.0, 8.0))])
    assert longest_px(a, b) == pytest.approx(10.0)


def test_positions_are_hashable_and_equal_by_content(side):
    first = event_positions(side.delivery, side.delivery.cameras[0], "release")
    second = event_positions(side.delivery, side.delivery.cameras[0], "release")
    assert first == second
    assert hash(first) == hash(second)
    assert np.isfinite(first.of("lead_knee").x_px)


def test_a_persons_own_precision_replaces_the_judged_default_of_the_parts_it_holds(side):
    camera = side.delivery.cameras[0]
    size = metres_per_px(side.delivery, camera)
    judged = default_u_px(side.delivery, camera)
    own = PlacingPrecision(placer="Sam", u_m={"hip": 0.03, "head_top": 0.0})
    u_px = default_u_px(side.delivery, replace(camera, precision=own))
    for key in ("left_hip", "right_hip"):
        assert u_px[key] == pytest.approx(math.hypot(0.5, 0.03 / size), rel=1e-4)
    # nobody places better than a click
    assert u_px["head_top"] == 0.5
    others = set(judged) - {"left_hip", "right_hip", "head_top"}
    assert all(u_px[key] == judged[key] for key in others)


def test_after_a_moved_point_only_its_own_entry_is_gathered_anew(side):
    delivery = side.delivery
    camera = delivery.cameras[0]
    before = event_positions(delivery, camera, "release")
    frame = camera.timing.frame_at(camera.marks["release"].time_s)
    place = camera.tracks["left_knee"].at(frame)
    moved = camera.tracks["left_knee"].replaced(frame, place._replace(x_px=place.x_px + 7.0))
    tracks = camera.tracks | {"left_knee": moved}
    after = event_positions(delivery, replace(camera, tracks=tracks), "release")
    changed = [a for a, b in zip(after.seen, before.seen, strict=True) if a is not b]
    assert changed == [after.of("lead_knee")]
    assert after.of("lead_knee").x_px > before.of("lead_knee").x_px + 3.0


def test_what_else_moves_the_places_is_not_taken_over(side):
    delivery = side.delivery
    camera = delivery.cameras[0]
    before = event_positions(delivery, camera, "release")
    earlier = {**camera.marks, "release": Mark(time_s=camera.marks["release"].time_s - 2 / 240)}
    assert event_positions(delivery, replace(camera, marks=earlier), "release").seen != before.seen
    slow_rows = replace(camera, row_time_s=2e-5)
    assert event_positions(delivery, slow_rows, "release").seen != before.seen
    assert event_positions(delivery, camera, "release").seen == before.seen
