"""The largest value of a course and of its rate: how high, when, and how both move with each input.

The largest of a course that scatters is too high on average, the more so the flatter its top is: how
much, and how both scatter, is told by noise of the same band laid over the course many times.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.space_courses import Asked, Course, course, slower_course
from deliverylab.core.numerics.filters import zero_lag_gain

STEP_S = 0.004
"""Between instants of a course: the parabola through three of them tells the top between."""
N_BESIDE = 2
"""Instants beside a rate on either side: its slope is that of the quartic through five."""
LOWER_SHARE = 0.5
"""Of the cut-off, that of a second course: with little scatter, noise is laid over it."""
N_DRAWS = 200
"""Courses with noise: the mean of their tops is known to a fourteenth of its spread."""


def grid_s(start_s: float, end_s: float) -> FloatArray:
    """Return even instants about `STEP_S` apart from start to end, and `N_BESIDE` more at each end."""
    n = max(math.ceil((end_s - start_s) / STEP_S), 2 * N_BESIDE)
    instants_s: FloatArray = start_s + (end_s - start_s) / n * np.arange(
        -N_BESIDE, n + N_BESIDE + 1.0
    )
    return instants_s


def inner(values: FloatArray) -> FloatArray:
    """Return the values from start to end, without the instants beside."""
    return values[..., N_BESIDE:-N_BESIDE]


def rates(values: FloatArray, step_s: float) -> FloatArray:
    """Return the slope of even samples from start to end, shape (..., n − 2 `N_BESIDE`), per s."""
    far, near = values[..., 4:] - values[..., :-4], values[..., 3:-1] - values[..., 1:-3]
    slope: FloatArray = (8.0 * near - far) / (12.0 * step_s)
    return slope


@dataclass(frozen=True)
class Top:
    """The largest value of a course, or of its rate.

    Attributes
    ----------
    value, time_s : float
        What the scatter of places adds to the largest is taken off; a flat top's time is its middle.
    changes, time_changes_s : ndarray, shape (k,)
        By one u of each input of the course.
    scatter, scatter_time_s : ndarray, shape (n_placing,)
        What the scatter of each place makes of them besides.
    raised : float
        What the scatter of places had added.
    taken, later_s : float
        How much lower and later it is with the lower cut-off.
    slope_per_s : float
        How fast the course goes on where the top is its first or last instant; else 0.
    is_first : bool
        Whether it is the first instant rather than the last, where it is one of them.
    is_beside_gap : bool
        Whether the course is not known next to it: the top may lie there.
    """

    value: float
    time_s: float
    changes: FloatArray
    time_changes_s: FloatArray
    scatter: FloatArray
    scatter_time_s: FloatArray
    raised: float
    taken: float
    later_s: float
    slope_per_s: float
    is_first: bool
    is_beside_gap: bool


@lru_cache(maxsize=128)
def top_of(asked: Asked, order: int = 0, sign: float = 1.0) -> Top | None:
    """Return the largest value of a course from start to end, or of its rate; None where none is known.

    Parameters
    ----------
    asked : Asked
        At instants of `grid_s`.
    order : int
        0 the value, 1 its rate, a positive number.
    sign : float
        −1 for the fastest fall.
    """
    seen = course(asked)
    lower = slower_course(asked, LOWER_SHARE * asked.cutoff_hz)
    courses = seen.values, seen.moved, lower
    if order == 0:
        plain, moved, of_lower = (sign * inner(each) for each in courses)
    else:
        step_s = float(seen.times_s[1] - seen.times_s[0])
        plain, moved, of_lower = (sign * rates(each, step_s) for each in courses)
    return _top(seen, plain, moved, of_lower, order) if np.isfinite(plain).any() else None


def highest(values: FloatArray, times_s: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the highest value of each course and when, by the parabola through it and two beside.

    Parameters
    ----------
    values : ndarray, shape (..., n)
        With at least one known in each.
    times_s : ndarray, shape (n,)
        Even.

    Returns
    -------
    value, time_s : ndarray, shape (...)
    """
    row = np.argmax(np.where(np.isfinite(values), values, -np.inf), axis=-1)[..., None]
    last = values.shape[-1] - 1
    low, mid, high = (
        np.take_along_axis(values, np.clip(row + step, 0, last), axis=-1)[..., 0]
        for step in (-1, 0, 1)
    )
    row = row[..., 0]
    bend = low - 2.0 * mid + high
    is_inside = (row > 0) & (row < last) & (bend < 0.0)
    share = np.where(is_inside, 0.5 * (low - high) / np.where(is_inside, bend, 1.0), 0.0)
    value = mid - 0.25 * np.where(is_inside, low - high, 0.0) * share
    return value, times_s[row] + share * (times_s[1] - times_s[0])


