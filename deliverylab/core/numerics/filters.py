"""Zero-lag Butterworth low-pass on evenly spaced samples, its gaps, its ends and its noise gain.

The filter runs forward and backward over the samples, so it delays nothing.  Each run squares the
gain, so the cut-off of the single pass is raised until the whole is down to 0.7071 at the cut-off
that was asked for: on the tangent of the bilinear transform, where this is exact at every rate.

References
----------
.. [1] Winter DA (2009). Biomechanics and Motor Control of Human Movement, 4th ed, section 3.4.4.
.. [2] Robertson DGE, Dowling JJ (2003). J Electromyogr Kinesiol 13:569-573.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError

FloatArray = NDArray[np.float64]
UNRELIABLE_PERIODS = 0.7
"""Part of the cut-off's period at each end of a run within which the value hangs on the padding:
farther in, less than 5 % of an error of the padding is left (tested)."""
MIN_RUN_PERIODS = 0.5
MIN_RUN_SAMPLES = 6
"""Shorter runs carry no filtered value: nearly all of it would be padding."""
UNEVEN_SHARE = 0.05
"""Intervals may differ from their mean by this share and still count as even."""
N_RESPONSE = 4096
"""Points of the frequency axis over which noise gains are summed; twelve digits from 1000 on."""


def pass_correction(n_passes: int) -> float:
    """Return C: by how much the tangent of the cut-off is divided for this number of passes.

    Parameters
    ----------
    n_passes : int
        1 a single pass, 2 forward and backward, 4 that twice.

    Notes
    -----
    C = (2^(1/n) − 1)^(1/4) for passes of order 2.  Dividing the frequency itself by C, as is
    also printed, is right only far below the frame rate: 6 Hz at 30 Hz becomes 6.4 Hz.
    """
    return float((2.0 ** (1.0 / n_passes) - 1.0) ** 0.25)


def butterworth_coefficients(
    cutoff_hz: float, rate_hz: float, n_passes: int = 2
) -> tuple[FloatArray, FloatArray]:
    """Return numerator and denominator of one pass of order 2.

    Parameters
    ----------
    cutoff_hz : float
        Where all passes together are down to 0.7071.
    rate_hz : float
        Samples a second.
    n_passes : int
        How often it will be run.

    Returns
    -------
    b, a : ndarray, shape (3,)
        ``a[0]`` is 1.

    Raises
    ------
    InputValueError
        The cut-off is not between 0 and half the rate.
    """
    if not 0.0 < cutoff_hz < rate_hz / 2.0:
        raise InputValueError(
            "a cut-off lies between 0 and half the frame rate",
            where=f"{cutoff_hz:g} Hz at {rate_hz:g} frames a second",
            remedy=f"choose less than {rate_hz / 2.0:g} Hz, or film at a higher rate",
        )
    omega = math.tan(math.pi * cutoff_hz / rate_hz) / pass_correction(n_passes)
    first, second = math.sqrt(2.0) * omega, omega**2
    a0 = second / (1.0 + first + second)
    b1 = 2.0 * a0 * (1.0 / second - 1.0)
    b2 = 1.0 - (4.0 * a0 + b1)
    return np.array([a0, 2.0 * a0, a0]), np.array([1.0, -b1, -b2])


def low_pass(
    samples: FloatArray, rate_hz: float, cutoff_hz: float, n_passes: int = 2
) -> FloatArray:
    """Return the samples without what is faster than the cut-off; nothing is delayed.

    Parameters
    ----------
    samples : ndarray, shape (n,) or (n, k)
        Evenly spaced; a row with a NaN is a gap.
    rate_hz : float
        Samples a second.
    cutoff_hz : float
        Frequency at which the whole filter is down to 0.7071.
    n_passes : int
        2 or a multiple of it: each pair runs forward and backward.

    Returns
    -------
    ndarray, shape as `samples`
        NaN in gaps, and in runs shorter than `shortest_run` samples.

    Raises
    ------
    InputValueError
        The cut-off is not below half the rate, or the passes are not pairs.

    Notes
    -----
    Each run between gaps is filtered by itself, less the line through its ends.  Before
    itself turned about its end point (value and slope go on, the curvature is lost), over
    one period of the cut-off or as far as it is long.  Within `n_unreliable` samples of an end the
    result hangs on that.
    """
    from scipy.signal import filtfilt  # slow to load: only where something is filtered

    if n_passes < 2 or n_passes % 2:
        raise InputValueError("a filter without lag runs in pairs", where=f"{n_passes} passes")
    b, a = butterworth_coefficients(cutoff_hz, rate_hz, n_passes)
    smooth = np.full_like(samples, np.nan)
    for run in runs(samples):
        length = run.stop - run.start
        if length < shortest_run(rate_hz, cutoff_hz):
            continue
        n_padding = min(math.ceil(rate_hz / cutoff_hz), length - 1)
        # a straight line is not filtered: it would start the filter up anew at each end
        line = np.linspace(samples[run.start], samples[run.stop - 1], length)
        part = samples[run] - line
        for _ in range(n_passes // 2):
            part = filtfilt(b, a, part, axis=0, padtype="odd", padlen=n_padding)
        smooth[run] = line + part
    return smooth


def runs(samples: FloatArray) -> Iterator[slice]:
    """Yield the stretches of rows without a NaN, in order."""
    is_there = np.isfinite(samples).all(axis=tuple(range(1, samples.ndim)))
    edges = np.flatnonzero(np.diff(np.concatenate([[False], is_there, [False]]).astype(np.int8)))
    for start, stop in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        yield slice(start, stop)


def shortest_run(rate_hz: float, cutoff_hz: float) -> int:
    """Return the number of samples that a run needs to be filtered at all."""
    return max(MIN_RUN_SAMPLES, math.ceil(MIN_RUN_PERIODS * rate_hz / cutoff_hz))


def n_unreliable(rate_hz: float, cutoff_hz: float) -> int:
    """Return the number of samples at each end of a run that hang on how it was continued."""
    return math.ceil(UNRELIABLE_PERIODS * rate_hz / cutoff_hz)


def even_rate_hz(times_s: FloatArray) -> float:
    """Return the rate of evenly spaced times.

    Raises
    ------
    InputValueError
        Fewer than two, not ascending, or spaced unevenly: a recursive filter would take them for
        even.  `local_fit` and `smoothing_spline` take times as they are.
    """
    steps_s = np.diff(times_s)
    mean_s = float(np.mean(steps_s)) if len(steps_s) else 0.0
    if mean_s <= 0.0 or not np.all(np.abs(steps_s - mean_s) <= UNEVEN_SHARE * mean_s):
        raise InputValueError(
            "the frames are not evenly spaced in time, which this filter needs",
            remedy="use the local fit or the smoothing spline, which take times as they are",
        )
    return 1.0 / mean_s


def zero_lag_gain(
    frequencies_hz: FloatArray, rate_hz: float, cutoff_hz: float, n_passes: int = 2
) -> FloatArray:
    """Return the gain of the whole filter at some frequencies below half the rate."""
    b, a = butterworth_coefficients(cutoff_hz, rate_hz, n_passes)
    turn = np.exp(-2j * np.pi * np.asarray(frequencies_hz) / rate_hz)
    one_pass = np.abs(np.polyval(b[::-1], turn) / np.polyval(a[::-1], turn))
    gain: FloatArray = one_pass**n_passes
    return gain


@lru_cache(maxsize=256)
def noise_gains(rate_hz: float, cutoff_hz: float, n_passes: int = 2) -> tuple[float, float]:
    """Return what is left of white noise, per unit of its standard deviation.

    Returns
    -------
    value_gain : float
        Of a filtered value, away from the ends of a run.
    slope_gain : float
        Of the central difference of filtered values, per second.
    """
    frequencies_hz = (np.arange(N_RESPONSE) + 0.5) / N_RESPONSE * rate_hz / 2.0
    power = zero_lag_gain(frequencies_hz, rate_hz, cutoff_hz, n_passes) ** 2
    difference = rate_hz * np.sin(2.0 * np.pi * frequencies_hz / rate_hz)
    return math.sqrt(np.mean(power)), math.sqrt(np.mean(power * difference**2))


@lru_cache(maxsize=256)
def derivative_gain(rate_hz: float, cutoff_hz: float, order: int, n_passes: int = 2) -> float:
    """Return what is left of white noise in a derivative of the smooth course through filtered values.

    Parameters
    ----------
    order : int
        0 the value, 1 the slope (per s), 2 the bend (per s²).
    """
    frequencies_hz = (np.arange(N_RESPONSE) + 0.5) / N_RESPONSE * rate_hz / 2.0
    gain = zero_lag_gain(frequencies_hz, rate_hz, cutoff_hz, n_passes)
    return math.sqrt(np.mean((gain * (2.0 * np.pi * frequencies_hz) ** order) ** 2))


@lru_cache(maxsize=256)
def residual_gain(rate_hz: float, cutoff_hz: float, n_passes: int = 2) -> float:
    """Return what the filter takes out of white noise, per unit of its standard deviation."""
    frequencies_hz = (np.arange(N_RESPONSE) + 0.5) / N_RESPONSE * rate_hz / 2.0
    gain = zero_lag_gain(frequencies_hz, rate_hz, cutoff_hz, n_passes)
    return math.sqrt(np.mean((1.0 - gain) ** 2))
