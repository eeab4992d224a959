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
    scaled = (t[None, :] - at_s[:, None]) / half_width_s
    weight = (np.abs(scaled) <= 1.0 + 1e-9).astype(np.float64)
    n_before = np.sum(weight * (scaled < -1e-9), axis=1)
    n_after = np.sum(weight * (scaled > 1e-9), axis=1)
    enough = (np.sum(weight, axis=1) >= degree + 2) & (n_before >= 1) & (n_after >= 1)
    nan = np.full(len(at_s), np.nan)
    value, slope, value_gain, slope_gain = nan.copy(), nan.copy(), nan.copy(), nan.copy()
    if np.any(enough):
        powers = scaled[enough, :, None] ** np.arange(degree + 1) * weight[enough, :, None]
        gram = np.einsum("mni,mnj->mij", powers, powers)
        inverse = np.linalg.pinv(gram, hermitian=True)
        moments = np.einsum("mni,n->mi", powers, y)
        coefficients = np.einsum("mij,mj->mi", inverse, moments)
        value[enough] = coefficients[:, 0]
        slope[enough] = coefficients[:, 1] / half_width_s
        value_gain[enough] = np.sqrt(inverse[:, 0, 0])
        slope_gain[enough] = np.sqrt(inverse[:, 1, 1]) / half_width_s
    return LocalFit(value, slope, value_gain, slope_gain)
