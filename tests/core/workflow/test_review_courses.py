from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.track import Track
from deliverylab.core.workflow.review_courses import crossings, jumps

N = 200


def track(places, frames=None, u_px=np.nan):
    n = len(places)
    frames = np.arange(n) if frames is None else frames
    return Track(np.array(frames), places.copy(), np.full(n, u_px), np.zeros(n, np.uint8))


def course(seed=1, scatter_px=0.7, swing_px=40.0, at_px=300.0):
    """Return a swing of 2 Hz at 240 frames a second, with scatter."""
    phase = 2.0 * np.pi * 2.0 * np.arange(N) / 240.0
    places = at_px + swing_px * np.stack([np.sin(phase), np.cos(phase)], axis=1)
    return places + np.random.default_rng(seed).normal(0.0, scatter_px, places.shape)


def found(places, **given):
    return jumps(track(places, **given), 2.5, 0.5, 1.0 / 240.0, 8.0)


def test_a_smooth_course_has_no_jump():
    assert [found(course(seed)) for seed in range(5)] == [()] * 5
    assert found(course()[:6]) == ()


@pytest.mark.parametrize("n_frames", [1, 3, 5])
def test_one_incident_is_told_once_at_its_frame(n_frames):
    places = course()
    places[80 : 80 + n_frames] += (15.0, 20.0)
    (jump,) = found(places)
    assert 79 <= jump.frame <= 80 + n_frames
    assert 10.0 < jump.off_px < 28.0
    assert jump.size > 4.5


def test_a_jump_within_u_is_no_news():
    places = course(scatter_px=0.1)
    places[80] += (8.0, 0.0)
    assert len(found(places)) == 1
    assert found(places, u_px=10.0) == ()


def test_every_third_frame_is_judged_by_its_own_neighbours():
    places = course(scatter_px=0.3)[::3]
    places[30] += (0.0, 30.0)
    (jump,) = found(places, frames=np.arange(0, N, 3))
    assert jump.frame == 90


def test_a_swing_too_quick_for_the_frames_is_no_jump():
    # 8 Hz at 60 frames a second: neighbours foretell it badly
    phase = 2.0 * np.pi * 8.0 * np.arange(60) / 60.0
    places = np.stack([400.0 * np.hanning(60) * np.sin(phase), 0.0 * phase], axis=1)
    places += np.random.default_rng(1).normal(0.0, 0.7, places.shape)
    assert jumps(track(places), 2.5, 0.5, 1.0 / 60.0, 8.0) == ()


def test_exchanged_courses_are_told_as_a_stretch():
    left, right = course(1), course(2, at_px=340.0)
    assert crossings(track(left), track(right), 2.5, 1.0 / 240.0) == ()
    left[100:110], right[100:110] = right[100:110], left[100:110].copy()
    (crossing,) = crossings(track(left), track(right), 2.5, 1.0 / 240.0)
    assert (crossing.first_frame, crossing.last_frame) == (100, 109)
    assert crossing.apart_px == pytest.approx(40.0 * np.sqrt(2.0), abs=4.0)


def test_courses_that_cross_by_themselves_stay():
    along = np.linspace(-100.0, 100.0, N)
    left = np.stack([along, np.zeros(N)], axis=1)
    assert crossings(track(left), track(-left), 2.5, 1.0 / 240.0) == ()
