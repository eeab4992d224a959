"""How a camera turned or shook: homographies from the background, with what they are worth.

Corners outside the athlete are followed from a key frame into each frame, never from frame to frame,
so that errors do not add up; a new key frame is taken only where too little of the old one is left.
The homography of a background is exact for a camera that turns about its lens.  Where the camera also
moves, it holds for what is as far off as the background, and the athlete is not: a step of 10 cm
beside an athlete 10 m off, before a background 20 m off, shifts the athlete by 5 cm.  That error is
not within u.

References
----------
.. [1] Bouguet J Y (2000). Pyramidal implementation of the Lucas Kanade feature tracker. Intel
   Corporation (cited from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError
from deliverylab.core.tracking.homography_fit import (
    FEWEST_CORNERS,
    HomographyFit,
    fitted,
    in_turn,
    mapped,
)
from deliverylab.core.tracking.picture_steps import Pictures

FloatArray = NDArray[np.float64]
LeftOut = Callable[[int], NDArray[np.bool_] | None]
"""Frame to where the athlete is, (h, w), or None where that is not known."""
LEAST_AGREEING = 0.3
"""Share of the corners followed that must agree."""
STILL_PX = 0.5
"""A camera whose picture moves by less, or by less than three u, stands still."""
_MOST_CORNERS = 400
_WINDOW_PX = 13
_APART_PX = 20.0
"""Windows that overlap err together, and u would be too small."""
_KEY_SHARE = 0.6
_THERE_AND_BACK_PX = 0.5


@dataclass(frozen=True, kw_only=True)
class BackgroundMotion:
    """Where the background of each frame lies in the reference frame.

    Attributes
    ----------
    reference_frame : int
    frames : ndarray of int, shape (n,)
        Ascending.
    homographies : ndarray, shape (n, 3, 3)
        From a frame's px to those of the reference frame, last entry 1; NaN where the background is
        too faint to tell.
    covariances : ndarray, shape (n, 8, 8)
        Of the first eight entries, row by row; NaN with them.
    scatter_px : ndarray, shape (n,), px
        Of one coordinate of one corner about the homography from the frame's key frame.
    n_corners : ndarray of int, shape (n,)
        How many agreed.
    size_px : (int, int)
        Width and height of a picture.
    """

    reference_frame: int
    frames: NDArray[np.int64]
    homographies: FloatArray
    covariances: FloatArray
    scatter_px: FloatArray
    n_corners: NDArray[np.int64]
    size_px: tuple[int, int]

    @property
    def is_told(self) -> NDArray[np.bool_]:
        """In which frames the background showed enough, shape (n,)."""
        return np.isfinite(self.homographies[:, 0, 0])

    def carried(self, row: int, xy_px: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Carry points of one frame over to the reference frame.

        Parameters
        ----------
        row : int
            Into `frames`.
        xy_px : ndarray, shape (m, 2), px

        Returns
        -------
        ndarray, shape (m, 2), px
            NaN where the background is too faint to tell.
        ndarray, shape (m,), px
            What the homography adds to u of either coordinate (root mean square of both).
        """
        carried, by_entry = mapped(self.homographies[row], xy_px)
        spread = np.einsum("mij,jk,mik->m", by_entry, self.covariances[row], by_entry)
        return carried, np.sqrt(spread / 2.0)

    def moved_px(self) -> tuple[FloatArray, FloatArray]:
        """Return by how much the picture moved at most in each frame, and u there; shapes (n,)."""
        places = _places(*self.size_px)
        moved, u_px = np.full((2, len(self.frames)), np.nan)
        for row in np.flatnonzero(self.is_told):
            carried, u_there_px = self.carried(int(row), places)
            by_px = np.linalg.norm(carried - places, axis=1)
            most = int(by_px.argmax())
            moved[row], u_px[row] = by_px[most], u_there_px[most]
        return moved, u_px

    @property
    def still_within_px(self) -> float:
        """By how much the picture moved at most, px; NaN when nothing is told."""
        moved, _ = self.moved_px()
        return float(np.nanmax(moved)) if np.isfinite(moved).any() else float("nan")

    @property
    def is_still(self) -> bool:
        """Whether the camera stood still in all frames that are told, and some are."""
        moved, u_px = self.moved_px()
        told = self.is_told
        return bool(told.any() and (moved[told] <= np.maximum(STILL_PX, 3.0 * u_px[told])).all())


@dataclass(frozen=True)
class _Key:
    """A frame that corners are followed from, and its own way to the reference frame."""

    picture: NDArray[Any]
    corners_px: NDArray[np.float32]
    to_reference: HomographyFit


