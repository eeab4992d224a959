"""Value and slope of a noisy series by local least squares, on even or uneven times.

A polynomial fitted in a window around each instant is a zero-lag low-pass whose weights are known,
so the noise it lets through can be stated exactly, gaps need no filling and times may be uneven.

References
----------
.. [1] Savitzky A, Golay MJE (1964). Analytical Chemistry 36:1627-1639.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
_EPS_S = 1e-9


@dataclass(frozen=True)
class LocalFit:
    """Local fits at some instants.

    Attributes
    ----------
    value, slope : ndarray, shape (m,)
        Fitted value, and slope per second; NaN where the window holds too few samples.
    value_gain, slope_gain : ndarray, shape (m,)
        Standard deviation of value and slope per unit of white noise in the samples.
    """

    value: FloatArray
    slope: FloatArray
    value_gain: FloatArray
    slope_gain: FloatArray


def local_fit(
    times_s: FloatArray,
    samples: FloatArray,
    at_s: FloatArray,
    *,
    half_width_s: float,
    degree: int = 3,
) -> LocalFit:
    """Fit a polynomial around each instant.

    Parameters
    ----------
    times_s, samples : ndarray, shape (n,)
        Series; NaN samples are left out.
    at_s : ndarray, shape (m,)
        Instants.
    half_width_s : float
        The window reaches this far to both sides.
    degree : int
        Degree of the polynomial.

    Returns
    -------
    LocalFit
        NaN where the window holds fewer than ``degree + 2`` samples, or none on one side of the
        instant: a slope is not extrapolated.
    """
    known = np.isfinite(samples)
    t, y = times_s[known], samples[known]
    value, slope, value_gain, slope_gain = np.full((4, len(at_s)), np.nan)
    first = np.searchsorted(t, at_s - half_width_s - _EPS_S)
    last = np.searchsorted(t, at_s + half_width_s + _EPS_S)
    n_before = np.searchsorted(t, at_s - _EPS_S) - first
    n_after = last - np.searchsorted(t, at_s + _EPS_S)
    enough = (last - first >= degree + 2) & (n_before >= 1) & (n_after >= 1)
    if np.any(enough):
        # Every window is a row of the same width; what a row does not need has no weight.
        columns = first[enough, None] + np.arange(np.max(last[enough] - first[enough]))
        weight = (columns < last[enough, None]).astype(np.float64)
        columns = np.minimum(columns, len(t) - 1)
        scaled = (t[columns] - at_s[enough, None]) / half_width_s
        powers = np.empty((*scaled.shape, degree + 1))
        powers[..., 0] = weight
        for order in range(1, degree + 1):
            powers[..., order] = powers[..., order - 1] * scaled
        inverse = np.linalg.inv(powers.mT @ powers)
        moments = powers.mT @ y[columns][..., None]
        coefficients = (inverse @ moments)[..., 0]
        value[enough] = coefficients[:, 0]
        slope[enough] = coefficients[:, 1] / half_width_s
        value_gain[enough] = np.sqrt(inverse[:, 0, 0])
        slope_gain[enough] = np.sqrt(inverse[:, 1, 1]) / half_width_s
    return LocalFit(value, slope, value_gain, slope_gain)