def _top(seen: Course, plain: FloatArray, moved: FloatArray, lower: FloatArray, order: int) -> Top:
    times_s = inner(seen.times_s)
    step_s = float(times_s[1] - times_s[0])
    value, time_s = (float(each) for each in highest(plain, times_s))
    values, instants_s = highest(moved, times_s)
    row = int(np.argmax(np.where(np.isfinite(plain), plain, -np.inf)))
    # by one u of each place the quantity itself: it scatters as that place does
    own = 0.5 * (inner(seen.moved)[0] - inner(seen.moved)[1])[: seen.n_placing]
    by_place = own * seen.scatter[order][:, None]
    u = np.sqrt(np.sum(by_place**2, axis=0))
    shares = by_place[:, row] / u[row] if u[row] > 0.0 else np.zeros(len(by_place))
    base = np.where(np.isfinite(lower), lower, plain)
    base_value, base_s = (float(each) for each in highest(base, times_s))
    scatter = u * noise(len(times_s), step_s, seen.cutoff_hz, order)
    drawn, drawn_s = highest(base + scatter, times_s)
    # half the cut-off still has a part of the scatter, which raises its own top
    left = u * LOWER_SHARE ** (0.5 + order)
    slower = noise(len(times_s), step_s, LOWER_SHARE * seen.cutoff_hz, order)
    of_lower, _ = highest(base + left * slower, times_s)
    raised, raised_lower = float(np.mean(drawn)), float(np.mean(of_lower))
    raised, raised_lower = raised - base_value, raised_lower - base_value
    is_edge = row in {0, len(plain) - 1}
    return Top(
        value=value - raised - raised_lower,
        time_s=float(np.mean(highest(plain + scatter, times_s)[1])),
        changes=0.5 * (values[0] - values[1]),
        time_changes_s=0.5 * (instants_s[0] - instants_s[1]),
        # a place's whole u, scatter included, moves the value itself; a rate scatters besides
        scatter=by_place[:, row] if order else np.zeros(len(by_place)),
        scatter_time_s=shares * float(np.std(drawn_s)),
        raised=raised + raised_lower,
        taken=value - raised - base_value,
        later_s=base_s - time_s,
        slope_per_s=_edge_slope(plain, row, step_s) if is_edge else 0.0,
        is_first=row == 0,
        is_beside_gap=bool(np.isnan(plain[max(row - N_BESIDE, 0) : row + N_BESIDE + 1]).any()),
    )


def _edge_slope(values: FloatArray, row: int, step_s: float) -> float:
    beside = 1 if row == 0 else row - 1
    slope = (values[row] - values[beside]) / step_s
    return abs(float(slope)) if np.isfinite(slope) else 0.0


@lru_cache(maxsize=32)
def noise(n: int, step_s: float, cutoff_hz: float, order: int) -> FloatArray:
    """Return noise below a cut-off, or its slope (order 1), shape (`N_DRAWS`, n), of SD 1.

    The same draws each time: a result does not change by itself.
    """
    length = 2 ** math.ceil(math.log2(2 * n))
    frequencies_hz = np.arange(length // 2 + 1.0) / (length * step_s)
    size = zero_lag_gain(frequencies_hz, 1.0 / step_s, cutoff_hz) * frequencies_hz**order
    rng = np.random.default_rng(1)
    waves = rng.standard_normal((2, N_DRAWS, len(size)))
    drawn = np.fft.irfft(size * (waves[0] + 1j * waves[1]), length)[:, :n]
    scaled: FloatArray = drawn / np.sqrt(np.mean(drawn**2))
    return scaled
