"""Points in space over time, as they are handed over in files."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError

Array = NDArray[np.float64]


@dataclass(frozen=True)
class NamedInstant:
    """An event: its name, its time on the clock of the frames (s), and what it is."""

    name: str
    time_s: float
    description: str = ""


@dataclass(frozen=True, kw_only=True)
class Trajectories:
    """Points in space over time, evenly spaced.

    Attributes
    ----------
    labels : tuple of str
        One a point.
    rate_hz : float
        Frames a second.
    points_m : ndarray, shape (n_frames, n_points, 3), m
        NaN where a point is not known.
    residuals_m : ndarray, shape (n_frames, n_points), m
        Root mean square distance of the point from the lines of sight that it was found from; 0
        where it was found otherwise; NaN where nothing is known of it.
    start_s : float
        Time of the first frame.
    descriptions : tuple of str
        What each point is; empty, or one a point.
    events : tuple of NamedInstant
        On the same clock.
    axes : tuple of str
        How origin and axes lie, one sentence each; empty where that is not known.
    """

    labels: tuple[str, ...]
    rate_hz: float
    points_m: Array
    residuals_m: Array
    start_s: float = 0.0
    descriptions: tuple[str, ...] = ()
    events: tuple[NamedInstant, ...] = ()
    axes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse parts that do not belong together.

        Raises
        ------
        InputValueError
            Shapes that differ, nothing in it, or no rate.
        """
        n_frames, n_points = len(self.points_m), len(self.labels)
        fits = self.points_m.shape == (n_frames, n_points, 3)
        fits &= self.residuals_m.shape == (n_frames, n_points)
        fits &= len(self.descriptions) in {0, n_points}
        if not fits or not n_frames or not n_points or not self.rate_hz > 0.0:
            raise InputValueError(
                "trajectories need frames and points, a label and a residual for each, and a rate",
                where=f"{n_frames} frames, {n_points} labels, {self.rate_hz:g} Hz",
            )

    @property
    def times_s(self) -> Array:
        """Time of each frame, shape (n_frames,), s."""
        return self.start_s + np.arange(len(self.points_m)) / self.rate_hz
