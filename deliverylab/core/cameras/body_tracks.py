"""A camera's tracks made ready for two clocks: smoothed, and with a slope to go between frames.

Both cameras are smoothed to the same band before one is read between the frames of the other;
without that the noise between frames is smaller than on them, and an offset is drawn to half frames.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError
from deliverylab.core.numerics.filters import (
    UNEVEN_SHARE,
    low_pass,
    n_unreliable,
    noise_gains,
    runs,
)

Array = NDArray[np.float64]

CUTOFF_HZ = 20.0
HIGHEST_SHARE_OF_RATE = 0.4
"""The cut-off stays below this share of the slowest camera's rate."""


@dataclass(frozen=True, kw_only=True)
class CameraTracks:
    """What one camera saw of one delivery.

    Attributes
    ----------
    times_s : Array, shape (n_frames,), s
        Real seconds on this camera's own clock, ascending.
    places_px : Array, shape (n_frames, n_landmarks, 2), px
        NaN where a landmark is not placed.
    u_px : Array, shape (n_landmarks,), px
        Scatter of one placing, independent from frame to frame.
    bias_px : Array, shape (n_landmarks,), px
        Standard uncertainty of what stays the same in all frames: clothing, habit.
    """

    times_s: Array
    places_px: Array
    u_px: Array
    bias_px: Array

    @property
    def rate_hz(self) -> float:
        """Mean frames a second."""
        return float((len(self.times_s) - 1) / (self.times_s[-1] - self.times_s[0]))


@dataclass(frozen=True, kw_only=True)
class SmoothTracks:
    """Smoothed tracks that can be read between frames.

    Attributes
    ----------
    start_s, step_s : float, s
        First instant and step of the even grid.
    places_px, slopes_px_s : Array, shape (n, n_landmarks, 2)
        On the grid; NaN in gaps and where the end of a run decides.
    u_px, bias_px : Array, shape (n_landmarks,), px
        Scatter after smoothing, and the constant part.
    apart_s : float, s
        How far apart instants are whose scatter is independent.
    """

    start_s: float
    step_s: float
    places_px: Array
    slopes_px_s: Array
    u_px: Array
    bias_px: Array
    apart_s: float

    @property
    def end_s(self) -> float:
        """Last instant of the grid, s."""
        return self.start_s + self.step_s * (len(self.places_px) - 1)

    def at(self, times_s: Array) -> Array:
        """Read places at instants of this camera's clock.

        Parameters
        ----------
        times_s : ndarray, shape (...)

        Returns
        -------
        ndarray, shape (..., n_landmarks, 2), px
            By the cubic through two neighbours and their slopes; NaN outside and beside gaps.
        """
        row, share, is_inside = self._cell(times_s)
        low, high = self.places_px[row], self.places_px[row + 1]
        rise, fall = self.slopes_px_s[row] * self.step_s, self.slopes_px_s[row + 1] * self.step_s
        places: Array = low + share * (
            rise
            + share * (3.0 * (high - low) - 2.0 * rise - fall)
            + share**2 * (2.0 * (low - high) + rise + fall)
        )
        places[~is_inside] = np.nan
        return places

    def speed_at(self, times_s: Array) -> Array:
        """Read how fast places move at instants, shape (..., n_landmarks, 2), px/s."""
        row, share, is_inside = self._cell(times_s)
        low, high = self.places_px[row], self.places_px[row + 1]
        rise, fall = self.slopes_px_s[row] * self.step_s, self.slopes_px_s[row + 1] * self.step_s
        speed: Array = (
            rise
            + 2.0 * share * (3.0 * (high - low) - 2.0 * rise - fall)
            + 3.0 * share**2 * (2.0 * (low - high) + rise + fall)
        ) / self.step_s
        speed[~is_inside] = np.nan
        return speed

    def _cell(self, times_s: Array) -> tuple[NDArray[np.intp], Array, NDArray[np.bool_]]:
        steps = (np.asarray(times_s) - self.start_s) / self.step_s
        row = np.clip(np.floor(np.nan_to_num(steps)), 0, len(self.places_px) - 2).astype(np.intp)
        is_inside = (steps >= 0.0) & (steps <= len(self.places_px) - 1)
        return row, (steps - row)[..., None, None], is_inside


def shared_cutoff_hz(tracks: tuple[CameraTracks, ...]) -> float:
    """Return the cut-off that all cameras of a delivery can be smoothed to."""
    return min(CUTOFF_HZ, HIGHEST_SHARE_OF_RATE * min(each.rate_hz for each in tracks))


def smooth_tracks(tracks: CameraTracks, cutoff_hz: float) -> SmoothTracks:
    """Smooth a camera's tracks and give them slopes.

    Parameters
    ----------
    tracks : CameraTracks
    cutoff_hz : float

    Raises
    ------
    InputValueError
        Fewer than four frames, or times that do not ascend.

    Notes
    -----
    Frames that are not evenly spaced are put on an even grid by a cubic spline first.
    """
    from scipy.interpolate import CubicSpline  # slow to load: only where tracks are smoothed

    steps_s = np.diff(tracks.times_s)
    if len(steps_s) < 3 or not np.all(steps_s > 0.0):
        raise InputValueError(
            "tracks need at least four frames in ascending time", where="tracks of a camera"
        )
    rate_hz = tracks.rate_hz
    is_even = np.all(np.abs(steps_s * rate_hz - 1.0) <= UNEVEN_SHARE)
    grid_s = tracks.times_s[0] + np.arange(len(tracks.times_s)) / rate_hz
    places = np.full_like(tracks.places_px, np.nan)
    slopes = np.full_like(tracks.places_px, np.nan)
    n_out = n_unreliable(rate_hz, cutoff_hz)
    for column in range(tracks.places_px.shape[1]):
        raw = tracks.places_px[:, column]
        if not is_even:
            raw = _on_grid(tracks.times_s, raw, grid_s)
        smooth = low_pass(raw, rate_hz, cutoff_hz)
        for run in runs(smooth):
            if run.stop - run.start <= 2 * n_out + 2:
                continue
            spline = CubicSpline(grid_s[run], smooth[run])
            inner = slice(run.start + n_out, run.stop - n_out)
            places[inner, column] = smooth[inner]
            slopes[inner, column] = spline(grid_s[inner], 1)
    gain = noise_gains(rate_hz, cutoff_hz)[0]
    return SmoothTracks(
        start_s=float(grid_s[0]),
        step_s=1.0 / rate_hz,
        places_px=places,
        slopes_px_s=slopes,
        u_px=gain * tracks.u_px,
        bias_px=tracks.bias_px,
        apart_s=1.0 / (gain**2 * rate_hz),
    )


def smooth_alike(tracks: tuple[CameraTracks, ...]) -> tuple[SmoothTracks, ...]:
    """Smooth all cameras of a delivery to the same band."""
    cutoff_hz = shared_cutoff_hz(tracks)
    return tuple(smooth_tracks(each, cutoff_hz) for each in tracks)


def _on_grid(times_s: Array, places: Array, grid_s: Array) -> Array:
    """Put unevenly spaced places on even instants; gaps stay gaps."""
    from scipy.interpolate import CubicSpline

    even = np.full_like(places, np.nan)
    for run in runs(places):
        if run.stop - run.start < 4:
            continue
        inside = (grid_s >= times_s[run.start]) & (grid_s <= times_s[run.stop - 1])
        even[inside] = CubicSpline(times_s[run], places[run])(grid_s[inside])
    return even
