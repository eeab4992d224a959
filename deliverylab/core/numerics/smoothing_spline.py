"""Smoothing spline whose stiffness is chosen by generalised cross-validation, with its noise gain.

References
----------
.. [1] Craven P, Wahba G (1979). Numer Math 31:377-403.
.. [2] Woltring HJ (1986). Adv Eng Softw 8:104-113 (its use for movement).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
MIN_RUN = 8
"""Samples below which a stretch between gaps carries no spline: cross-validation needs some."""


@dataclass(frozen=True)
class SplineFit:
    """A smoothing spline at some instants.

    Attributes
    ----------
    value, slope, curvature : ndarray, shape (m,)
        Value, and derivatives per second and second squared; NaN outside the samples and in gaps.
    value_gain, slope_gain : ndarray, shape (m,)
        Standard deviation of value and slope per unit of white noise in the samples, for the
        stiffness as chosen.
    scatter : float
        Standard deviation of the samples' noise, if it is white; NaN without a stretch.
    """

    value: FloatArray
    slope: FloatArray
    curvature: FloatArray
    value_gain: FloatArray
    slope_gain: FloatArray
    scatter: float


def smoothing_spline(
    times_s: FloatArray, samples: FloatArray, at_s: FloatArray, *, max_gap_s: float
) -> SplineFit:
    """Fit a cubic smoothing spline to each stretch between gaps.

    Parameters
    ----------
    times_s, samples : ndarray, shape (n,)
        Ascending times, even or uneven; NaN samples are left out.
    at_s : ndarray, shape (m,)
        Instants.
    max_gap_s : float
        Samples farther apart than this are not bridged.

    Notes
    -----
    One stiffness serves a whole stretch: where a slow and a quick part follow each other, the slow
    one is smoothed too little or the quick one too much.  Near the ends the noise gain rises, and
    the natural spline's second derivative is 0 there.
    """
    value, slope, curvature, value_gain, slope_gain = np.full((5, len(at_s)), np.nan)
    known = np.isfinite(samples)
    t, y = times_s[known], samples[known]
    squares, freedom = 0.0, 0.0
    for run in np.split(np.arange(len(t)), np.flatnonzero(np.diff(t) > max_gap_s) + 1):
        if len(run) < MIN_RUN:
            continue
        spline, weights, stiffness_freedom = _fitted(t[run], y[run])
        residuals = y[run] - spline(t[run])
        squares += float(residuals @ residuals)
        freedom += stiffness_freedom
        inside = (at_s >= t[run[0]]) & (at_s <= t[run[-1]])
        value[inside] = spline(at_s[inside])
        slope[inside] = spline(at_s[inside], 1)
        curvature[inside] = spline(at_s[inside], 2)
        value_gain[inside] = np.linalg.norm(weights(at_s[inside]), axis=1)
        slope_gain[inside] = np.linalg.norm(weights(at_s[inside], 1), axis=1)
    scatter = float(np.sqrt(squares / freedom)) if freedom > 0.0 else float("nan")
    return SplineFit(value, slope, curvature, value_gain, slope_gain, scatter)


def _fitted(t: FloatArray, y: FloatArray) -> tuple[Any, Any, float]:
    """Return the spline, its weights as a spline of n columns, and the residuals' freedom."""
    from scipy.interpolate import make_smoothing_spline  # slow to load: only where one is fitted

    spline = make_smoothing_spline(t, y)
    weights = make_smoothing_spline(t, np.eye(len(t)), lam=_stiffness(spline, t, y))
    return spline, weights, len(t) - float(np.trace(weights(t)))


def _stiffness(spline: Any, t: FloatArray, y: FloatArray) -> float:
    """Return the λ of Σ(y − f)² + λ∫f''² that a fitted spline minimises.

    At the minimum Σ f(y − f) = λ∫f''²; f'' is straight between samples, so the integral is exact.
    """
    fitted, bend, steps_s = spline(t), spline(t, 2), np.diff(t)
    pairs = bend[:-1] ** 2 + bend[:-1] * bend[1:] + bend[1:] ** 2
    integral = float(np.sum(steps_s * pairs)) / 3.0
    stiffest = len(t) * float(t[-1] - t[0]) ** 3
    # the residuals stand square on any straight line: without it nothing large cancels
    bent = fitted - np.polynomial.Polynomial.fit(t, fitted, 1)(t)
    work = float(bent @ (y - fitted))
    return min(work / integral, stiffest) if work > 0.0 and integral > 0.0 else stiffest
