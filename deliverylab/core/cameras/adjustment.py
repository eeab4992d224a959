"""One least squares over evidence of several kinds, with its covariance and studentised residuals.

Evidence gives residuals divided by their u, so that a sum of squares adds them up fairly; what is
known beforehand is evidence like any other.

References
----------
.. [1] Marquardt DW (1963). J Soc Ind Appl Math 11:431-441.
.. [2] Mikhail EM, Ackermann F (1976). Observations and Least Squares (adjustment, studentising).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

N_STEPS = 40
SMALL_GAIN = 1e-5
"""Ends when a step would lower the sum of squares by less than this; 1 is one residual's u²."""
FIRST_DAMPING, LEAST_DAMPING, MOST_DAMPING = 1e-3, 1e-9, 1e8
FREE = 1e-12
"""Eigenvalue of the scaled normal matrix below which a combination of unknowns is left free."""
FIXED_ROW = 1e-6
"""1 less a row's leverage, below which nothing else checks the row."""


@dataclass(frozen=True)
class Row:
    """What one residual is about.

    Attributes
    ----------
    kind : str
        ``click``, ``place``, ``focal``, ``level``, ``mark``, ``body``, ``height``, ``contact``, ``segment``.
    about : str
        Key of the control point, the landmark or the segment.
    camera, delivery : int
        Number of the camera and of the delivery, or -1.
    """

    kind: str
    about: str = ""
    camera: int = -1
    delivery: int = -1


class Evidence(Protocol):
    """What residuals and slopes can be asked of."""

    @property
    def rows(self) -> tuple[Row, ...]:
        """What each residual is about."""

    @property
    def n_informative(self) -> float:
        """How many of the rows count; rows that are empty here do not."""

    def residuals(self, unknowns: Array) -> Array:
        """Return residuals in units of their u, shape (n_rows,)."""

    def jacobian(self, unknowns: Array) -> Array:
        """Return the residuals' slopes, shape (n_rows, n_unknowns)."""


@dataclass(frozen=True, kw_only=True)
class Adjustment:
    """The solution of one least squares.

    Attributes
    ----------
    unknowns : Array, shape (n,)
    covariance : Array, shape (n, n)
        Inverse of the normal matrix; directions in which nothing is known are left out of it.
    n_free : int
        How many combinations of unknowns no evidence holds.
    rows : tuple of Row
    residuals, studentised : Array, shape (n_rows,)
        In units of u, and of what u leaves after the fit; NaN where nothing else checks the row.
    slack : Array, shape (n_rows,)
        Share of a row's own error that its residual shows: 1 less its leverage.
    chi_square : float
        Sum of squared residuals.
    n_degrees_of_freedom : float
    """

    unknowns: Array
    covariance: Array
    n_free: int
    rows: tuple[Row, ...]
    residuals: Array
    studentised: Array
    slack: Array
    chi_square: float
    n_degrees_of_freedom: float

    @property
    def chi_square_per_freedom(self) -> float:
        """About 1 where the stated u are right; NaN without a degree of freedom."""
        if self.n_degrees_of_freedom <= 0.0:
            return float("nan")
        return self.chi_square / self.n_degrees_of_freedom

    def of_kind(self, kind: str) -> NDArray[np.intp]:
        """Return the rows of one kind of evidence."""
        return np.flatnonzero([row.kind == kind for row in self.rows])


def adjust(evidence: Sequence[Evidence], start: Array) -> Adjustment:
    """Find the unknowns that fit all evidence best.

    Parameters
    ----------
    evidence : sequence of Evidence
    start : ndarray, shape (n,)

    Returns
    -------
    Adjustment
        Of the minimum that the start leads to; another start may lead to a lower one.
    """
    x = start.copy()
    damping = FIRST_DAMPING
    r, jacobian = _stacked(evidence, x)
    cost = float(r @ r)
    for _ in range(N_STEPS):
        normal, slope = jacobian.T @ jacobian, jacobian.T @ r
        size = np.diag(normal) + FREE
        gain = 0.0
        while damping < MOST_DAMPING:
            step = np.linalg.solve(normal + np.diag(damping * size), -slope)
            if -slope @ step < SMALL_GAIN:
                break
            trial = np.concatenate([part.residuals(x + step) for part in evidence])
            gain = cost - float(trial @ trial)
            if gain >= 0.0:
                break
            damping *= 5.0
        if not gain > 0.0:
            break
        x, damping = x + step, max(damping / 10.0, LEAST_DAMPING)
        r, jacobian = _stacked(evidence, x)
        cost = float(r @ r)
        if gain < SMALL_GAIN:
            break
    return _described(evidence, x, r, jacobian)


def _stacked(evidence: Sequence[Evidence], x: Array) -> tuple[Array, Array]:
    return (
        np.concatenate([part.residuals(x) for part in evidence]),
        np.concatenate([part.jacobian(x) for part in evidence]),
    )


def _described(evidence: Sequence[Evidence], x: Array, r: Array, jacobian: Array) -> Adjustment:
    covariance, n_free = inverse_normal(jacobian)
    leverage = np.sum((jacobian @ covariance) * jacobian, axis=1)
    slack = 1.0 - leverage
    studentised = np.full_like(r, np.nan)
    checked = slack > FIXED_ROW
    studentised[checked] = r[checked] / np.sqrt(slack[checked])
    n_rows = sum(part.n_informative for part in evidence)
    return Adjustment(
        unknowns=x,
        covariance=covariance,
        n_free=n_free,
        rows=tuple(row for part in evidence for row in part.rows),
        residuals=r,
        studentised=studentised,
        slack=np.maximum(slack, 0.0),
        chi_square=float(r @ r),
        n_degrees_of_freedom=float(n_rows - (len(x) - n_free)),
    )


def inverse_normal(jacobian: Array) -> tuple[Array, int]:
    """Invert JᵀJ where something is known.

    Returns
    -------
    covariance : ndarray, shape (n, n)
    n_free : int
        How many directions are left out because nothing holds them.
    """
    normal = jacobian.T @ jacobian
    size = np.sqrt(np.where(np.diag(normal) > 0.0, np.diag(normal), 1.0))
    values, vectors = np.linalg.eigh(normal / np.outer(size, size))
    known = values > FREE
    inverse = np.where(known, 1.0 / np.where(known, values, 1.0), 0.0)
    covariance: Array = (vectors * inverse) @ vectors.T / np.outer(size, size)
    return covariance, int(np.sum(~known))
