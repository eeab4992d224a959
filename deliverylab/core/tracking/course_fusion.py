"""The likeliest course of a point through placed positions and seen steps, with its u.

Positions are where somebody placed the point; steps are how far the picture moved there from frame to
frame.  A step errs by noise and by a drift that changes slowly (cloth slides over a joint, a limb turns),
and a body does not change its speed at will.  All of it is one least-squares problem with a banded matrix,
whose inverse gives the variances: between two placed positions u grows toward the middle as that of a
Brownian bridge does.

References
----------
.. [1] Rauch H E, Tung F, Striebel C T (1965). AIAA J 3:1445-1450: smoothing by all observations.
.. [2] Holland P W, Welsch R E (1977). Commun Stat A6:813-827: iteratively reweighted least squares.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

_BAND = 4
"""Sub-diagonals: places two frames on are tied together, with a drift between each two."""
_N_REWEIGHTS = 2
_FAR = 2.0
"""A step this many of its u off the course counts for less."""
_COLUMNS = 256
"""Of the inverse at a time."""


@dataclass(frozen=True, kw_only=True)
class CourseInputs:
    """What is known of one point's course over n frames.

    Attributes
    ----------
    rows : ndarray of int, shape (a,)
        Frames (0 to n - 1) in which it is placed; one at least.
    placed_px, u_placed_px : ndarray, shapes (a, 2), (a,), px
        Where, and u of either coordinate.
    moved_px : ndarray, shape (n - 1, 2), px
        Steps; a guess where none is seen.
    u_moved_px, u_drift_px : ndarray, shape (n - 1,), px
        Noise of a step, and standard deviation of its drift.
    u_turn_px : ndarray, shape (n - 2,), px
        How much the step may change from frame to frame.
    drift_keeps : float
        Correlation of the drift from one step to the next.
    """

    rows: NDArray[np.int64]
    placed_px: FloatArray
    u_placed_px: FloatArray
    moved_px: FloatArray
    u_moved_px: FloatArray
    u_drift_px: FloatArray
    u_turn_px: FloatArray
    drift_keeps: float


def fused_course(inputs: CourseInputs) -> tuple[FloatArray, FloatArray]:
    """Return the likeliest places, shape (n, 2), and u of either coordinate, shape (n,), px.

    Steps that lie far off the course are weighted down, in a few rounds.
    """
    u_px = inputs.u_moved_px
    places = np.empty(0)
    for _ in range(_N_REWEIGHTS + 1):
        factor, right = _system(inputs, u_px)
        solved = _solve(factor, right)
        places, drift = solved[0::2], solved[1::2]
        off = np.hypot(*(np.diff(places, axis=0) - drift[:-1] - inputs.moved_px).T)
        u_px = inputs.u_moved_px * np.maximum(1.0, off / (_FAR * inputs.u_moved_px))
    return places, np.sqrt(_variances(factor))


def _system(inputs: CourseInputs, u_moved_px: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the banded Cholesky factor and the right-hand side; place and drift alternate."""
    from scipy.linalg import cholesky_banded

    n = len(u_moved_px) + 1
    band = np.zeros((_BAND + 1, 2 * n))
    right = np.zeros((2 * n, 2))

    def tie(
        columns: tuple[int, ...], factors: tuple[float | FloatArray, ...], u: FloatArray
    ) -> None:
        """Add the squares of (Σ factor · unknown) / u for all frames; columns count from each frame."""
        start = 2 * np.arange(len(u))
        for a, one in zip(columns, factors, strict=True):
            for b, other in zip(columns, factors, strict=True):
                if a >= b:
                    band[a - b, start + b] += one * other / u**2

    tie((2, 0, 1), (1.0, -1.0, -1.0), u_moved_px)
    weighted = inputs.moved_px / (u_moved_px**2)[:, None]
    right[2::2] += weighted
    right[0:-2:2] -= weighted
    right[1:-1:2] -= weighted
    own = np.append(inputs.u_drift_px, inputs.u_drift_px[-1])
    keeps = inputs.drift_keeps
    if n > 2:
        tie((0, 2, 4), (1.0, -2.0, 1.0), inputs.u_turn_px)
    # a drift of unit variance that forgets itself, in units of its own standard deviation
    fresh = np.full(n - 1, np.sqrt(1.0 - keeps**2))
    tie((1, 3), (-keeps / own[:-1], 1.0 / own[1:]), fresh)
    band[0, 1] += 1.0 / own[0] ** 2
    band[0, 2 * inputs.rows] += 1.0 / inputs.u_placed_px**2
    right[2 * inputs.rows] += inputs.placed_px / (inputs.u_placed_px**2)[:, None]
    return cholesky_banded(band, lower=True), right


def _solve(factor: FloatArray, right: FloatArray) -> FloatArray:
    from scipy.linalg import cho_solve_banded

    return np.asarray(cho_solve_banded((factor, True), right))


def _variances(factor: FloatArray) -> FloatArray:
    """Return the variances of the places, shape (n,)."""
    n = factor.shape[1] // 2
    found = np.empty(n)
    for first in range(0, n, _COLUMNS):
        rows = np.arange(first, min(first + _COLUMNS, n))
        ones = np.zeros((2 * n, len(rows)))
        ones[2 * rows, np.arange(len(rows))] = 1.0
        found[rows] = _solve(factor, ones)[2 * rows, np.arange(len(rows))]
    return found
