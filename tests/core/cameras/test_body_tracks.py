from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.body_tracks import CameraTracks, shared_cutoff_hz, smooth_tracks
from deliverylab.core.errors import InputValueError

ONE = np.ones(1)


def tracks(times_s, places_px):
    return CameraTracks(times_s=times_s, places_px=places_px, u_px=ONE, bias_px=ONE)


def swing(times_s):
    return 300.0 * np.stack([np.sin(9.0 * times_s), np.cos(7.0 * times_s)], axis=-1)


def test_places_and_speeds_between_frames_are_those_of_a_slow_swing():
    times = np.arange(240) / 240.0
    smooth = smooth_tracks(tracks(times, swing(times)[:, None]), 20.0)
    at = np.array([0.3, 0.41234, 0.6])
    # 1.4 Hz through a filter of 20 Hz and fourth order: down by 1e-5
    assert smooth.at(at)[:, 0] == pytest.approx(swing(at), abs=0.02)
    step = 1e-5
    slope = (smooth.at(at + step) - smooth.at(at - step)) / (2 * step)
    assert smooth.speed_at(at) == pytest.approx(slope, abs=0.1)
    assert np.isnan(smooth.at(np.array([-0.1, 1.1]))).all()


def test_uneven_frames_give_the_same_places():
    rng = np.random.default_rng(1)
    times = np.arange(240) / 240.0 + rng.uniform(-0.3, 0.3, 240) / 240.0
    smooth = smooth_tracks(tracks(times, swing(times)[:, None]), 20.0)
    at = np.array([0.3, 0.5])
    assert smooth.at(at)[:, 0] == pytest.approx(swing(at), abs=0.05)


def test_gaps_and_ends_stay_empty():
    times = np.arange(240) / 240.0
    places = swing(times)[:, None]
    places[100:110] = np.nan
    smooth = smooth_tracks(tracks(times, places), 20.0)
    assert np.isnan(smooth.at(np.array([0.0, 105 / 240.0]))).all()
    assert np.isfinite(smooth.at(np.array([0.2, 0.7]))).all()


def test_scatter_after_smoothing_and_how_far_it_reaches():
    rng = np.random.default_rng(2)
    times = np.arange(240 * 12) / 240.0
    smooth = smooth_tracks(tracks(times, rng.normal(size=(len(times), 1, 2))), 20.0)
    left = smooth.places_px[np.isfinite(smooth.places_px[:, 0, 0]), 0]
    # 2 x 12 s x 41 independent values a second: 2.3 % of a standard deviation, three times that
    assert np.std(left) == pytest.approx(smooth.u_px[0], rel=0.07)
    apart = left[:: round(smooth.apart_s / smooth.step_s), 0]
    assert abs(np.corrcoef(apart[:-1], apart[1:])[0, 1]) < 0.15


def test_the_slowest_camera_decides_the_band_and_too_few_frames_are_refused():
    slow = tracks(np.arange(60) / 30.0, np.zeros((60, 1, 2)))
    quick = tracks(np.arange(480) / 240.0, np.zeros((480, 1, 2)))
    assert shared_cutoff_hz((quick, quick)) == 20.0
    assert shared_cutoff_hz((quick, slow)) == pytest.approx(12.0, rel=0.03)
    with pytest.raises(InputValueError, match="four frames"):
        smooth_tracks(tracks(np.arange(3.0), np.zeros((3, 1, 2))), 1.0)
