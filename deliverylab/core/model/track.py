"""All positions of one landmark in one clip, as arrays that are never changed in place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple, get_args

import numpy as np
from numpy.typing import NDArray

Origin = Literal["placed", "tracked", "detected", "filled", "imported"]
ORIGINS: tuple[Origin, ...] = get_args(Origin)
FloatArray = NDArray[np.float64]


class Position(NamedTuple):
    """A landmark's place in one frame.

    Attributes
    ----------
    x_px, y_px : float
        Place in the upright frame, px; the centre of the top-left pixel is (0, 0).
    u_px : float or None
        Standard uncertainty of either coordinate, px; None takes the landmark's default.
    origin : str
        Where it came from.
    """

    x_px: float
    y_px: float
    u_px: float | None = None
    origin: Origin = "placed"


class Track:
    """Positions of one landmark, ordered by frame; equal when all positions are equal.

    Attributes
    ----------
    frames : ndarray of int, shape (n,)
        Frame indices, ascending.
    xy_px : ndarray, shape (n, 2), px
        Places.
    u_px : ndarray, shape (n,), px
        Standard uncertainties; NaN where the landmark's default holds.
    origins : ndarray of uint8, shape (n,)
        Indices into `ORIGINS`.
    """

    __slots__ = ("_hash", "frames", "origins", "u_px", "xy_px")

    def __init__(
        self,
        frames: NDArray[np.int64],
        xy_px: FloatArray,
        u_px: FloatArray,
        origins: NDArray[np.uint8],
    ) -> None:
        self.frames = frames
        self.xy_px = xy_px
        self.u_px = u_px
        self.origins = origins
        self._hash: int | None = None
        for array in (frames, xy_px, u_px, origins):
            array.setflags(write=False)

    @classmethod
    def of(cls, positions: Iterable[tuple[int, Position]] = ()) -> Track:
        """Return a track of these (frame, position) pairs; a later pair replaces an earlier one."""
        by_frame = dict(positions)
        frames = sorted(by_frame)
        rows = [by_frame[frame] for frame in frames]
        return cls(
            np.array(frames, dtype=np.int64),
            np.array([[p.x_px, p.y_px] for p in rows], dtype=np.float64).reshape(-1, 2),
            np.array([np.nan if p.u_px is None else p.u_px for p in rows], dtype=np.float64),
            np.array([ORIGINS.index(p.origin) for p in rows], dtype=np.uint8),
        )

    def __len__(self) -> int:
        """Return the number of frames with a position."""
        return len(self.frames)

    def __iter__(self) -> Iterator[tuple[int, Position]]:
        """Yield (frame, position) in frame order."""
        for row in range(len(self)):
            yield int(self.frames[row]), self._position(row)

    def __eq__(self, other: object) -> bool:
        """Compare frame by frame; NaN uncertainties (defaults) are equal."""
        if not isinstance(other, Track):
            return NotImplemented
        return self is other or (
            np.array_equal(self.frames, other.frames)
            and np.array_equal(self.xy_px, other.xy_px)
            and np.array_equal(self.u_px, other.u_px, equal_nan=True)
            and np.array_equal(self.origins, other.origins)
        )

    def __hash__(self) -> int:
        """Hash by content, once."""
        if self._hash is None:
            self._hash = hash((self.frames.tobytes(), self.xy_px.tobytes()))
        return self._hash

    def __repr__(self) -> str:
        """Return a short description."""
        return f"Track({len(self)} frames)"

    def _position(self, row: int) -> Position:
        u_px = float(self.u_px[row])
        x_px, y_px = (float(value) for value in self.xy_px[row])
        return Position(x_px, y_px, None if np.isnan(u_px) else u_px, ORIGINS[self.origins[row]])

    def _row(self, frame: int) -> tuple[int, bool]:
        row = int(np.searchsorted(self.frames, frame))
        return row, row < len(self) and int(self.frames[row]) == frame

    def at(self, frame: int) -> Position | None:
        """Return the position in this frame, or None."""
        row, is_there = self._row(frame)
        return self._position(row) if is_there else None

    def replaced(self, frame: int, position: Position | None) -> Track:
        """Return a track with this frame's position set, or removed when None."""
        row, is_there = self._row(frame)
        if position is None:
            if not is_there:
                return self
            return Track(
                np.delete(self.frames, row),
                np.delete(self.xy_px, row, axis=0),
                np.delete(self.u_px, row),
                np.delete(self.origins, row),
            )
        u_px = np.nan if position.u_px is None else position.u_px
        origin = ORIGINS.index(position.origin)
        if is_there:
            xy_px, all_u_px, origins = self.xy_px.copy(), self.u_px.copy(), self.origins.copy()
            xy_px[row] = position.x_px, position.y_px
            all_u_px[row] = u_px
            origins[row] = origin
            return Track(self.frames, xy_px, all_u_px, origins)
        return Track(
            np.insert(self.frames, row, frame),
            np.insert(self.xy_px, row, (position.x_px, position.y_px), axis=0),
            np.insert(self.u_px, row, u_px),
            np.insert(self.origins, row, np.uint8(origin)),
        )

    def updated(self, positions: dict[int, Position | None]) -> Track:
        """Return a track with many frames set or removed at once."""
        merged: dict[int, Position] = dict(self)
        for frame, position in positions.items():
            if position is None:
                merged.pop(frame, None)
            else:
                merged[frame] = position
        return Track.of(merged.items())


EMPTY_TRACK = Track.of()
