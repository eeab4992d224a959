"""How a landmark's two coordinates run through a clip, as plain arrays that can be drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.model.track import ORIGINS, Origin

FloatArray = NDArray[np.float64]
Direction = Literal["across", "up"]
DIRECTIONS: tuple[Direction, Direction] = ("across", "up")

LINKED_FRAMES = 2
"""Frames this near are joined by the line: clips repeat pictures, and what lies farther apart is a
gap, in which nobody knows the way."""
ALONE_S = 0.004
"""Half the width of the band round a position that stands alone, s."""
LEAST_RANGE_PX = 4.0
"""Range of values that is shown at least: less is no movement."""


def _none() -> FloatArray:
    return np.zeros(0)


@dataclass(frozen=True, eq=False)
class CoordinateScene:
    """A landmark's coordinates over the scrub bar's axis.

    Attributes
    ----------
    landmark, name : str
        Key, and what it is called; empty where nothing is shown.
    hue : str
        Colour name of its body side.
    frames : ndarray of int, shape (n,)
        Frames with a position, ascending.
    places : ndarray, shape (n,), s
        Where they lie on the bar's axis.
    values : mapping of str to ndarray, shape (n,), px
        By direction: ``across`` from the picture's left edge, ``up`` from its lower edge.
    spread : ndarray, shape (n,), px
        Expanded uncertainty U of either coordinate.
    origins : ndarray of uint8, shape (n,)
        Indices into `ORIGINS`.
    marks : tuple of float, s
        Events on the bar's axis.
    looks : mapping of int to str
        Why a person should check the position in a frame.
    """

    landmark: str = ""
    name: str = ""
    hue: str = "text"
    frames: NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    places: FloatArray = field(default_factory=_none)
    values: Mapping[Direction, FloatArray] = field(
        default_factory=lambda: dict.fromkeys(DIRECTIONS, np.zeros(0))
    )
    spread: FloatArray = field(default_factory=_none)
    origins: NDArray[np.uint8] = field(default_factory=lambda: np.zeros(0, dtype=np.uint8))
    marks: tuple[float, ...] = ()
    looks: Mapping[int, str] = field(default_factory=dict)

    @property
    def origins_shown(self) -> tuple[Origin, ...]:
        """Where the positions came from, each once, in the order of `ORIGINS`."""
        return tuple(ORIGINS[number] for number in np.unique(self.origins))

    @property
    def _gaps(self) -> NDArray[np.int64]:
        """Rows behind which the line is broken."""
        return np.flatnonzero(np.diff(self.frames) > LINKED_FRAMES)

    def row_of(self, frame: int) -> int | None:
        """Return the row of a frame, or None where it has no position."""
        row = int(np.searchsorted(self.frames, frame))
        is_there = row < len(self.frames) and int(self.frames[row]) == frame
        return row if is_there else None

    def rows_of(self, origin: Origin) -> NDArray[np.int64]:
        """Return the rows of positions that came from there."""
        return np.flatnonzero(self.origins == ORIGINS.index(origin))

    def looked_rows(self) -> NDArray[np.int64]:
        """Return the rows of positions that a person should check."""
        return np.flatnonzero(np.isin(self.frames, list(self.looks)))

    def line(self, direction: Direction) -> tuple[FloatArray, FloatArray]:
        """Return places and values with a NaN in each gap."""
        behind = self._gaps + 1
        values = self.values[direction]
        return np.insert(self.places, behind, np.nan), np.insert(values, behind, np.nan)

    def band(self, direction: Direction) -> tuple[FloatArray, FloatArray]:
        """Return the outline of ±U round each stretch without gaps, NaN between the outlines."""
        values = self.values[direction]
        x: list[FloatArray] = []
        y: list[FloatArray] = []
        for rows in np.split(np.arange(len(self.frames)), self._gaps + 1):
            places, middle, spread = self.places[rows], values[rows], self.spread[rows]
            if len(rows) == 1:
                places = places + np.array([-ALONE_S, ALONE_S])
                middle, spread = np.repeat(middle, 2), np.repeat(spread, 2)
            x += [places, places[::-1], np.array([np.nan])]
            y += [middle + spread, (middle - spread)[::-1], np.array([np.nan])]
        return np.concatenate(x), np.concatenate(y)

    def value_range(self, direction: Direction, low: float, high: float) -> tuple[float, float]:
        """Return the least and greatest value in a part of the axis, ±U included."""
        is_seen = (self.places >= low) & (self.places <= high)
        if not is_seen.any():
            is_seen = np.ones(len(self.places), dtype=bool)
        values, spread = self.values[direction][is_seen], self.spread[is_seen]
        if not len(values):
            return 0.0, 1.0
        bottom, top = float((values - spread).min()), float((values + spread).max())
        room = max(0.0, 0.5 * (LEAST_RANGE_PX - (top - bottom)))
        return bottom - room, top + room
