"""Gaps held out of varied deliveries of known truth, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.synthetic.filming import FilmingSetUp, film_positions
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.tracking.fill import FillLimit, bridged_gaps, held_to_length

N_DELIVERIES, NEAR_RELEASE_S = 6, 0.06


def held_out(rate_hz, u_px=1.0):
    """Return (squared error over u², time from release) of gaps of the longest bridged length."""
    rng = np.random.default_rng(11)
    most = int(FillLimit().duration_s * rate_hz + 1e-6) - 1
    squares, times_s = [], []
    for _ in range(N_DELIVERIES):
        truth = varied_delivery(rng, rate_hz=rate_hz)
        places = film_positions(truth, FilmingSetUp(rate_hz=rate_hz))
        for landmark in range(20):
            true = places[:, landmark]
            # half of u² stays the same in all frames
            seen = true + u_px * np.sqrt(0.5) * (rng.normal(size=true.shape) + rng.normal(size=2))
            at = np.arange(rng.integers(6, 16), len(true) - most - 6, 2 * most + 10)
            for first in at:
                seen[first : first + most] = np.nan
            for bridge in bridged_gaps(truth.times_s, seen, np.full(len(true), u_px), FillLimit()):
                errors = bridge.xy_px - true[bridge.rows]
                squares.append(np.mean(errors**2 / bridge.u_px[:, None] ** 2))
                times_s.append(truth.times_s[bridge.rows].mean() - truth.events["release"])
    return np.array(squares), np.array(times_s)


@pytest.mark.parametrize("rate_hz", [60, 120, 240])
def test_u_holds_over_the_delivery_and_near_release(rate_hz):
    squares, times_s = held_out(rate_hz)
    assert 0.7 < squares.mean() < 1.3
    near = np.abs(times_s) < NEAR_RELEASE_S
    assert near.sum() > 50
    assert 0.7 < squares[near].mean() < 1.3


def line(n=30):
    times_s = np.arange(n) / 120.0
    return times_s, np.stack([300.0 + 400.0 * times_s, 200.0 - 100.0 * times_s], axis=1)


def test_an_even_motion_is_bridged_where_it_goes():
    times_s, true = line()
    seen = true.copy()
    seen[12:15] = np.nan
    (bridge,) = bridged_gaps(times_s, seen, np.full(30, 0.5), FillLimit())
    assert bridge.refusal == ""
    assert bridge.rows.tolist() == [12, 13, 14]
    np.testing.assert_allclose(bridge.xy_px, true[12:15], atol=1e-6)
    assert np.all(bridge.u_px > 0.2)


@pytest.mark.parametrize(
    ("gone", "limit", "why"),
    [
        (slice(10, 15), FillLimit(), "long"),
        (slice(10, 12), FillLimit(n_frames=1), "long"),
        (slice(2, 4), FillLimit(), "few"),
        (slice(27, 28), FillLimit(), "few"),
        (slice(10, 12), FillLimit(u_px=0.01), "unsure"),
    ],
)
def test_a_gap_is_refused_with_the_reason(gone, limit, why):
    times_s, seen = line()
    seen[gone] = np.nan
    (bridge,) = bridged_gaps(times_s, seen, np.full(30, 0.5), limit)
    assert bridge.refusal == why
    assert np.isnan(bridge.xy_px).all()


def test_ends_are_never_continued():
    times_s, seen = line()
    seen[:3] = seen[-2:] = np.nan
    assert bridged_gaps(times_s, seen, np.full(30, 0.5), FillLimit()) == []


def test_a_limb_is_not_made_longer_than_it_is():
    times_s, seen = line()
    true = seen[12:14].copy()
    seen[12:14] = np.nan
    (bridge,) = bridged_gaps(times_s, seen, np.full(30, 0.5), FillLimit())
    other, sure = true - [40.0, 0.0], np.zeros(2)
    assert held_to_length(bridge, other, sure, 41.0).xy_px == pytest.approx(bridge.xy_px)
    drawn = held_to_length(bridge, other, sure, 39.8)
    np.testing.assert_allclose(np.linalg.norm(drawn.xy_px - other, axis=1), 39.8)
    assert held_to_length(bridge, other, sure, 30.0).refusal == "length"
    unknown = np.full((2, 2), np.nan)
    assert held_to_length(bridge, unknown, sure, 30.0).refusal == ""
