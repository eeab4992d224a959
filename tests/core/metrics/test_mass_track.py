"""The centre of mass over time and its speed, against the figure's own."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.body_mass import mass_centre
from deliverylab.core.metrics.mass_track import forward_speeds, mass_track, speed_course
from deliverylab.core.metrics.sight import Sight

replace = msgspec.structs.replace


def track_of(filmed, **changes):
    camera = replace(filmed.delivery.cameras[0], **changes)
    delivery = replace(filmed.delivery, cameras=(camera,))
    return mass_track(delivery, camera, Sight(delivery, camera).setup)


def test_it_moves_as_the_figure_does(side):
    track = track_of(side)
    truth = mass_centre(side.true_pose(track.real_s))[:, 0]
    moved, true_moved = track.forward_m - track.forward_m[0], truth - truth[0]
    # Perspective at 10 m: a hand 0.5 m off the plane is 5 % off, and weighs 3 %.
    assert np.max(np.abs(moved - true_moved)) < 0.02


def test_the_weights_are_those_of_the_whole_body(side):
    # A body moved as a whole moves its centre by just that: weights add up to one.
    camera = side.delivery.cameras[0]
    shifted = {
        key: type(t)(t.frames, t.xy_px + np.array([24.0, 0.0]), t.u_px, t.origins)
        for key, t in camera.tracks.items()
    }
    step_m = track_of(side, tracks=shifted).forward_m - track_of(side).forward_m
    assert step_m == pytest.approx(np.full(len(step_m), 24.0 * 10.0 / 2400.0), rel=1e-6)


def test_a_frame_without_an_elbow_is_left_out_and_one_without_a_hand_is_not(side):
    tracks = dict(side.delivery.cameras[0].tracks)
    whole = track_of(side)
    tracks["right_elbow"] = tracks["right_elbow"].replaced(50, None)
    assert 50 not in track_of(side, tracks=tracks).frames
    tracks = dict(side.delivery.cameras[0].tracks)
    del tracks["right_hand"], tracks["left_toe"]
    assert np.array_equal(track_of(side, tracks=tracks).frames, whole.frames)


def test_speed_and_peak_in_one_pass(side):
    track, at = track_of(side), side.truth.events
    speeds = forward_speeds(
        track, {"foot_contact": at["foot_contact"]}, (at["leg_lift"], at["release"])
    )
    truth = float(side.true_speed(np.array([at["foot_contact"]]))[0])
    assert speeds["foot_contact"].value == pytest.approx(truth, abs=0.02)
    assert speeds[""].value >= speeds["foot_contact"].value
    between = (track.real_s >= at["leg_lift"]) & (track.real_s <= at["release"])
    course = speed_course(track)[between]
    # The peak is looked for every 9 ms, the course has a value every 4 ms.
    assert np.nanmax(course) == pytest.approx(speeds[""].value, abs=0.01)


def test_no_speed_beyond_the_placed_frames(side):
    track = track_of(side)
    speeds = forward_speeds(track, {"late": float(track.real_s[-1]) + 0.5}, None)
    assert np.isnan(speeds["late"].value)
    assert "" not in speeds
