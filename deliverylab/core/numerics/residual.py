"""Residual analysis: which cut-off suits a series, and how much its samples scatter.

The series is filtered at many cut-offs.  What the filter takes out is noise where the cut-off is high,
and more and more of the movement where it is low.  The straight part of that curve, drawn
back to zero, is what noise alone would leave; the cut-off at which the residual equals it weighs the
movement lost against the noise kept.

References
----------
.. [1] Winter DA (2009). Biomechanics and Motor Control of Human Movement, 4th ed, section 3.4.4.3.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError
from deliverylab.core.numerics.filters import low_pass, residual_gain, runs

FloatArray = NDArray[np.float64]
STEP_HZ = 0.25
LOWEST_HZ = 1.0
LINE_RATE_SHARES = (0.24, 0.38)
"""Straight part of the curve as shares of the rate: above, the rate bends it."""
LINE_MOST_HZ = (25.0, 50.0)
"""It need not begin above the fastest part of a body's movement, nor go on for ever."""
MIN_RUN = 12
"""Samples that a run must have to be counted."""
MIN_SAMPLES = 40
MEDIAN_TO_SD = 1.4826
"""Standard deviation over the median of absolute values, for a normal distribution."""


@dataclass(frozen=True)
class ResidualAnalysis:
    """What filtering takes out of a series at each cut-off.

    Attributes
    ----------
    cutoffs_hz, residuals : ndarray, shape (m,)
        Root mean square difference of samples and filtered samples, in the unit of the samples.
    line_hz : (float, float)
        Range over which the straight line was fitted.
    intercept, slope : float
        Of that line: the residual at 0 Hz, and its change per hertz.
    cutoff_hz : float or None
        Where the residual equals the intercept; None where it never does.
    scatter : float
        Standard deviation of the samples' noise, if it is white: the residuals over the line's
        range against what the same filter takes out of white noise.
    n_samples : int
        Number of rows used.
    """

    cutoffs_hz: FloatArray
    residuals: FloatArray
    line_hz: tuple[float, float]
    intercept: float
    slope: float
    cutoff_hz: float | None
    scatter: float
    n_samples: int


def residual_analysis(
    samples: FloatArray, rate_hz: float, line_hz: tuple[float, float] | None = None
) -> ResidualAnalysis:
    """Filter a series at many cut-offs and find the one that suits it.

    Parameters
    ----------
    samples : ndarray, shape (n,) or (n, k)
        Evenly spaced; rows with NaN are gaps.  The residual is that of one coordinate, root mean
        square over all k.
    rate_hz : float
        Samples a second.
    line_hz : (float, float), optional
        Where the curve is taken for straight; by default 0.24 to 0.38 of the rate, but beginning at
        25 Hz at most and ending at 50 Hz at most.

    Raises
    ------
    InputValueError
        Too few samples in runs without gaps, or a range the rate does not hold.

    Notes
    -----
    The range of the line is a choice, and moves the cut-off by about 1 Hz.  Noise that is shared by
    neighbouring frames (tracked points) looks like movement: the scatter is then too small.
    """
    usable = np.full_like(samples, np.nan)
    for run in runs(samples):
        if run.stop - run.start >= MIN_RUN:
            usable[run] = samples[run]
    n_samples = sum(run.stop - run.start for run in runs(usable))
    if n_samples < MIN_SAMPLES:
        raise InputValueError(
            f"{n_samples} frames in a row are too few for a residual analysis",
            remedy=f"place the landmark on {MIN_SAMPLES} frames or more, without gaps",
        )
    line_hz = line_hz or (
        min(LINE_RATE_SHARES[0] * rate_hz, LINE_MOST_HZ[0]),
        min(LINE_RATE_SHARES[1] * rate_hz, LINE_MOST_HZ[1]),
    )
    cutoffs_hz = np.arange(LOWEST_HZ, line_hz[1] + 1e-9, STEP_HZ)
    residuals = np.array([_residual(usable, rate_hz, cutoff_hz) for cutoff_hz in cutoffs_hz])
    is_line = cutoffs_hz >= line_hz[0]
    slope, intercept = np.polyfit(cutoffs_hz[is_line], residuals[is_line], 1)
    white = np.array([residual_gain(rate_hz, cutoff_hz) for cutoff_hz in cutoffs_hz[is_line]])
    return ResidualAnalysis(
        cutoffs_hz=cutoffs_hz,
        residuals=residuals,
        line_hz=line_hz,
        intercept=float(intercept),
        slope=float(slope),
        cutoff_hz=_crossing_hz(cutoffs_hz, residuals, float(intercept)),
        scatter=float(np.sqrt(np.mean((residuals[is_line] / white) ** 2))),
        n_samples=n_samples,
    )


def _residual(samples: FloatArray, rate_hz: float, cutoff_hz: float) -> float:
    """Return the root mean square of what the filter takes out; NaN where no run is long enough."""
    taken_out = samples - low_pass(samples, rate_hz, cutoff_hz)
    is_known = np.isfinite(taken_out)
    return float(np.sqrt(np.mean(taken_out[is_known] ** 2))) if is_known.any() else float("nan")


def _crossing_hz(cutoffs_hz: FloatArray, residuals: FloatArray, intercept: float) -> float | None:
    """Return the lowest cut-off from which on the residual stays below the intercept."""
    above = np.flatnonzero(residuals > intercept)
    if not len(above) or above[-1] + 1 == len(residuals):
        return None
    row = int(above[-1])
    share = (residuals[row] - intercept) / (residuals[row] - residuals[row + 1])
    return float(cutoffs_hz[row] + share * (cutoffs_hz[row + 1] - cutoffs_hz[row]))
