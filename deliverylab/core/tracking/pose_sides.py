"""Left and right: where a pair of limbs changed places, what of that is certain, and what is not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

APART = 0.3
"""Nearer than this to each other, of a torso, the two limbs cannot be told apart by their course."""
CLEARLY = 0.5
"""A course that is this much shorter with the sides changed says that they were."""
MOST_REPAIRED = 0.25
"""Changed frames, of all, up to which it is clear which of both is the exception."""


@dataclass(frozen=True, kw_only=True)
class SideQuestion:
    """A stretch of frames in which only a person can tell a pair's left from its right.

    Attributes
    ----------
    limb : str
        Which pair: a key of `pose_landmarks.LIMBS`.
    first_frame, last_frame : int
    """

    limb: str
    first_frame: int
    last_frame: int


@dataclass(frozen=True, kw_only=True)
class SideAnswer:
    """What a person said: whether left and right are exchanged in that stretch, as it was shown."""

    question: SideQuestion
    is_swapped: bool

    def covers(self, limb: str, frames: NDArray[np.int64]) -> BoolArray:
        """Return which of the frames it speaks of, for a limb, shape (n,)."""
        asked = self.question
        within: BoolArray = (asked.first_frame <= frames) & (frames <= asked.last_frame)
        return within & (asked.limb == limb)


def questions_of(
    limb: str, is_uncertain: BoolArray, frames: NDArray[np.int64]
) -> Iterator[SideQuestion]:
    """Yield one question for each row of frames, without a gap, that is not certain."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], is_uncertain, [False]]).astype(int)))
    for first, end in edges.reshape(-1, 2).tolist():
        yield SideQuestion(
            limb=limb, first_frame=int(frames[first]), last_frame=int(frames[end - 1])
        )


def told_apart(left: FloatArray, right: FloatArray, torso_px: float) -> BoolArray:
    """Return in which frames a pair of limbs lies far enough apart, shape (n,).

    Parameters
    ----------
    left, right : ndarray, shape (n, parts, 2), px
    torso_px : float
        Length of the trunk in the picture.
    """
    away = np.hypot(*np.moveaxis(left - right, -1, 0)).max(axis=1)
    apart: BoolArray = away > APART * torso_px
    return apart


def is_other_way(
    left: FloatArray, right: FloatArray, other_left: FloatArray, other_right: FloatArray
) -> BoolArray:
    """Return in which frames two answers agree on a pair only with the sides changed, shape (n,)."""
    same = _distance(left, other_left) + _distance(right, other_right)
    changed = _distance(left, other_right) + _distance(right, other_left)
    other: BoolArray = changed < CLEARLY * same
    return other


def side_changes(
    left: FloatArray, right: FloatArray, torso_px: float
) -> tuple[BoolArray, BoolArray]:
    """Return where a pair of limbs is named the other way round, and where that is not certain.

    A change is seen where the course from frame to frame is much shorter with the sides changed.
    Changes cut the frames into stretches.  Every other stretch is the exception if it is short, lies
    between two changes and the rest is long: then it is certain.  Else the smaller part of the
    frames is uncertain.

    Parameters
    ----------
    left, right : ndarray, shape (n, parts, 2), px
        Frames in order.
    torso_px : float

    Returns
    -------
    is_changed, is_uncertain : ndarray of bool, shape (n,)
    """
    n = len(left)
    stretch = np.zeros(n, dtype=np.int64)
    apart = told_apart(left, right, torso_px)
    flips = is_other_way(left[1:], right[1:], left[:-1], right[:-1]) & apart[1:] & apart[:-1]
    stretch[1:] = np.cumsum(flips)
    is_odd = stretch % 2 == 1
    none = np.zeros(n, dtype=np.bool_)
    if not flips.any():
        return none, none
    is_minor = is_odd if is_odd.sum() * 2 <= n else ~is_odd
    touches_end = is_minor & ((stretch == 0) | (stretch == stretch[-1]))
    if is_minor.sum() <= MOST_REPAIRED * n and not touches_end.any():
        return is_minor, none
    return none, is_minor


def _distance(a: FloatArray, b: FloatArray) -> FloatArray:
    away: FloatArray = np.hypot(*np.moveaxis(a - b, -1, 0)).mean(axis=1)
    return away
