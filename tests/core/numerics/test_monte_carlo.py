"""Distributions whose intervals are known on paper, and the check of first-order intervals."""

from __future__ import annotations

import math

import numpy as np
import pytest

from deliverylab.core.numerics.monte_carlo import (
    drawn,
    monte_carlo,
    numerical_tolerance,
    sampler_of,
)
from deliverylab.core.numerics.uncertainty import InputGroup, coverage_factor, propagate

FOUR = tuple(InputGroup.one(f"x{i}", 0.0, 1.0) for i in range(4))


def total(rows):
    return rows.sum(axis=1)


def test_four_normal_inputs_added():
    # JCGM 101:2008, 9.2.2 (from memory): u = 2.0, 95 % interval ± 3.92
    found = monte_carlo(sampler_of(total, FOUR), n_digits=2, max_draws=200_000)
    # the ends from 200 000 draws are known to 0.012: three times that
    assert (found.low, found.high) == pytest.approx((-3.92, 3.92), abs=0.036)
    assert found.u == pytest.approx(2.0, abs=0.01)
    assert found.validates(0.0, coverage_factor(math.inf, 0.95) * 2.0)


def test_four_rectangular_inputs_added():
    # The tail of a sum of four: (4 - s)^4 / 24 = 0.025 at s = 4 - 0.6^¼, in units of 2√3: ± 3.879
    found = monte_carlo(
        sampler_of(total, FOUR, ("rectangular",) * 4), n_digits=2, max_draws=200_000
    )
    expected = 2.0 * math.sqrt(3.0) * (2.0 - 0.6**0.25)
    assert expected == pytest.approx(3.879, abs=5e-4)
    assert (found.low, found.high) == pytest.approx((-expected, expected), abs=0.03)
    assert found.shortest_high - found.shortest_low <= found.high - found.low


def test_one_wide_rectangle_does_not_validate_the_first_order():
    # JCGM 101:2008, 9.2.4 (from memory): three of u 1 and one of u 10, u = √103: first order ± 19.9, but the
    # rectangle itself ends at 17.3, and 95 % of it at 16.5
    groups = (*FOUR[:3], InputGroup.one("wide", 0.0, 10.0))
    found = monte_carlo(sampler_of(total, groups, ("rectangular",) * 4), n_digits=2)
    assert found.u == pytest.approx(math.sqrt(103.0), rel=0.01)
    assert found.high == pytest.approx(17.0, abs=0.3)
    assert not found.validates(0.0, 1.96 * math.sqrt(103.0))


def test_correlated_and_t_distributed_inputs():
    rng = np.random.default_rng(2)
    correlation = np.array([[1.0, 0.8], [0.8, 1.0]])
    group = InputGroup("pair", np.array([5.0, -1.0]), np.array([2.0, 0.5]), correlation, 6)
    rows = drawn(group, rng, 200_000)
    # a correlation of 0.8 from 200 000 draws is known to 0.0008
    assert np.corrcoef(rows.T)[0, 1] == pytest.approx(0.8, abs=0.004)
    assert np.std(rows, axis=0) == pytest.approx([2.0, 0.5], rel=0.01)
    heavy = drawn(group, rng, 200_000, "student")
    # variance of t: ν/(ν − 2)
    assert np.std(heavy, axis=0) == pytest.approx(np.sqrt(1.5) * group.u, rel=0.03)
    with pytest.raises(ValueError, match="uncorrelated"):
        drawn(group, rng, 10, "rectangular")


def test_inputs_that_are_fully_correlated_cancel():
    group = InputGroup("pair", np.zeros(2), np.ones(2), np.ones((2, 2)))
    found = monte_carlo(sampler_of(lambda rows: rows[:, 0] - rows[:, 1], [group]), max_draws=1000)
    assert found.u == pytest.approx(0.0, abs=1e-7)


@pytest.mark.parametrize(
    ("l1", "l2", "angle_deg", "sigma_px"),
    [(100, 100, 90, 1), (200, 150, 120, 2), (80, 60, 90, 3)],
)
def test_an_angle_of_three_points_agrees_with_its_first_order(l1, l2, angle_deg, sigma_px):
    def corner(rows):
        u, v = rows[:, 0:2] - rows[:, 2:4], rows[:, 4:6] - rows[:, 2:4]
        cross = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
        return np.degrees(np.arctan2(cross, np.sum(u * v, axis=1)))

    turn = math.radians(angle_deg)
    x = np.array([l1, 0.0, 0.0, 0.0, l2 * math.cos(turn), l2 * math.sin(turn)])
    group = InputGroup("points", x, np.full(6, float(sigma_px)))
    first = propagate(corner, [group])
    found = monte_carlo(sampler_of(corner, [group]))
    assert found.is_settled
    assert found.validates(float(first.value), float(first.expanded_u(0.95)))
    # u from some 10⁴ draws and more is known to 0.7 %; three times that
    assert found.u == pytest.approx(float(first.u), rel=0.02)


def test_it_stops_once_settled_and_says_when_it_is_not():
    settled = monte_carlo(sampler_of(total, FOUR))
    assert settled.is_settled
    assert settled.n_draws < 400_000
    assert settled == monte_carlo(sampler_of(total, FOUR))
    few = monte_carlo(sampler_of(total, FOUR), max_draws=500)
    assert (few.n_draws, few.is_settled) == (500, False)


def test_degenerate_draws_are_left_out_and_counted():
    def half(rows):
        return np.where(rows[:, 0] > 0.0, rows[:, 0], np.nan)

    found = monte_carlo(sampler_of(half, [FOUR[0]]), max_draws=10_000)
    assert found.n_degenerate == pytest.approx(5000, abs=150)
    assert found.low > 0.0
    nothing = monte_carlo(lambda _rng, n: np.full(n, np.nan), max_draws=100)
    assert math.isnan(nothing.value)


@pytest.mark.parametrize(
    ("u", "n_digits", "tolerance"),
    [(0.00035, 2, 0.000005), (2.0, 1, 0.5), (32.0, 2, 0.5), (0, 1, 0)],
)
def test_tolerances(u, n_digits, tolerance):
    # half a unit in the last digit that counts, worked out by hand
    assert numerical_tolerance(u, n_digits) == pytest.approx(tolerance)
