"""Numbers of each picture that give away what was done to a clip's time, from one decoding."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from av.video.reformatter import Interpolation, VideoReformatter

from deliverylab.core.video.pace import PaceMeter

if TYPE_CHECKING:
    from av.video.frame import VideoFrame
    from numpy.typing import NDArray

_SMALL_WIDTH_PX = 160
# Grey levels: less is coding noise, so only pixels that differ by more tell of motion.
_MOVED_LEVELS = 7.0
_LEAST_MOVED_PX = 12
_ROW_STEP = 6


@dataclass(frozen=True, eq=False)
class PictureTraces:
    """Hold what is known of each picture beside its neighbours; NaN where a neighbour lacks.

    Attributes
    ----------
    changes : numpy.ndarray, shape (n,), grey levels
        Mean absolute difference from the picture before.
    wide_changes : numpy.ndarray, shape (n,), grey levels
        Mean absolute difference from the picture before the one before.
    n_moved : numpy.ndarray, shape (n,)
        Pixels of the small picture that differ by more than coding noise.
    motion_px : numpy.ndarray, shape (n,), px
        Mean way of what moved since the picture before, in the small picture.
    paces : numpy.ndarray, shape (n, 4)
        Changes of pace, see `PaceMeter.changes`.
    blends : numpy.ndarray, shape (n,)
        Where the two neighbours differ: distance of the picture from their mean, over their
        distance.  0 for a mixture of both in halves, 0.5 where each pixel is one or the other.
    sharpening : numpy.ndarray, shape (n,)
        Logarithm of the detail in what moved, over that of the picture before.
    undecodable_frames : tuple of int
        Frames that cannot be shown.
    """

    changes: NDArray[np.float64]
    wide_changes: NDArray[np.float64]
    n_moved: NDArray[np.float64]
    motion_px: NDArray[np.float64]
    paces: NDArray[np.float64]
    blends: NDArray[np.float64]
    sharpening: NDArray[np.float64]
    undecodable_frames: tuple[int, ...]


class PictureMeter:
    """Gather the traces picture by picture: two small grey ones and a few full rows are kept."""

    def __init__(self, n_frames: int) -> None:
        self._changes = np.full(n_frames, np.nan)
        self._wide_changes = np.full(n_frames, np.nan)
        self._n_moved = np.full(n_frames, np.nan)
        self._motion_px = np.full(n_frames, np.nan)
        self._pace = PaceMeter(n_frames)
        self._blends = np.full(n_frames, np.nan)
        self._sharpening = np.full(n_frames, np.nan)
        self._was_seen = np.zeros(n_frames, bool)
        self._reformatter = VideoReformatter()
        self._small: list[NDArray[np.float32]] = []
        self._rows: NDArray[np.int16] | None = None
        self._last_frame = -2

    def add(self, frame: int, stored: VideoFrame) -> None:
        """Take in the next picture, as decoded."""
        self._was_seen[frame] = True
        small, rows = small_grey(self._reformatter, stored), _luma_rows(stored)
        is_next = frame == self._last_frame + 1
        if not is_next or (self._small and self._small[-1].shape != small.shape):
            self._small, self._rows = [], None
            self._pace.forget()
        if self._small:
            change = np.abs(small - self._small[-1])
            self._changes[frame] = change.mean()
            moved = change > _MOVED_LEVELS
            self._n_moved[frame] = np.count_nonzero(moved)
            way_px = self._pace.add(frame, self._small[-1], small, moved)[moved]
            if len(way_px) >= _LEAST_MOVED_PX:
                self._motion_px[frame] = np.hypot(way_px[:, 0], way_px[:, 1]).mean()
        if len(self._small) == 2:
            self._wide_changes[frame] = np.abs(small - self._small[0]).mean()
            self._blends[frame - 1] = _blend(self._small[0], self._small[1], small)
        if rows is not None and self._rows is not None and rows.shape == self._rows.shape:
            self._sharpening[frame] = _sharpening(self._rows, rows)
        self._small = [*self._small[-1:], small]
        self._rows, self._last_frame = rows, frame

    def traces(self) -> PictureTraces:
        """Return what was gathered."""
        lost = tuple(int(frame) for frame in np.flatnonzero(~self._was_seen))
        return PictureTraces(
            self._changes,
            self._wide_changes,
            self._n_moved,
            self._motion_px,
            self._pace.changes,
            self._blends,
            self._sharpening,
            lost,
        )


def small_grey(reformatter: VideoReformatter, stored: VideoFrame) -> NDArray[np.float32]:
    """Return a picture in grey at a width of about 160 px."""
    factor = min(1.0, _SMALL_WIDTH_PX / stored.width)
    small = reformatter.reformat(
        stored,
        width=max(16, round(stored.width * factor)),
        height=max(16, round(stored.height * factor)),
        format="gray",
        interpolation=Interpolation.AREA,
        threads=1,
    )
    return small.to_ndarray().astype(np.float32)


def _blend(
    before: NDArray[np.float32], middle: NDArray[np.float32], after: NDArray[np.float32]
) -> float:
    apart = np.abs(after - before)
    moved = apart > _MOVED_LEVELS
    if np.count_nonzero(moved) < _LEAST_MOVED_PX:
        return float("nan")
    off = np.abs(middle - 0.5 * (before + after))
    return float(off[moved].sum() / apart[moved].sum())


def _luma_rows(stored: VideoFrame) -> NDArray[np.int16] | None:
    """Return every few rows of the brightness in full width; None where it is not stored in bytes."""
    if (
        not stored.format.name.startswith(("yuv4", "yuvj4", "nv12"))
        or stored.format.components[0].bits != 8
    ):
        return None
    plane = stored.planes[0]
    rows = np.frombuffer(memoryview(plane), np.uint8).reshape(-1, plane.line_size)
    kept: NDArray[np.int16] = rows[: stored.height : _ROW_STEP, : stored.width].astype(np.int16)
    return kept


def _sharpening(before: NDArray[np.int16], after: NDArray[np.int16]) -> float:
    moved = np.abs(after - before)[:, 1:-1] > _MOVED_LEVELS
    if np.count_nonzero(moved) < _LEAST_MOVED_PX:
        return float("nan")
    detail = [
        float(np.abs(2 * rows[:, 1:-1] - rows[:, :-2] - rows[:, 2:])[moved].mean())
        for rows in (before, after)
    ]
    return float(np.log((detail[1] + 1.0) / (detail[0] + 1.0)))
