"""One landmark's course over time: smoothed, with gaps left open, and how noisy it is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from deliverylab.core.events.rules import HARDEST_TURN_M_S2, WILD_M, WILD_SDS
from deliverylab.core.numerics.local_fit import LocalFit, local_fit
from deliverylab.core.numerics.residual import MEDIAN_TO_SD

FloatArray = NDArray[np.float64]

GRID_STEP_S = 0.001
"""Instants at which a course is looked at; crossings are interpolated between them."""
LEAST_SAMPLES_PER_SIDE = 3
"""A window holds at least so many frames to both sides, however slow the camera."""
WELL_ABOVE = 2.0
"""Times a level: as high as noise does not carry a course that rests."""
_N_NEIGHBOURS = 5
LEAST_SAMPLES = 8
"""Fewer positions are points, not a course."""


class Found(NamedTuple):
    """An instant and its standard uncertainty from noise alone, real seconds."""

    time_s: float
    u_s: float

    def later(self, by_s: float) -> Found:
        """Return the instant so much later, as sure as this."""
        return Found(self.time_s + by_s, self.u_s)


@dataclass(frozen=True)
class Outcome:
    """What a rule found, or why it found nothing.

    Attributes
    ----------
    found : Found or None
        With u from noise alone.
    rule : str
        Key of its spread in `rules.SPREADS`; empty without a find.
    why : str
        How it was found, or what would let it be found.
    """

    found: Found | None
    rule: str
    why: str

    @classmethod
    def nothing(cls, why: str) -> Outcome:
        """Return that nothing was found, and why."""
        return cls(None, "", why)


@dataclass(frozen=True)
class Course:
    """Places of a landmark over time.

    Attributes
    ----------
    times_s : ndarray, shape (n,), real seconds
        Rising.
    values : ndarray, shape (n, k), m
        Without NaN; degrees where it is the course of an angle.
    half_width_s : float
        Window of the local cubic fit that smooths it.
    """

    times_s: FloatArray
    values: FloatArray
    half_width_s: float

    @classmethod
    def of(cls, times_s: FloatArray, values: FloatArray, half_width_s: float) -> Course | None:
        """Return the course of places that may hold NaN; None where too few are known."""
        known = np.isfinite(values).all(axis=1)
        if np.count_nonzero(known) < LEAST_SAMPLES:
            return None
        step_s = float(np.median(np.diff(times_s)))
        wide_s = max(half_width_s, LEAST_SAMPLES_PER_SIDE * step_s)
        return cls(times_s[known], values[known], wide_s)

    def at(self, at_s: FloatArray) -> LocalFit:
        """Return places and speeds at some instants; NaN in gaps and at the ends."""
        return local_fit(self.times_s, self.values, at_s, half_width_s=self.half_width_s)

    @cached_property
    def grid_s(self) -> FloatArray:
        """Instants from the first position to the last, shape (m,), s."""
        return np.arange(self.times_s[0], self.times_s[-1] + 0.5 * GRID_STEP_S, GRID_STEP_S)

    @cached_property
    def on_grid(self) -> LocalFit:
        """Places and speeds on the grid."""
        return self.at(self.grid_s)

    @cached_property
    def velocity_m_s(self) -> FloatArray:
        """Velocity on the grid, shape (m, k), m/s; NaN in gaps and within half a window of the ends.

        A slope at the very end leans on one side alone, and its noise would pass for a fast motion.
        """
        velocity = self.on_grid.slope.copy()
        from_start_s, to_end_s = self.grid_s - self.grid_s[0], self.grid_s[-1] - self.grid_s
        velocity[np.minimum(from_start_s, to_end_s) < self.half_width_s] = np.nan
        return velocity

    @property
    def speed_m_s(self) -> FloatArray:
        """Speed along the course on the grid, shape (m,), m/s; NaN where the velocity is."""
        return np.asarray(np.linalg.norm(self.velocity_m_s, axis=1))

    @cached_property
    def scatter(self) -> float:
        """Standard deviation of one coordinate of one position, as `values`; NaN where no run tells."""
        fit = self.at(self.times_s)
        # what a least-squares fit leaves of its own sample is smaller than that one's error
        left = np.sqrt(np.maximum(1.0 - np.square(fit.value_gain), 0.05))
        rest = np.abs(self.values - fit.value) / left[:, None]
        rest = rest[np.isfinite(rest).all(axis=1)]
        return MEDIAN_TO_SD * float(np.median(rest)) if rest.size else float("nan")


def without_wild(times_s: FloatArray, places_m: FloatArray) -> FloatArray:
    """Return places with those that lie far off their neighbours as NaN, shape (n, k), m.

    Notes
    -----
    The median of five in a row is the middle one while a landmark moves on, however fast; where it
    turns round it is off by half its acceleration times the frame interval squared.
    """
    known = np.flatnonzero(np.isfinite(places_m).all(axis=1))
    if len(known) < _N_NEIGHBOURS:
        return places_m
    near = sliding_window_view(places_m[known], _N_NEIGHBOURS, axis=0)
    half = _N_NEIGHBOURS // 2
    off_m = np.linalg.norm(places_m[known[half:-half]] - np.median(near, axis=-1), axis=1)
    steps_s = (times_s[known][2 * half :] - times_s[known][: -2 * half]) / (2 * half)
    turn_m = 0.5 * HARDEST_TURN_M_S2 * steps_s**2
    most_m = np.maximum(
        max(WILD_M, WILD_SDS * MEDIAN_TO_SD * float(np.median(off_m))), WILD_M + turn_m
    )
    kept = places_m.copy()
    kept[known[half:-half][off_m > most_m]] = np.nan
    return kept


def fitted_extreme(
    times_s: FloatArray, values: FloatArray, near_s: float, *, degree: int, order: int
) -> Found | None:
    """Return where a series, or its speed, has its extreme, by one polynomial over all of it.

    Parameters
    ----------
    times_s, values : ndarray, shape (n,)
        Samples around the extreme, without NaN.
    near_s : float
        Where it is about.
    degree : int
        Of the polynomial.
    order : int
        1 for the extreme of the values, 2 for that of their speed.

    Returns
    -------
    Found or None
        u is the noise of the derivative over its slope, with the scatter about the polynomial; None
        where there are too few samples, or no extreme between them.
    """
    if len(times_s) < degree + 2:
        return None
    width_s = float(np.max(np.abs(times_s - near_s)))
    design = np.vander((times_s - near_s) / width_s, degree + 1, increasing=True)
    inverse = np.linalg.inv(design.T @ design)
    fitted = inverse @ design.T @ values
    rest = values - design @ fitted
    scatter = float(np.sqrt(rest @ rest / (len(values) - degree - 1)))
    polynomial = np.polynomial.Polynomial(fitted)
    roots = polynomial.deriv(order).roots()
    real = np.real(roots[np.abs(np.imag(roots)) < 1e-9])
    if not len(real):
        return None
    at = float(real[np.argmin(np.abs(real))])
    # a leading coefficient near zero costs roots their digits: one step of Newton's gives them back
    at -= float(polynomial.deriv(order)(at) / polynomial.deriv(order + 1)(at))
    if not -1.0 <= at <= 1.0:
        return None
    powers = np.array([_derivative_of_power(power, order, at) for power in range(degree + 1)])
    noise = scatter * float(np.sqrt(powers @ inverse @ powers))
    bend = abs(float(polynomial.deriv(order + 1)(at)))
    return Found(near_s + at * width_s, noise / bend * width_s)


def _derivative_of_power(power: int, order: int, at: float) -> float:
    """Return the derivative of this order of x to this power."""
    if power < order:
        return 0.0
    factor = float(np.prod(np.arange(power - order + 1, power + 1)))
    return float(factor * at ** (power - order))


def settling(
    grid_s: FloatArray, heights: FloatArray, level: float, *, after_s: float, before_s: float
) -> float | None:
    """Return when a course comes down to a level, having been well above it; None where it does not.

    Parameters
    ----------
    grid_s, heights : ndarray, shape (m,)
        NaN is neither above nor below.
    level : float
    after_s, before_s : float
        It was above the level after the one, and is below it by the other.

    Notes
    -----
    Noise lets a course that rests cross a level near it again: the way down begins at the last height
    of `WELL_ABOVE` levels, and ends with the first below one.
    """
    rows = (grid_s >= after_s) & (grid_s <= before_s)
    above = np.flatnonzero(rows & (heights > WELL_ABOVE * level))
    if not len(above):
        return None
    start = int(above[-1])
    below = np.flatnonzero(rows[start:] & (heights[start:] <= level))
    if not len(below):
        return None
    row = start + int(below[0])
    high, low = heights[row - 1], heights[row]
    if not np.isfinite(high):
        return None
    return float(grid_s[row] - (level - low) / (high - low) * (grid_s[row] - grid_s[row - 1]))
