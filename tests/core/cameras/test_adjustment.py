from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.adjustment import Row, adjust, inverse_normal


class Curve:
    """y = a exp(-b t), measured with u 0.01."""

    def __init__(self, t, y, u=0.01):
        self.t, self.y, self.u = t, y, u
        self.rows = tuple(Row("point", str(row)) for row in range(len(t)))
        self.n_informative = float(len(t))

    def residuals(self, x):
        return (x[0] * np.exp(-x[1] * self.t) - self.y) / self.u

    def jacobian(self, x):
        e = np.exp(-x[1] * self.t)
        return np.stack([e, -x[0] * self.t * e], axis=1) / self.u


T = np.linspace(0.0, 3.0, 20)


def test_a_curve_is_found_with_the_covariance_that_simulation_gives():
    rng = np.random.default_rng(4)
    found, squares = [], []
    for _ in range(200):
        fit = adjust([Curve(T, 2.0 * np.exp(-0.7 * T) + rng.normal(0, 0.01, 20))], np.ones(2))
        found.append(fit.unknowns)
        squares.append(fit.chi_square_per_freedom)
    assert np.mean(found, axis=0) == pytest.approx([2.0, 0.7], abs=0.002)
    # a standard deviation from 200 draws is good to 5 %, a covariance somewhat less: 25 %
    assert np.cov(np.array(found).T) == pytest.approx(fit.covariance, rel=0.25)
    assert np.mean(squares) == pytest.approx(1.0, abs=0.08)
    assert fit.n_degrees_of_freedom == 18.0


def test_a_blunder_has_the_largest_studentised_residual():
    y = 2.0 * np.exp(-0.7 * T)
    y[7] += 0.1
    fit = adjust([Curve(T, y)], np.array([1.5, 0.5]))
    worst = int(np.argmax(np.abs(fit.studentised)))
    assert fit.rows[worst].about == "7"
    # ten u, less the share of itself that the fit takes along
    assert abs(fit.studentised[worst]) == pytest.approx(10.0, rel=0.1)
    assert fit.of_kind("point").tolist() == list(range(20))


def test_rows_that_nothing_checks_have_no_studentised_residual():
    fit = adjust([Curve(T[:2], np.array([2.0, 1.8]))], np.array([1.5, 0.5]))
    assert np.isnan(fit.studentised).all()
    assert np.isnan(fit.chi_square_per_freedom)


def test_a_free_direction_is_counted_and_left_out():
    covariance, n_free = inverse_normal(np.array([[1.0, 1.0, 0.0], [2.0, 2.0, 0.0], [0, 0, 5.0]]))
    assert n_free == 1
    assert covariance[2, 2] == pytest.approx(0.04)
