"""Find frames that repeat the one before them, as web and phone clips often do."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from av.video.reformatter import VideoReformatter

from deliverylab.core.video.reader import FrameReader
from deliverylab.core.video.traces import PictureMeter, PictureTraces, small_grey

if TYPE_CHECKING:
    from collections.abc import Callable

    from av.video.frame import VideoFrame
    from numpy.typing import NDArray

    from deliverylab.core.video.index import ClipIndex

# A repeat, coded anew, differs from its neighbour by less than this part of what is usual around
# it.  Own measurement on one web clip: repeats up to 0.18, all others from 0.36.
_GREATEST_RATIO = 0.25
_HALF_WINDOW_FRAMES = 8
# Where even the usual change is below this (grey levels of 255) the scene stands still, and a
# repeat cannot be told from a new picture.
_LEAST_CHANGE = 0.1
_LEAST_MOVED_PX = 12
# At either end of a clip motion may just come to rest, so more is asked for.
_ONE_SIDED = 0.2
_REPORT_EVERY_FRAMES = 10


def frame_changes(
    index: ClipIndex, progress: Callable[[float], bool | None] | None = None
) -> PictureTraces | None:
    """Return how each frame differs from those beside it.

    Parameters
    ----------
    index : ClipIndex
        The clip; every frame is decoded and compared at a width of about 160 px.
    progress : callable, optional
        Called with the part done, 0 to 1; returning False stops the search.

    Returns
    -------
    PictureTraces or None
        None if stopped.
    """
    meter = PictureMeter(index.n_frames)
    with FrameReader(index, keep_bytes=0) as reader:
        for frame, stored in reader.frames(0, index.n_frames - 1):
            meter.add(frame, stored)
            is_due = frame % _REPORT_EVERY_FRAMES == 0 or frame == index.n_frames - 1
            if progress is not None and is_due and progress((frame + 1) / index.n_frames) is False:
                return None
    return meter.traces()


class ChangeMeter:
    """Compare each frame with the one before it, small and grey."""

    def __init__(self) -> None:
        self._reformatter = VideoReformatter()
        self._before: NDArray[np.float32] | None = None
        self._before_frame = -1

    def change(self, frame: int, stored: VideoFrame) -> float:
        """Return the mean absolute difference in grey levels.

        Parameters
        ----------
        frame : int
            Its number; NaN is returned unless the last call was for the one before.
        stored : av.video.frame.VideoFrame
            As decoded.

        Returns
        -------
        float
            Grey levels of 255.
        """
        picture = small_grey(self._reformatter, stored)
        before, is_next = self._before, frame == self._before_frame + 1
        self._before, self._before_frame = picture, frame
        if before is None or not is_next or before.shape != picture.shape:
            return float("nan")
        return float(np.abs(picture - before).mean())


def repeated_frames(changes: NDArray[np.float64]) -> tuple[int, ...]:
    """Return the frames that repeat the one before, from their changes.

    Parameters
    ----------
    changes : numpy.ndarray, shape (n,), grey levels
        NaN is never a repeat.

    Returns
    -------
    tuple of int
        Frame numbers, ascending.  In a scene that stands still there are none to be told, and one
        that falls on a key frame of a strongly compressed clip may be missed.
    """
    found = []
    for frame in np.flatnonzero(np.isfinite(changes)):
        around = changes[max(0, frame - _HALF_WINDOW_FRAMES) : frame + _HALF_WINDOW_FRAMES + 1]
        usual = float(np.nanmedian(around))
        if usual >= _LEAST_CHANGE and changes[frame] <= _GREATEST_RATIO * usual:
            found.append(int(frame))
    return tuple(found)


def repeats_among_motion(traces: PictureTraces) -> tuple[int, ...]:
    """Return the frames that repeat the one before, where something moves around them.

    A coder that renews a still scene in some pictures only leaves the others all but equal; so what
    moves beside a repeat must rest in it.
    """
    n_moved = np.nan_to_num(traces.n_moved)
    alike = repeated_frames(traces.changes)
    others = np.setdiff1d(np.arange(1, len(n_moved)), alike)
    found = []
    for frame in alike:
        before, after = others[others < frame][-1:], others[others > frame][:1]
        beside = min((n_moved[each[0]] for each in (before, after) if len(each)), default=0.0)
        if not len(before) or not len(after):
            beside *= _ONE_SIDED
        if beside >= _LEAST_MOVED_PX and n_moved[frame] <= _GREATEST_RATIO * beside:
            found.append(frame)
    return tuple(found)
