"""What pictures show of points between the frames in which they are placed: their steps, from both sides."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.tracking.flow_noise import (
    BACK_FACTOR,
    BOTH_FACTOR,
    DISTANCE_FRAMES,
    U_STEP_PX,
)
from deliverylab.core.tracking.picture_steps import GreyPictures, Pictures, Steps, steps

FloatArray = NDArray[np.float64]
_ROOM_SHARE = 1.0
"""Around all placed positions, of the torso's length, the picture is kept."""


@dataclass(frozen=True, kw_only=True)
class Anchors:
    """Where a point is known.

    Attributes
    ----------
    frames : ndarray of int, shape (a,)
        Ascending.
    xy_px : ndarray, shape (a, 2), px
    u_px : ndarray, shape (a,), px
        Standard uncertainty of either coordinate.
    """

    frames: NDArray[np.int64]
    xy_px: FloatArray
    u_px: FloatArray


@dataclass(frozen=True)
class KnownPlaces:
    """Anchors of all points on the rows of the frames gone through."""

    is_placed: NDArray[np.bool_]  # (n, k)
    xy_px: FloatArray  # (n, k, 2)
    u_px: FloatArray  # (n, k)
    guess_px: FloatArray  # (n, k, 2): between the anchors without any picture


@dataclass(frozen=True)
class SeenSteps:
    """Steps of all points between neighbouring rows."""

    moved_px: FloatArray  # (n - 1, k, 2), NaN where not seen
    u_px: FloatArray  # (n - 1, k)


def known_places(numbers: NDArray[np.int64], anchors: Sequence[Anchors]) -> KnownPlaces:
    """Return the anchors of all points, and the curves through them, on the rows of these frames."""
    shape = len(numbers), len(anchors)
    is_placed = np.zeros(shape, dtype=bool)
    xy_px, u_px = np.full((*shape, 2), np.nan), np.full(shape, np.nan)
    guess_px = np.empty((*shape, 2))
    for column, one in enumerate(anchors):
        _, rows, own = np.intersect1d(numbers, one.frames, return_indices=True)
        is_placed[rows, column] = True
        xy_px[rows, column], u_px[rows, column] = one.xy_px[own], one.u_px[own]
        guess_px[:, column] = _between(rows, one.xy_px[own], len(numbers))
    return KnownPlaces(is_placed, xy_px, u_px, guess_px)


def _between(rows: NDArray[np.int64], xy_px: FloatArray, n: int) -> FloatArray:
    """Return places on a monotone curve through the placed ones; held before the first, after the last."""
    if len(rows) < 2:
        return np.repeat(xy_px, n, axis=0)
    from scipy.interpolate import PchipInterpolator

    return np.asarray(PchipInterpolator(rows, xy_px)(np.clip(np.arange(n), rows[0], rows[-1])))


class PictureSight:
    """Looks at the pictures."""

    def __init__(
        self,
        pictures: Pictures,
        numbers: NDArray[np.int64],
        known: KnownPlaces,
        size_px: float,
        progress: Callable[[float], object] | None,
        is_cancelled: Callable[[], bool] | None,
    ) -> None:
        places = known.xy_px[known.is_placed]
        room = _ROOM_SHARE * size_px
        self.pictures = GreyPictures(pictures, places.min(axis=0) - room, places.max(axis=0) + room)
        self._numbers, self._known, self._size_px = numbers, known, size_px
        self._guess_px = np.diff(known.guess_px, axis=0)
        self._progress, self._is_cancelled = progress, is_cancelled
        self._n_done = 0

    def _is_over(self) -> bool:
        self._n_done += 1
        if self._progress is not None:
            self._progress(min(1.0, self._n_done / (3.0 * (len(self._numbers) - 1))))
        return self._is_cancelled is not None and self._is_cancelled()

    def _steps(self, row: int, other: int, places_px: FloatArray, guess_px: FloatArray) -> Steps:
        frame, second = int(self._numbers[row]), int(self._numbers[other])
        return steps(self.pictures, frame, second, places_px, guess_px, self._size_px)

    def from_both_sides(self) -> SeenSteps | None:
        """Follow from the anchors forward and backward; None when cancelled."""
        forward = self._one_way(1)
        backward = None if forward is None else self._one_way(-1)
        if forward is None or backward is None:
            return None
        return _both(*forward, *backward)

    def _one_way(self, way: int) -> tuple[FloatArray, FloatArray] | None:
        """Return steps, in the sense of time, and their u; they age with the distance from an anchor."""
        known = self._known
        n, k = known.is_placed.shape
        moved_px, u_px = np.full((n - 1, k, 2), np.nan), np.full((n - 1, k), np.inf)
        at = np.full((k, 2), np.nan)
        last = np.full((k, 2), np.nan)
        age = np.zeros(k)
        rows = range(n - 1) if way > 0 else range(n - 1, 0, -1)
        for row in rows:
            placed = known.is_placed[row]
            at[placed], age[placed], last[placed] = known.xy_px[row, placed], 0.0, np.nan
            edge = row if way > 0 else row - 1
            usual = way * self._guess_px[edge]
            guess = np.where(np.isfinite(last), last, usual)
            found = self._steps(row, row + way, at, guess)
            age += 1.0
            moved_px[edge] = way * found.moved_px
            u_px[edge] = np.hypot(U_STEP_PX, BACK_FACTOR * found.back_px) * np.sqrt(
                1.0 + age / DISTANCE_FRAMES
            )
            last = np.where(np.isfinite(found.moved_px), found.moved_px, usual)
            at = at + last
            if self._is_over():
                return None
        return moved_px, u_px

    def along(self, places_px: FloatArray) -> SeenSteps | None:
        """See the steps once more, along a course, there and back; None when cancelled."""
        ways: list[list[Steps]] = [[], []]
        for row in range(len(places_px) - 1):
            here, there = places_px[row], places_px[row + 1]
            ways[0].append(self._steps(row, row + 1, here, there - here))
            ways[1].append(self._steps(row + 1, row, there, here - there))
            if self._is_over():
                return None
        parts = []
        for sign, found in zip((1.0, -1.0), ways, strict=True):
            moved = sign * np.array([one.moved_px for one in found])
            back = np.array([one.back_px for one in found])
            parts += [moved, np.hypot(U_STEP_PX, BACK_FACTOR * back)]
        return _both(*parts)


def _both(
    forward_px: FloatArray,
    u_forward_px: FloatArray,
    backward_px: FloatArray,
    u_backward_px: FloatArray,
) -> SeenSteps:
    """Return the mean of two sights of the same steps; what they disagree by is part of its u."""
    weights = [
        np.where(np.isfinite(moved[..., 0]), 1.0 / u**2, 0.0)
        for moved, u in ((forward_px, u_forward_px), (backward_px, u_backward_px))
    ]
    total = weights[0] + weights[1]
    some = np.maximum(total, 1e-12)
    mean = sum(
        np.nan_to_num(moved) * weight[..., None]
        for moved, weight in zip((forward_px, backward_px), weights, strict=True)
    )
    is_seen = total > 0.0
    apart = np.nan_to_num(np.hypot(*np.moveaxis(forward_px - backward_px, -1, 0)))
    balance = 2.0 * np.sqrt(weights[0] * weights[1]) / some
    # two sights of the same pictures share their errors: together they are as sure as one
    u_px = np.hypot(np.sqrt(2.0 / some), BOTH_FACTOR * apart * balance)
    moved_px = np.where(is_seen[..., None], mean / some[..., None], np.nan)
    return SeenSteps(moved_px, np.where(is_seen, u_px, np.inf))
