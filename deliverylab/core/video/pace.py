"""Sudden changes of pace that all that moves has in common: slow motion in a part, lost pictures.

A limb may grow ten times as fast within a delivery, but not every limb by one factor from one
picture to the next, and not for good.  Edited slow motion does just that at its two ends, and a
lost picture does it once, there and back.  So each spot that moves is followed over two steps, and
it counts how far most of them agree.

What cannot be told: a slow part that begins or ends while the scene stands, a change of pace by
less than about two, and either where things move farther from picture to picture than they are
large.  Own measurement on 20 fresh clips of each kind, even stamps: slow parts found in 15 deliveries
and in 9 of faster swinging blobs, lost pictures in 13 deliveries; neither was seen in 20 deliveries
to which nothing was done (``tests/benchmarks/bench_clip_checks.py``), but lost pictures were in one
of four others that a test takes.  All deliveries are cut from three clips, on which limits were set
too: other clips may do worse.  What is not found is not excluded: the time from contact to release, the ball and a fall tell more.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from deliverylab.core.video.cadence import FloatArray, Ranges

LOW, MIDDLE, HIGH, N_SPOTS = range(4)
"""Columns of `PaceMeter.changes`."""

_LEAST_WAY_PX = 0.5
_WAY_FLOOR_PX = 0.1
_LEAST_FOLLOWED = 24
# Percentiles between which most of what moves lies.
_MOST = (20.0, 50.0, 80.0)

# Logarithms of a change of pace: what a step may be, what one of two must be, both together.
_LEAST_STEP, _CLEAR_STEP, _BOTH_STEPS = 0.6, 1.0, 1.9
# The same for the part of the step in which most spots agree.
_LEAST_SHARED, _CLEAR_SHARED, _BOTH_SHARED = -0.2, 0.45, 1.2
_LEAST_SPOTS = 60
_LEAST_SLOW_FRAMES = 8
_ENDS_APART = 2.8
# Where nothing can be followed the pace flickers from picture to picture.
_STANDS_OUT = 2.5
_LEAP = (0.45, 1.0)
_LEAP_SHARED = 0.2
_THERE_AND_BACK = 0.35
_CALM = 0.45


class PaceMeter:
    """Follow what moves over two steps at a time, in small grey pictures."""

    def __init__(self, n_frames: int) -> None:
        self._flow = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_ULTRAFAST)
        self._flow.setFinestScale(1)
        self._before: tuple[NDArray[np.float32], NDArray[np.bool_]] | None = None
        self.changes = np.full((n_frames, 4), np.nan)
        """Logarithm of each spot's way over its way one picture earlier: what 20 %, half and 80 %
        stay below, and how many spots were followed; NaN where too few were."""

    def forget(self) -> None:
        """Start anew: the next picture does not follow the last."""
        self._before = None

    def add(
        self,
        frame: int,
        before: NDArray[np.float32],
        after: NDArray[np.float32],
        moved: NDArray[np.bool_],
    ) -> NDArray[np.float32]:
        """Take in two pictures and what differs between them; return the ways, (h, w, 2), px."""
        pair = before.astype(np.uint8), after.astype(np.uint8)
        way_px: NDArray[np.float32] = self._flow.calc(*pair, None)  # type: ignore[call-overload]
        if self._before is not None:
            self.changes[frame] = _changes_of_pace(*self._before, way_px, moved)
        self._before = way_px, moved
        return way_px


def _changes_of_pace(
    first_px: NDArray[np.float32],
    first_moved: NDArray[np.bool_],
    then_px: NDArray[np.float32],
    then_moved: NDArray[np.bool_],
) -> FloatArray:
    rows, columns = np.nonzero(first_moved)
    way = first_px[rows, columns]
    height, width = first_moved.shape
    there = (
        np.clip(np.rint(rows + way[:, 1]), 0, height - 1).astype(np.intp),
        np.clip(np.rint(columns + way[:, 0]), 0, width - 1).astype(np.intp),
    )
    one = np.concatenate((way, first_px[then_moved]))
    two = np.concatenate((then_px[there], then_px[then_moved]))
    one_px, two_px = np.hypot(one[:, 0], one[:, 1]), np.hypot(two[:, 0], two[:, 1])
    tells = np.maximum(one_px, two_px) > _LEAST_WAY_PX
    n_spots = np.count_nonzero(tells)
    if n_spots < _LEAST_FOLLOWED:
        return np.full(4, np.nan)
    ratios = np.log((two_px[tells] + _WAY_FLOOR_PX) / (one_px[tells] + _WAY_FLOOR_PX))
    return np.array([*np.percentile(ratios, _MOST), n_spots])


def true_changes(changes: FloatArray, times_s: FloatArray, repeats: tuple[int, ...]) -> FloatArray:
    """Return the changes of pace without those that uneven stamps and repeats explain.

    Parameters
    ----------
    changes : numpy.ndarray, shape (n, 4)
        From a `PaceMeter`.
    times_s : numpy.ndarray, shape (n,), s
        Presentation times.
    repeats : tuple of int
        Frames that repeat the one before: NaN there and after.
    """
    told = changes.copy()
    told[2:, :N_SPOTS] -= np.diff(np.log(np.diff(times_s)))[:, None]
    for frame in repeats:
        told[frame : frame + 2] = np.nan
    return told


def slow_stretches(changes: FloatArray) -> Ranges:
    """Return stretches that begin with all moving things slower at once, and end the other way.

    Parameters
    ----------
    changes : numpy.ndarray, shape (n, 4)
        See `true_changes`.
    """
    pairs = [
        (fall[1] + rise[1], start, end)
        for start, fall in _steps(changes, -1.0).items()
        for end, rise in _steps(changes, 1.0).items()
        if end >= start + _LEAST_SLOW_FRAMES and _belong(fall, rise)
    ]
    found: list[tuple[int, int]] = []
    for _, start, end in sorted(pairs, reverse=True):
        if all(end <= first or start > last for first, last in found):
            found.append((start, end - 1))
    return tuple(sorted(found))


def _steps(changes: FloatArray, sign: float) -> dict[int, tuple[float, float]]:
    """Return lasting changes of pace, up or down: frame to size and what most spots share of it."""
    size = sign * np.nan_to_num(changes[:, MIDDLE])
    shared = sign * np.nan_to_num(changes[:, LOW if sign > 0 else HIGH])
    n_spots = np.nan_to_num(changes[:, N_SPOTS])
    found = {}
    for at in range(3, len(changes) - 3):
        if n_spots[at] < _LEAST_SPOTS or size[at] < 0.5 * _LEAST_STEP:
            continue
        step, common = float(size[at]), float(shared[at])
        # a change between two pictures' times is shared out over two steps
        if size[at + 1] > _CALM and shared[at + 1] > _LEAP_SHARED:
            step, common = step + float(size[at + 1]), common + float(shared[at + 1])
        lasts = bool(
            size[at : at + 5].sum() >= 0.65 * step and size[at - 3 : at + 3].sum() >= 0.5 * step
        )
        beside = np.abs(np.delete(size[max(0, at - 6) : at + 8], [min(6, at), min(6, at) + 1]))
        lasts &= bool(step >= _STANDS_OUT * np.median(beside))
        if step >= _LEAST_STEP and common >= _LEAST_SHARED and lasts:
            found[at] = step, common
    return found


def _belong(fall: tuple[float, float], rise: tuple[float, float]) -> bool:
    (down, down_shared), (up, up_shared) = fall, rise
    return (
        1.0 / _ENDS_APART <= down / up <= _ENDS_APART
        and max(down, up) >= _CLEAR_STEP
        and down + up >= _BOTH_STEPS
        and max(down_shared, up_shared) >= _CLEAR_SHARED
        and down_shared + up_shared >= _BOTH_SHARED
    )


def leaps(changes: FloatArray) -> tuple[int, ...]:
    """Return frames to which all that moves went about twice as far as before and after.

    Parameters
    ----------
    changes : numpy.ndarray, shape (n, 4)
        See `true_changes`.
    """
    found = []
    for at in range(3, len(changes) - 3):
        there, back = changes[at], changes[at + 1]
        is_leap = (
            min(there[N_SPOTS], back[N_SPOTS]) >= _LEAST_SPOTS
            and _LEAP[0] <= there[MIDDLE] <= _LEAP[1]
            and _LEAP[0] <= -back[MIDDLE] <= _LEAP[1]
            and there[LOW] >= _LEAP_SHARED
            and back[HIGH] <= -_LEAP_SHARED
            and abs(there[MIDDLE] + back[MIDDLE]) < _THERE_AND_BACK
        )
        beside = np.nan_to_num(changes[[at - 2, at - 1, at + 2, at + 3], MIDDLE])
        if is_leap and np.abs(beside).max() < _CALM:
            found.append(at)
    return tuple(found)
