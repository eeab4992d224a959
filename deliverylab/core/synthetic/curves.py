"""Smooth curves through timed poses: the motion between two key poses."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


class Curve:
    """Run smoothly through timed values.

    Piecewise quintic: position, speed and acceleration are continuous, and the curve does not
    overshoot between knots when the slopes are left to it (they follow the weighted harmonic
    mean, which is zero at an extreme). Outside its knots the curve holds its end values.

    Parameters
    ----------
    knots : sequence of (time_s, value) or (time_s, value, slope) or (time_s, value, slope, accel)
        In rising time. A slope or acceleration of None is chosen by the curve. Values may be
        scalars or vectors of one length; a given slope then has the same length.

    Raises
    ------
    ValueError
        With fewer than two knots, or times that do not rise.

    References
    ----------
    Fritsch FN, Butland J (1984) SIAM J Sci Stat Comput 5:300-304 (from memory).
    """

    def __init__(self, knots: Sequence[Sequence[object]]) -> None:
        times = np.array([float(k[0]) for k in knots])  # type: ignore[arg-type]
        if times.size < 2 or np.any(np.diff(times) <= 0):
            msg = "a curve needs at least two knots in rising time"
            raise ValueError(msg)
        values = np.array([np.asarray(k[1], dtype=float) for k in knots])
        self._is_scalar = values.ndim == 1
        values = values.reshape(times.size, -1)
        slopes = _auto_slopes(times, values)
        _overwrite(slopes, knots, 2)
        accels = _auto_accels(times, values, slopes)
        _overwrite(accels, knots, 3)
        self._times = times
        self._values, self._slopes, self._accels = values, slopes, accels

    def __call__(self, times_s: ArrayLike) -> Array:
        """Evaluate the curve.

        Parameters
        ----------
        times_s : array_like, shape (n,), s

        Returns
        -------
        Array, shape (n,) for scalar values, (n, k) for vectors
            NaN times give NaN.
        """
        t = np.atleast_1d(np.asarray(times_s, dtype=float))
        inside = np.clip(t, self._times[0], self._times[-1])
        last = self._times.size - 2
        i = np.clip(np.searchsorted(self._times, inside, side="right") - 1, 0, last)
        h = (self._times[i + 1] - self._times[i])[:, None]
        s = (inside - self._times[i])[:, None] / h
        out: Array = (
            _rest(s) * self._values[i]
            + _push(s) * h * self._slopes[i]
            + _bend(s) * h**2 * self._accels[i]
            + _rest(1 - s) * self._values[i + 1]
            - _push(1 - s) * h * self._slopes[i + 1]
            + _bend(1 - s) * h**2 * self._accels[i + 1]
        )
        return out[:, 0] if self._is_scalar else out


def _rest(s: Array) -> Array:
    return 1 - s**3 * (10 - 15 * s + 6 * s**2)


def _push(s: Array) -> Array:
    return s - s**3 * (6 - 8 * s + 3 * s**2)


def _bend(s: Array) -> Array:
    return 0.5 * s**2 * (1 - s) ** 3


def _auto_slopes(times: Array, values: Array) -> Array:
    h = np.diff(times)[:, None]
    chord = np.diff(values, axis=0) / h
    slopes = np.zeros_like(values)
    before, after = chord[:-1], chord[1:]
    w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    same = before * after > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (w1 + w2) / (w1 / before + w2 / after)
    slopes[1:-1] = np.where(same, mean, 0.0)
    return slopes


def _auto_accels(times: Array, values: Array, slopes: Array) -> Array:
    """Take the gentler of the two sides' accelerations, none where they disagree in sign."""
    h = np.diff(times)[:, None]
    chord = np.diff(values, axis=0) / h
    at_start = (6 * chord - 4 * slopes[:-1] - 2 * slopes[1:]) / h
    at_end = (-6 * chord + 2 * slopes[:-1] + 4 * slopes[1:]) / h
    accels = np.zeros_like(values)
    left, right = at_end[:-1], at_start[1:]
    gentler = np.where(np.abs(left) < np.abs(right), left, right)
    accels[1:-1] = np.where(left * right > 0, gentler, 0.0)
    return accels


def _overwrite(target: Array, knots: Sequence[Sequence[object]], place: int) -> None:
    for row, knot in zip(target, knots, strict=True):
        if len(knot) > place and knot[place] is not None:
            row[:] = np.asarray(knot[place], dtype=float)
