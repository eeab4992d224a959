"""Gaps are bridged where that can be judged, with an uncertainty that covers, and else left."""

from __future__ import annotations

import numpy as np

from deliverylab.core.tracking.fill import FillLimit, fill_gaps

TIMES_S = np.arange(60) / 240
LIMIT = FillLimit(n_frames=6, duration_s=0.05)


def _swing():
    return np.column_stack([300 * np.sin(9 * TIMES_S), 200 * np.cos(9 * TIMES_S)])


def _with_gap(xy_px, first, last):
    open_px = xy_px.copy()
    open_px[first : last + 1] = np.nan
    return open_px


def test_a_cubic_is_bridged_exactly():
    xy_px = np.column_stack([1e4 * TIMES_S**3, 500 * TIMES_S])
    filled = fill_gaps(TIMES_S, _with_gap(xy_px, 30, 33), LIMIT)
    assert list(filled.rows) == [30, 31, 32, 33]
    np.testing.assert_allclose(filled.xy_px, xy_px[30:34], atol=1e-8)


def test_the_uncertainty_covers_noise():
    rng = np.random.default_rng(4)
    squares = []
    for _ in range(200):
        noisy = _swing() + rng.normal(0, 1.5, (60, 2))
        filled = fill_gaps(TIMES_S, _with_gap(noisy, 28, 32), LIMIT)
        squares.append(((filled.xy_px - _swing()[28:33]) / filled.u_px[:, None]) ** 2)
    # below one: the places rehearsed on carry their own noise, which makes u larger, never smaller
    assert 0.3 < np.mean(squares) < 1.1


def test_a_gap_beyond_either_limit_and_the_ends_stay_open():
    too_many = fill_gaps(TIMES_S, _with_gap(_swing(), 25, 31), LIMIT)
    too_slow = fill_gaps(TIMES_S * 8, _with_gap(_swing(), 25, 28), LIMIT)
    ends = fill_gaps(TIMES_S, _with_gap(_with_gap(_swing(), 0, 2), 58, 59), LIMIT)
    assert too_many.refused == ((25, 31, "longer than the limit"),)
    assert too_slow.refused == ((25, 28, "longer than the limit"),)
    assert not len(ends.rows)
    assert ends.refused == ()


def test_a_segment_is_not_made_longer_than_it_is():
    gap_px = _with_gap(_swing(), 30, 32)
    near = fill_gaps(TIMES_S, gap_px, LIMIT, neighbour_px=_swing() + 40, longest_px=60)
    far = fill_gaps(TIMES_S, gap_px, LIMIT, neighbour_px=_swing() + 40, longest_px=50)
    assert len(near.rows) == 3
    assert far.refused == ((30, 32, "the segment would be longer than it is"),)


def test_what_cannot_be_judged_is_not_filled():
    short = fill_gaps(TIMES_S[:14], _with_gap(_swing()[:14], 5, 8), LIMIT)
    assert short.refused == ((5, 8, "too few known stretches to tell its uncertainty"),)


def test_a_gap_quicker_than_its_surroundings_stays_open():
    burst = np.column_stack([80 * np.tanh((TIMES_S - TIMES_S[30]) * 100), 0 * TIMES_S])
    filled = fill_gaps(TIMES_S, _with_gap(burst, 28, 32), LIMIT)
    assert filled.refused == ((28, 32, "quicker than the stretches that tell its uncertainty"),)
