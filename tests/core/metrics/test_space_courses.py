from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.space_courses import asked_for, course, plain_course, slower_course
from deliverylab.core.metrics.space_sight import SpaceSight
from deliverylab.core.metrics.space_tops import grid_s
from deliverylab.core.model.track import Track
from deliverylab.core.synthetic.field_filming import FieldCare
from deliverylab.core.vocabulary.landmarks import key_for_role
from tests.core.metrics.solved import solved_delivery

CARE = FieldCare(bias_m=0.010 / math.sqrt(3.0))


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(3, care=CARE)


def _asked(delivery, metric="max_separation", cutoff_hz=12.0):
    sight = SpaceSight(delivery)
    times_s = grid_s(sight.instant("foot_contact").time_s, sight.instant("release").time_s)
    return asked_for(BY_KEY[metric], sight, times_s, cutoff_hz)


def _shifted(delivery, role, camera, shift_px):
    """Return the delivery with a landmark placed aside in all frames of one clip."""
    key = key_for_role(role, delivery.athlete.hand)
    clip = delivery.cameras[camera]
    track = clip.tracks[key]
    moved = Track(track.frames, track.xy_px + shift_px, track.u_px, track.origins)
    cameras = list(delivery.cameras)
    cameras[camera] = replace(clip, tracks={**clip.tracks, key: moved})
    return replace(delivery, cameras=tuple(cameras))


@pytest.mark.parametrize(("role", "camera", "axis"), [("lead_hip", 0, 0), ("glove_shoulder", 1, 1)])
def test_a_moved_input_is_the_course_of_places_that_are_moved(solved, role, camera, axis):
    seen = course(_asked(solved.delivery))
    spec = BY_KEY["max_separation"]
    number = 4 * spec.landmarks.index(role) + 2 * camera + axis
    key = key_for_role(role, solved.delivery.athlete.hand)
    placing = SpaceSight(solved.delivery).clips(key)[camera].placing
    # scatter over time is the share that is not constant: its root is the u after smoothing
    u_px = placing.bias_px / math.sqrt(1.0 - seen.scatter[0, number] ** 2)
    shift_px = np.zeros(2)
    shift_px[axis] = u_px
    there = plain_course(_asked(_shifted(solved.delivery, role, camera, shift_px)))
    change = there - seen.values
    assert np.max(np.abs(change)) > 0.05
    # places in space move linearly with such small steps
    np.testing.assert_allclose(seen.moved[0, number] - seen.values, change, atol=0.03)


def test_cameras_and_clocks_are_inputs_too(solved):
    seen = course(_asked(solved.delivery))
    n_numbers = len(solved.delivery.space.covariance)
    assert seen.n_clocks == 1
    assert seen.moved.shape[:2] == (2, seen.n_placing + n_numbers + seen.n_clocks)
    together = seen.moved[0, seen.n_placing :] - seen.values
    whole = np.sqrt(np.sum(together[:n_numbers] ** 2, axis=0))
    assert np.all(whole >= np.abs(together[-1]) - 1e-6)
    assert 0.0 < np.max(whole) < 1.0


def test_angles_go_on_over_a_full_turn(solved):
    asked = _asked(solved.delivery, "peak_shoulder_line_speed", 20.0)
    assert np.max(np.abs(np.diff(plain_course(asked)))) < 30.0
    seen = course(asked)
    assert np.max(np.abs(seen.moved - seen.values)) < 90.0


def test_a_lower_cutoff_is_that_of_smoother_tracks(solved):
    asked = _asked(solved.delivery, cutoff_hz=16.0)
    smoother = plain_course(asked._replace(cutoff_hz=8.0))
    np.testing.assert_allclose(slower_course(asked, 8.0), smoother, atol=0.05)
    assert np.max(np.abs(plain_course(asked) - smoother)) > 0.3


def test_another_landmark_leaves_a_course_as_it_was(solved):
    elbow = _shifted(solved.delivery, "throwing_elbow", 0, np.array([3.0, 0.0]))
    assert course(_asked(elbow)) is course(_asked(solved.delivery))


def test_a_landmark_that_one_clip_does_not_show_gives_nan(solved):
    rear = solved.delivery.cameras[1]
    tracks = {key: track for key, track in rear.tracks.items() if key != "left_hip"}
    cut = replace(
        solved.delivery, cameras=(solved.delivery.cameras[0], replace(rear, tracks=tracks))
    )
    assert np.isnan(plain_course(_asked(cut))).all()
