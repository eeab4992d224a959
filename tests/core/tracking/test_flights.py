"""Rows of blobs that fly, on blobs given by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.tracking.flights import BallSearch, flights, shares
from deliverylab.core.tracking.moving_blobs import Blobs

SEARCH = BallSearch(diameter_px=10.0, diameter_m=0.074)
TIMES_S = np.arange(8) / 120.0


def _blobs(*places, length_px=10.0):
    n = len(places)
    return Blobs(
        np.array(places, dtype=float).reshape(n, 2), np.full(n, length_px), np.full(n, 10.0),
        np.tile([1.0, 0.0], (n, 1)), np.full(n, 100.0),
    )  # fmt: skip


def _thrown(speed_px_s=4000.0, n=8, fall=9.81 * 135.0):
    """Return one blob a frame that flies level and falls, 135 px a metre."""
    passed = TIMES_S[:n]
    return [_blobs((50.0 + speed_px_s * t, 100.0 + 0.5 * fall * t**2)) for t in passed]


def test_a_thrown_ball_is_one_flight():
    found = flights(_thrown(), TIMES_S, SEARCH)
    assert found[0].rows == tuple(range(8))
    # at the mean time it falls at g times half the time: 9.81 * 135 * 3.5/120
    assert found[0].velocity_px_s == pytest.approx((4000.0, 9.81 * 135.0 * 3.5 / 120.0), abs=1.0)


@pytest.mark.parametrize(
    "blobs",
    [
        # 400 px/s of a 10 px ball are 3 m/s, 12,000 are 89
        _thrown(400.0),
        _thrown(12_000.0),
        # four frames without a start are too few
        _thrown(n=4),
        # slowing down by half
        [_blobs((50.0 + 40.0 * n - 2.2 * n**2, 100.0)) for n in range(8)],
        # straight up
        [_blobs((50.0, 300.0 - 33.0 * n)) for n in range(8)],
    ],
    ids=["slow", "fast", "few", "uneven", "steep"],
)
def test_what_does_not_fly_like_a_ball(blobs):
    assert flights(blobs, TIMES_S[: len(blobs)], SEARCH) == []


def test_a_start_lets_three_frames_do():
    near = replace(SEARCH, near_px=(20.0, 100.0))
    far = replace(SEARCH, near_px=(20.0, 400.0))
    blobs = [_blobs((50.0 + 66.0 * n, 100.0)) for n in range(3)]
    # 66 px in 1/60 s of a 10 px ball are 29 m/s
    times_s = 2.0 * TIMES_S[:3]
    assert len(flights(blobs, times_s, near)) == 1
    assert flights(blobs, times_s, far) == []


def test_one_frame_without_the_ball_is_bridged():
    blobs = _thrown()
    blobs[3] = _blobs()
    assert flights(blobs, TIMES_S, SEARCH)[0].rows == (0, 1, 2, 4, 5, 6, 7)


def test_streaks_across_the_flight_are_none():
    across = [
        replace(each, length_px=np.full(1, 30.0), along=np.array([[0.0, 1.0]]))
        for each in _thrown()
    ]
    assert flights(across, TIMES_S, SEARCH) == []


def test_flights_that_have_a_blob_in_common_are_one():
    one = flights(_thrown(), TIMES_S, SEARCH)[0]
    assert shares(one, one)
    assert not shares(one, replace(one, blobs=(1,) * 8))
