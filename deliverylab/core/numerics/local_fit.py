"""Value and slope of a noisy series by local least squares, on even or uneven times.

A polynomial fitted in a window around each instant is a zero-lag low-pass whose weights are known,
so the noise it lets through can be stated exactly, gaps need no filling and times may be uneven.

References
----------
.. [1] Savitzky A, Golay MJE (1964). Analytical Chemistry 36:1627-1639.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
_EPS_S = 1e-9


@dataclass(frozen=True)
class LocalFit:
    """Local fits at some instants.

    Attributes
    ----------
    value, slope : ndarray, shape (m,) or (m, k)
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
    times_s : ndarray, shape (n,)
        Times of the samples.
    samples : ndarray, shape (n,) or (n, k)
        One series or several; a sample with a NaN in any of them is left out.
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
    series = samples[:, None] if samples.ndim == 1 else samples
    known = np.isfinite(series).all(axis=1)
    times, instants = (np.asarray(each, np.float64).tobytes() for each in (times_s[known], at_s))
    windows = _windows(times, instants, half_width_s, degree)
    value, slope = np.full((2, len(at_s), series.shape[1]), np.nan)
    if np.any(windows.enough):
        seen = series[known][windows.columns]
        fitted = windows.weights @ seen
        value[windows.enough], slope[windows.enough] = fitted[:, 0], fitted[:, 1]
    shape = (len(at_s), *samples.shape[1:])
    gains = windows.value_gain, windows.slope_gain
    return LocalFit(value.reshape(shape), slope.reshape(shape), *gains)


@dataclass(frozen=True)
class _Windows:
    """What the samples are weighted with: it depends on the times alone.

    Attributes
    ----------
    enough : ndarray of bool, shape (m,)
        Which instants have samples enough; the next two have a row for each of these.
    columns : ndarray of int, shape (e, w)
        Samples of each window, all of the same width.
    weights : ndarray, shape (e, 2, w)
        Of value and slope; 0 for what a window does not need.
    value_gain, slope_gain : ndarray, shape (m,)
        As in `LocalFit`.
    """

    enough: NDArray[np.bool_]
    columns: NDArray[np.intp]
    weights: FloatArray
    value_gain: FloatArray
    slope_gain: FloatArray


@lru_cache(maxsize=16)
def _windows(times: bytes, instants: bytes, half_width_s: float, degree: int) -> _Windows:
    """Return the windows' weights, remembered: a moved point moves no time."""
    t, at_s = np.frombuffer(times), np.frombuffer(instants)
    value_gain, slope_gain = np.full((2, len(at_s)), np.nan)
    first = np.searchsorted(t, at_s - half_width_s - _EPS_S)
    last = np.searchsorted(t, at_s + half_width_s + _EPS_S)
    n_before = np.searchsorted(t, at_s - _EPS_S) - first
    n_after = last - np.searchsorted(t, at_s + _EPS_S)
    enough = (last - first >= degree + 2) & (n_before >= 1) & (n_after >= 1)
    if not np.any(enough):
        nothing = np.zeros((0, 0), dtype=np.intp)
        return _Windows(enough, nothing, np.zeros((0, 2, 0)), value_gain, slope_gain)
    columns = first[enough, None] + np.arange(np.max(last[enough] - first[enough]))
    is_inside = (columns < last[enough, None]).astype(np.float64)
    columns = np.minimum(columns, len(t) - 1)
    scaled = (t[columns] - at_s[enough, None]) / half_width_s
    powers = np.empty((*scaled.shape, degree + 1))
    powers[..., 0] = is_inside
    for order in range(1, degree + 1):
        powers[..., order] = powers[..., order - 1] * scaled
    inverse = np.linalg.inv(powers.mT @ powers)
    weights = (inverse @ powers.mT)[:, :2]
    weights[:, 1] /= half_width_s
    value_gain[enough] = np.sqrt(inverse[:, 0, 0])
    slope_gain[enough] = np.sqrt(inverse[:, 1, 1]) / half_width_s
    return _Windows(enough, columns, weights, value_gain, slope_gain)


def u_of_smoothing(
    difference: FloatArray | float,
    u_narrow: FloatArray | float,
    u_wide: FloatArray | float,
    *,
    margin: float,
    factor: float,
) -> FloatArray:
    """Return u of what a window takes away, from how far a wider one differs.

    Parameters
    ----------
    difference : float or ndarray
        Slope in the wider window less that in the narrower one.
    u_narrow, u_wide : float or ndarray
        What noise makes of either slope.
    margin : float
        Differences within so many standard deviations of noise count as noise.
    factor : float
        u over what is left of the difference.

    Returns
    -------
    ndarray
        0 where the difference is NaN.

    Notes
    -----
    Noise alone makes the two differ by √(u_narrow² − u_wide²), since the wider fit holds the narrower
    one's samples; only what is beyond that is smoothing.
    """
    noise = np.maximum(0.0, np.square(u_narrow) - np.square(u_wide))
    taken = np.maximum(0.0, np.square(difference) - margin**2 * noise)
    return np.asarray(factor * np.sqrt(np.where(np.isfinite(taken), taken, 0.0)))
