"""Expected depth of landmarks, and its u."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.depth_table import DEPTHS, EVENTS, N_MODES
from deliverylab.core.metrics.depths import (
    expected_depths,
    usual_course,
    usual_depths,
)
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS

SHOULDERS = ("throwing_shoulder", "glove_shoulder")


def setup_of(filmed, **changes):
    camera = replace(filmed.delivery.cameras[0], **changes)
    return Setup.of(filmed.delivery, camera, camera.scale)


def test_the_mean_is_the_table_s_times_the_height(side):
    setup = setup_of(side)
    found = expected_depths(SHOULDERS, "release", setup).mean_m
    expected = [0.00178 * DEPTHS["release", "across"][role][0] for role in SHOULDERS]
    assert found == pytest.approx(expected)


def test_the_two_sides_look_from_opposite_ends(side, rear):
    opened, closed = setup_of(side), setup_of(side, view="closed-side")
    behind, ahead = setup_of(rear), setup_of(rear, view="front")
    for one, other in ((opened, closed), (behind, ahead)):
        np.testing.assert_allclose(usual_depths("release", one), -usual_depths("release", other))


def test_a_lean_takes_both_shoulders_along(side):
    steps = expected_depths(SHOULDERS, "release", setup_of(side)).steps_m
    table = 0.00178 * np.array([DEPTHS["release", "across"][role][1:] for role in SHOULDERS])
    modes, own = table[:, :N_MODES], table[:, N_MODES]
    covariance = steps.T @ steps
    np.testing.assert_allclose(covariance, modes @ modes.T + np.diag(own**2))
    assert covariance[0, 1] > 0.5 * np.prod(np.hypot.reduce(steps))


def test_an_event_without_a_table_gets_none_and_a_wide_u(side):
    unknown = expected_depths(SHOULDERS, "hand_break", setup_of(side))
    known = expected_depths(SHOULDERS, "leg_lift", setup_of(side))
    assert not unknown.mean_m.any()
    assert np.all(np.hypot.reduce(unknown.steps_m) > 2.0 * np.hypot.reduce(known.steps_m))


def test_the_ball_is_where_the_throwing_hand_is(side):
    ball, hand = expected_depths(("ball", "throwing_hand"), "release", setup_of(side)).mean_m
    assert ball == hand


def test_no_roles_give_no_depths(side):
    assert expected_depths((), "release", setup_of(side)).mean_m.shape == (0,)


def test_the_course_passes_through_the_events(side):
    camera, setup = side.delivery.cameras[0], setup_of(side)
    frames = np.arange(camera.timing.n_frames)
    course = usual_course(camera, setup, frames)
    assert course.shape == (len(frames), len(ROLE_KEYS))
    for event in EVENTS:
        frame = round(camera.marks[event].time_s * 240.0)
        # marks lie between frames: up to half a frame of a change of a tenth of a second
        np.testing.assert_allclose(course[frame], usual_depths(event, setup)[0], atol=0.02)
    np.testing.assert_allclose(course[0], usual_depths("leg_lift", setup)[0])
    assert not usual_course(replace(camera, marks={}), setup, frames).any()


def test_the_correction_takes_the_perspective_out_of_a_tilt(film):
    # A camera at 5 m and one 10° off square see the lean to the glove side as a forward tilt of
    # several degrees; the figure has the mean posture, so next to nothing of that is left.
    for set_up in ({"distance_m": 5.0}, {"yaw_deg": 10.0}):
        filmed = film(**set_up)
        for result in evaluate(filmed.delivery):
            if (result.metric, result.event) == ("trunk_forward_tilt", "release"):
                assert result.value == pytest.approx(25.4, abs=0.6)
                assert 2.0 * result.u < 7.0