def background_motion(
    pictures: Pictures,
    frames: Sequence[int],
    *,
    reference_frame: int,
    left_out: LeftOut | None = None,
    progress: Callable[[float], object] | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> BackgroundMotion:
    """Estimate how the background moves through a clip.

    Parameters
    ----------
    pictures : callable
        Gives a frame's picture, grey or RGB, or None where it cannot be read.
    frames : sequence of int
        Ascending; the reference frame may be among them.
    reference_frame : int
    left_out : callable, optional
        Gives where the athlete is in a frame.  Without it RANSAC alone tells the background: what
        fills most of the picture's texture is taken for it.
    progress : callable, optional
        Called with the part done, 0 to 1.
    is_cancelled : callable, optional
        True ends it; frames not come to are not told.

    Returns
    -------
    BackgroundMotion

    Raises
    ------
    InputValueError
        The reference frame's picture cannot be read.
    """
    start = _grey(pictures(reference_frame))
    if start is None:
        raise InputValueError(
            "the reference frame cannot be read", where=f"frame {reference_frame}",
            remedy="choose another reference frame",
        )  # fmt: skip
    at_rest = HomographyFit(np.eye(3), np.zeros((8, 8)))
    first = _key(start, at_rest, left_out, reference_frame)
    at_rest = HomographyFit(np.eye(3), np.zeros((8, 8)), 0.0, len(first.corners_px))
    is_enough = len(first.corners_px) >= FEWEST_CORNERS
    found: dict[int, HomographyFit] = {reference_frame: at_rest} if is_enough else {}
    later = [frame for frame in frames if frame > reference_frame]
    earlier = [frame for frame in reversed(frames) if frame < reference_frame]
    n_done = 0
    for way in (later, earlier):
        key, previous = first, at_rest  # previous: from the last frame told to the key frame
        for frame in way:
            if is_cancelled is not None and is_cancelled():
                break
            n_done += 1
            if progress is not None:
                progress(n_done / (len(later) + len(earlier)))
            picture = _grey(pictures(frame))
            fit = None if picture is None else _followed(key, picture, previous, left_out, frame)
            if picture is None or fit is None:
                continue
            whole, previous = in_turn(fit, key.to_reference), fit
            found[frame] = whole
            if fit.n_corners < _KEY_SHARE * len(key.corners_px):
                key, previous = _key(picture, whole, left_out, frame), at_rest
    height_px, width_px = start.shape
    return _gathered(frames, found, reference_frame, (width_px, height_px))


def _gathered(
    frames: Sequence[int],
    found: dict[int, HomographyFit],
    reference_frame: int,
    size_px: tuple[int, int],
) -> BackgroundMotion:
    missing = HomographyFit(np.full((3, 3), np.nan), np.full((8, 8), np.nan), float("nan"))
    fits = [found.get(frame, missing) for frame in frames]
    return BackgroundMotion(
        reference_frame=reference_frame,
        frames=np.array(frames, dtype=np.int64),
        homographies=np.array([fit.matrix for fit in fits]).reshape(-1, 3, 3),
        covariances=np.array([fit.covariance for fit in fits]).reshape(-1, 8, 8),
        scatter_px=np.array([fit.scatter_px for fit in fits]),
        n_corners=np.array([fit.n_corners for fit in fits], dtype=np.int64),
        size_px=size_px,
    )


def _grey(picture: NDArray[np.uint8] | None) -> NDArray[Any] | None:
    if picture is None or picture.ndim == 2:
        return picture
    return cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)


def _places(width_px: int, height_px: int) -> FloatArray:
    """Return places spread over a picture, its corners among them, shape (9, 2), px."""
    across, down = np.linspace(0, width_px - 1, 3), np.linspace(0, height_px - 1, 3)
    return np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2)


def _key(picture: NDArray[Any], fit: HomographyFit, left_out: LeftOut | None, frame: int) -> _Key:
    """Return a key frame with corners outside the athlete."""
    away = None if left_out is None else left_out(frame)
    free = None if away is None else np.where(away, 0, 255).astype(np.uint8)
    corners: NDArray[Any] | None = cv2.goodFeaturesToTrack(
        picture, _MOST_CORNERS, 0.02, _APART_PX, mask=free
    )
    found = np.empty((0, 2), np.float32) if corners is None else corners.reshape(-1, 2)
    return _Key(picture, found.astype(np.float32), fit)


def _followed(
    key: _Key, picture: NDArray[Any], previous: HomographyFit, left_out: LeftOut | None, frame: int
) -> HomographyFit | None:
    """Return the homography from a frame to its key frame; None where too few corners agree."""
    if len(key.corners_px) < FEWEST_CORNERS:
        return None
    from_px = key.corners_px
    inverse: FloatArray = np.linalg.inv(previous.matrix).astype(np.float64)
    guess, _ = mapped(inverse, from_px.astype(np.float64))
    to_px, is_seen = _sought(key.picture, picture, from_px, guess.astype(np.float32))
    back_px, is_back = _sought(picture, key.picture, to_px, from_px)
    is_seen &= is_back & (np.linalg.norm(back_px - from_px, axis=1) < _THERE_AND_BACK_PX)
    away = None if left_out is None else left_out(frame)
    if away is not None:
        column, row = np.rint(np.clip(to_px, 0, np.array(away.shape)[::-1] - 1)).astype(int).T
        is_seen &= ~away[row, column]
    if is_seen.sum() < FEWEST_CORNERS:
        return None
    n_seen = int(is_seen.sum())
    fit = fitted(to_px[is_seen].astype(np.float64), from_px[is_seen].astype(np.float64))
    return None if fit is None or fit.n_corners < LEAST_AGREEING * n_seen else fit


def _sought(
    old: NDArray[Any], new: NDArray[Any], old_px: NDArray[Any], guess_px: NDArray[Any]
) -> tuple[NDArray[Any], NDArray[np.bool_]]:
    new_px, status, _ = cv2.calcOpticalFlowPyrLK(
        old, new, old_px, guess_px.copy(), winSize=(_WINDOW_PX, _WINDOW_PX), maxLevel=3,
        criteria=(cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 40, 0.003),
        flags=cv2.OPTFLOW_USE_INITIAL_FLOW,
    )  # fmt: skip
    return new_px, status.ravel() == 1
