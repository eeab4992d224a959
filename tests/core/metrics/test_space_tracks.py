from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.space_tracks import (
    JUDGED_SCATTER_PX,
    camera_tracks,
    places_at,
    placing_of,
    rising_frames,
)
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Track
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from tests.core.metrics.solved import solved_delivery


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(5)


def _only_frames(camera, frames):
    tracks = {
        key: Track.of((frame, place) for frame, place in track if frame in frames)
        for key, track in camera.tracks.items()
    }
    return replace(camera, tracks=tracks)


def _places_at(solved, camera, landmark, times_s, cutoff_hz):
    placing = placing_of(solved.delivery, camera, landmark)
    return places_at(camera.tracks[landmark], camera.timing, placing, times_s, cutoff_hz)


def test_repeats_are_left_out():
    timing = Timing(n_frames=5, stored_rate="30")
    assert rising_frames(timing)[0].tolist() == [0, 1, 2, 3, 4]


def test_scatter_is_measured_and_the_rest_of_u_is_constant(solved):
    """2 px of scatter was filmed, and 10 mm beside each joint: 2.5 px at 6 m."""
    camera = solved.delivery.cameras[0]
    for landmark in ("left_hip", "neck", "right_knee"):
        placing = placing_of(solved.delivery, camera, landmark)
        assert placing.scatter_px == pytest.approx(2.0, abs=0.35)
        assert placing.bias_px == pytest.approx(2.5, abs=0.35)
        assert placing.u_px == pytest.approx(np.hypot(2.0, 2.5), abs=0.05)


def test_a_short_track_takes_the_judged_scatter(solved):
    camera = _only_frames(solved.delivery.cameras[0], set(range(50, 60)))
    assert placing_of(solved.delivery, camera, "left_hip").scatter_px == JUDGED_SCATTER_PX


def test_tracks_for_a_solve_are_those_placed(solved):
    camera, filmed = solved.delivery.cameras[0], solved.filmed.delivery.tracks[0]
    tracks = camera_tracks(solved.delivery, camera)
    assert np.allclose(tracks.times_s, filmed.times_s - filmed.times_s[0])
    np.testing.assert_array_equal(tracks.places_px, filmed.places_px)
    assert np.isnan(tracks.places_px[:, LANDMARK_KEYS.index("ball")]).all()


def test_between_single_frames_a_place_is_on_the_line_and_beyond_a_frame_there_is_none(solved):
    camera = _only_frames(solved.delivery.cameras[0], {100, 101, 150})
    track = camera.tracks["left_hip"]
    times_s = np.array([100.25, 150.8, 153.0]) / 240.0
    found = _places_at(solved, camera, "left_hip", times_s, 20.0)
    a, b, single = track.xy_px
    np.testing.assert_allclose(found.places_px[0], 0.75 * a + 0.25 * b, atol=1e-6)
    np.testing.assert_allclose(found.places_px[1], single)
    assert np.isnan(found.places_px[2]).all()
    assert np.isnan(found.speeds_px_s).all()


def test_a_run_of_frames_is_smoothed_and_tells_its_speed(solved):
    camera = solved.delivery.cameras[0]
    times_s = np.array([0.7])
    found = _places_at(solved, camera, "left_knee", times_s, 14.0)
    raw = camera.tracks["left_knee"].xy_px[168]
    assert 0.0 < np.hypot(*(found.places_px[0] - raw)) < 8.0
    assert np.isfinite(found.speeds_px_s).all()
    single = _places_at(solved, _only_frames(camera, {168}), "left_knee", times_s, 14.0)
    assert found.u_px[0] < single.u_px[0]
