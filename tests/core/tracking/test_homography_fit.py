"""Homographies are fitted with a covariance that holds, also one after the other."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.tracking.homography_fit import FEWEST_CORNERS, fitted, in_turn, mapped
from tests.core.tracking.turned import turning

FIRST, SECOND = turning([(3.0, 1.0, 0.5), (-2.0, 0.5, 1.0)])
PLACES = np.array([[0.0, 0.0], [240.0, 180.0], [479.0, 359.0]])
SCATTER_PX = 0.2


def points(rng, n=60):
    return rng.uniform((0.0, 0.0), (480.0, 360.0), (n, 2))


def noisy(rng, matrix, n=60):
    at_px = points(rng, n)
    return fitted(at_px, mapped(matrix, at_px)[0] + rng.normal(0.0, SCATTER_PX, (n, 2)))


def spread(fit):
    """Return variances of the two coordinates of the places together, (3,)."""
    by_entry = mapped(fit.matrix, PLACES)[1]
    return np.einsum("mij,jk,mik->m", by_entry, fit.covariance, by_entry)


def test_errors_are_as_large_as_the_covariance_says_for_one_and_for_two_in_turn():
    rng = np.random.default_rng(3)
    one, both, scatter = [], [], []
    for _ in range(150):
        first, second = noisy(rng, FIRST), noisy(rng, SECOND)
        whole = in_turn(first, second)
        for fit, true, ratios in ((first, FIRST, one), (whole, SECOND @ FIRST, both)):
            error_px = mapped(fit.matrix, PLACES)[0] - mapped(true, PLACES)[0]
            ratios.append(np.sum(error_px**2, axis=1) / spread(fit))
        scatter.append(first.scatter_px)
    assert np.mean(scatter) == pytest.approx(SCATTER_PX, rel=0.05)
    assert np.mean(one, axis=0) == pytest.approx(1.0, abs=0.3)
    assert np.mean(both, axis=0) == pytest.approx(1.0, abs=0.3)


def test_derivatives_are_those_of_differences():
    by_entry = mapped(FIRST, PLACES)[1]
    for entry in range(8):
        step = 1e-7 if entry >= 6 else 1e-4
        other = FIRST.copy().ravel()
        other[entry] += step
        moved = mapped(other.reshape(3, 3), PLACES)[0] - mapped(FIRST, PLACES)[0]
        assert moved / step == pytest.approx(by_entry[:, :, entry], rel=1e-3, abs=1e-3)


def test_points_that_go_their_own_way_are_left_out():
    rng = np.random.default_rng(5)
    at_px = points(rng, 100)
    goal_px = mapped(FIRST, at_px)[0] + rng.normal(0.0, SCATTER_PX, (100, 2))
    goal_px[:35] += (12.0, -5.0)
    fit = fitted(at_px, goal_px)
    assert fit is not None
    assert 55 <= fit.n_corners <= 65
    assert mapped(fit.matrix, PLACES)[0] == pytest.approx(mapped(FIRST, PLACES)[0], abs=0.5)


def test_too_few_points_that_agree_give_nothing():
    rng = np.random.default_rng(6)
    assert noisy(rng, FIRST, FEWEST_CORNERS - 1) is None
    at_px = points(rng, 60)
    assert fitted(at_px, points(rng, 60)) is None
