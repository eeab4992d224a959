"""By how much points of a picture move until another one, and how far there and back disagree.

References
----------
.. [1] Bouguet J-Y (2001). Pyramidal implementation of the affine Lucas Kanade feature tracker.  Intel
   Corporation (the method of OpenCV's function).
.. [2] Kalal Z, Mikolajczyk K, Matas J (2010). Forward-backward error: automatic detection of tracking
   failures.  ICPR 2010:2756-2759.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Picture = NDArray[np.uint8]
Pictures = Callable[[int], Picture | None]
"""Frame to picture, shape (h, w) or (h, w, 3) RGB; None where it cannot be read."""

WINDOW_SHARE = 0.2
"""Side of the window that is compared, of the torso's length: about a limb's breadth."""
MOST_BACK_SHARE = 0.06
"""Farther off after there and back, of the torso's length, a step is not believed."""
_LEVELS = 3
_LEAST_WINDOW_PX = 7
_ROOM_PX = 60
"""Around the points of a step, so that the upper levels of the pyramid see what is beside them."""
_LEAST_SIDE_PX = 40
_CRITERIA = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 15, 0.01)
_LEAST_EIGENVALUE = 1e-4


class Steps(NamedTuple):
    """Displacements of points, shape (k, 2), px, NaN where not seen; and what there and back leaves, px."""

    moved_px: FloatArray
    back_px: FloatArray


class GreyPictures:
    """Grey pictures of the part in which the body is, read once each.

    Parameters
    ----------
    pictures : Pictures
    low, high : ndarray, shape (2,), px
        Corners of the part that is kept.
    """

    def __init__(self, pictures: Pictures, low: FloatArray, high: FloatArray) -> None:
        self._pictures = pictures
        self._low = np.maximum(np.floor(low), 0.0).astype(int)
        self._high = np.ceil(high).astype(int)
        self._kept: dict[int, Picture | None] = {}

    @property
    def origin_px(self) -> FloatArray:
        """Where the kept part begins, shape (2,), px."""
        return self._low.astype(np.float64)

    def read(self, frame: int) -> Picture | None:
        """Return the kept part of a frame; None where it cannot be read."""
        if frame not in self._kept:
            picture = self._pictures(frame)
            self._kept[frame] = None if picture is None else self._part(picture)
        return self._kept[frame]

    def forget(self, frame: int) -> None:
        """Drop a frame."""
        self._kept.pop(frame, None)

    def _part(self, picture: Picture) -> Picture:
        part = picture[self._low[1] : self._high[1], self._low[0] : self._high[0]]
        grey = cv2.cvtColor(part, cv2.COLOR_RGB2GRAY) if part.ndim == 3 else part
        return np.ascontiguousarray(grey, dtype=np.uint8)


def window_px(size_px: float) -> int:
    """Return the side of the compared window for a torso of this length, px; odd."""
    return max(_LEAST_WINDOW_PX, int(WINDOW_SHARE * size_px) // 2 * 2 + 1)


def steps(
    pictures: GreyPictures,
    frame: int,
    other: int,
    places_px: FloatArray,
    guess_px: FloatArray,
    size_px: float,
) -> Steps:
    """Return how points move from one frame to another.

    Parameters
    ----------
    pictures : GreyPictures
    frame, other : int
        From and to.
    places_px, guess_px : ndarray, shape (k, 2), px
        Where the points are in the first, and about how far they move.  NaN gives NaN.
    size_px : float
        Length of the torso, px.

    Returns
    -------
    Steps
        NaN and infinity where a point is outside, not found again, or found at another place when
        followed back.
    """
    moved_px = np.full(places_px.shape, np.nan)
    back_px = np.full(len(places_px), np.inf)
    first, second = pictures.read(frame), pictures.read(other)
    rows = np.flatnonzero(np.isfinite(places_px).all(axis=1) & np.isfinite(guess_px).all(axis=1))
    if first is None or second is None or not len(rows):
        return Steps(moved_px, back_px)
    start = places_px[rows] - pictures.origin_px
    end = start + guess_px[rows]
    part, low = _around(first.shape, start, end)
    if min(first[part].shape) < _LEAST_SIDE_PX:
        return Steps(moved_px, back_px)
    found, off = _there_and_back(first[part], second[part], start - low, end - low, size_px)
    moved_px[rows] = np.where(
        (off < MOST_BACK_SHARE * size_px)[:, None], found + low - start, np.nan
    )
    back_px[rows] = np.where(off < MOST_BACK_SHARE * size_px, off, np.inf)
    return Steps(moved_px, back_px)


def _around(
    shape: tuple[int, ...], start: FloatArray, end: FloatArray
) -> tuple[tuple[slice, slice], FloatArray]:
    """Return the part of a picture that holds the points, and its corner."""
    both = np.concatenate((start, end))
    low = np.maximum(np.floor(both.min(axis=0)) - _ROOM_PX, 0).astype(int)
    high = np.minimum(np.ceil(both.max(axis=0)) + _ROOM_PX, (shape[1], shape[0])).astype(int)
    high = np.maximum(high, low)
    return (slice(low[1], high[1]), slice(low[0], high[0])), low.astype(np.float64)


def _there_and_back(
    first: Picture, second: Picture, start: FloatArray, end: FloatArray, size_px: float
) -> tuple[FloatArray, FloatArray]:
    """Return where points come to lie, shape (k, 2), and how far from the start they come back."""
    side = window_px(size_px)

    def follow(
        here: Picture, there: Picture, places: FloatArray, about: FloatArray
    ) -> tuple[FloatArray, NDArray[np.bool_]]:
        points, guess = (one.astype(np.float32).reshape(-1, 1, 2) for one in (places, about))
        found, status, _ = cv2.calcOpticalFlowPyrLK(
            here, there, points, guess.copy(), winSize=(side, side), maxLevel=_LEVELS,
            criteria=_CRITERIA, flags=cv2.OPTFLOW_USE_INITIAL_FLOW,
            minEigThreshold=_LEAST_EIGENVALUE,
        )  # fmt: skip
        return found.reshape(-1, 2).astype(np.float64), status.ravel() > 0

    found, is_found = follow(first, second, start, end)
    again, is_again = follow(second, first, found, found - (end - start))
    off = np.hypot(*(again - start).T)
    inside = np.all((found >= 0.0) & (found <= np.array(second.shape[::-1]) - 1.0), axis=1)
    off[~(is_found & is_again & inside)] = np.inf
    return found, off
