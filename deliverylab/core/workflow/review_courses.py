"""Positions that leave their own course, and pairs whose courses cross over: from one clip's tracks."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from deliverylab.core.model.track import Track
from deliverylab.core.numerics.residual import MEDIAN_TO_SD

Array = NDArray[np.float64]

N_SKIPPED = (0, 1, 2)
"""Positions on either side of one that are left out with it: a mistake may last five frames."""
N_BESIDE = 3
"""Positions on either side of those that foretell it, by a cubic."""
LEAST_JUMP = 4.5
"""In standard deviations of what the course itself scatters near by: clean clips of our own simulation
then list less than one position (`bench_review`)."""
LEAST_JUMP_U = 2.0
"""In u of the position: a smaller one is no news."""
HALF_WINDOW = 14
"""Positions on either side among which the course's own scatter is looked at: an arm near release is
foretold less well than a foot that stands; a mistake of five frames must not be half of it."""
BEND_SHARE = 0.5
"""Standard deviation of what neighbours fail to foretell of a landmark's own quickest swing, as a share
of it: chosen with `LEAST_JUMP`."""
N_NEAR = 3
"""Positions on either side whose speed tells how quick a landmark is."""
RUN_GAP = 6
"""Positions between two that leave the course up to which they are one incident."""
CLEARLY = 0.5
"""Courses that go together this much better with left and right changed say that they were."""
APART_U = 6.0
"""Nearer to each other than this, in u, two landmarks are not told apart by their courses."""


MOST_STEP_S = 0.04
"""Positions farther apart in time tell no course: 30 frames a second do, the events alone do not."""


class Jump(NamedTuple):
    """A position off its own course.

    Attributes
    ----------
    frame : int
        The worst of a run.
    off_px : float
        From where its neighbours foretell it.
    size : float
        In standard deviations of the course's own scatter.
    """

    frame: int
    off_px: float
    size: float


class Crossing(NamedTuple):
    """A stretch of frames in which the two of a pair may have changed places.

    Attributes
    ----------
    first_frame, last_frame : int
        The shorter stretch between two crossings.
    apart_px : float
        How far the two lie apart where they cross over.
    """

    first_frame: int
    last_frame: int
    apart_px: float


@lru_cache(maxsize=256)
def jumps(
    track: Track, u_px: float, least_scatter_px: float, interval_s: float, quickest_hz: float
) -> tuple[Jump, ...]:
    """Return the positions of a track that leave its course, one a run.

    Parameters
    ----------
    track : Track
        Evenly spaced in parts; what has too few neighbours is not judged.
    u_px : float
        Of a position that states none.
    least_scatter_px : float
        What a hand or a tracker scatters at least.
    interval_s : float
        Real time from frame to frame.
    quickest_hz : float
        Of its motion: what its neighbours cannot foretell of a swing that quick is no jump.
    """
    if len(track) < 2 * N_BESIDE + 1:
        return ()
    step, rows, places = _on_grid(track)
    if step * interval_s > MOST_STEP_S:
        return ()
    size, off = np.zeros(len(places)), np.zeros(len(places))
    quick_px = _quickest_px(places, 1.0 / (quickest_hz * step * interval_s))
    for n_skipped in N_SKIPPED:
        weights, gain = _foretelling(n_skipped)
        reach = len(weights) // 2
        if len(places) <= 2 * reach:
            continue
        rest = np.full_like(places, np.nan)
        windows = sliding_window_view(places, len(weights), axis=0)
        rest[reach:-reach] = places[reach:-reach] - windows @ weights
        usual_px = (
            MEDIAN_TO_SD * float(np.nanmedian(np.abs(rest))) if np.isfinite(rest).any() else 0.0
        )
        scatter = np.fmax(_local_scatter(rest), max(usual_px, gain * least_scatter_px))
        distance = np.nan_to_num(np.hypot(rest[:, 0], rest[:, 1]))
        bend = _bend(weights, step * interval_s, quickest_hz)
        own = distance / np.hypot(scatter, BEND_SHARE * bend * quick_px)
        size = np.fmax(size, own)
        off = np.where(own > LEAST_JUMP, np.fmax(off, distance), off)
    whole_u_px = np.full(len(places), np.inf)
    whole_u_px[rows] = np.where(np.isnan(track.u_px), u_px, track.u_px)
    is_off = (size > LEAST_JUMP) & (off > LEAST_JUMP_U * whole_u_px)
    first = int(track.frames[0])
    return tuple(
        Jump(first + step * worst, float(off[worst]), float(size[worst]))
        for run in _grouped(np.flatnonzero(is_off))
        for worst in [max(run, key=lambda row: off[row])]
    )


def _on_grid(track: Track) -> tuple[int, NDArray[np.int64], Array]:
    """Return a track's usual step, its rows on a grid of that step, and places there; NaN between."""
    steps = np.diff(track.frames)
    step = int(np.median(steps))
    rows = (track.frames - track.frames[0]) // step
    places = np.full((int(rows[-1]) + 1, 2), np.nan)
    places[rows] = track.xy_px
    return step, rows, places


@lru_cache(maxsize=8)
def _foretelling(n_skipped: int) -> tuple[Array, float]:
    """Return weights by which neighbours foretell a position (cubic), and the gain of what is left."""
    reach = n_skipped + N_BESIDE
    at = np.arange(-reach, reach + 1.0)
    is_beside = np.abs(at) > n_skipped
    columns = np.vander(at[is_beside], 4, increasing=True)
    weights = np.zeros(len(at))
    weights[is_beside] = np.linalg.pinv(columns)[0]
    return weights, float(np.sqrt(1.0 + np.sum(weights**2)))


def _quickest_px(places: Array, period_rows: float) -> Array:
    """Return how wide each landmark swings at its quickest near each row, px, shape (n,).

    A swing of this period that is as quick as the quickest of the rows near by.
    """
    way = np.zeros(len(places))
    way[1:-1] = np.nan_to_num(0.5 * _length(places[2:] - places[:-2]))
    near = sliding_window_view(np.pad(way, N_NEAR), 2 * N_NEAR + 1).max(axis=1)
    swing: Array = near * period_rows / (2.0 * np.pi)
    return swing


def _bend(weights: Array, step_s: float, quickest_hz: float) -> float:
    """Return the part of a swing of this frequency that its neighbours do not foretell."""
    reach = len(weights) // 2
    at_s = step_s * np.arange(-reach, reach + 1.0)
    return float(abs(1.0 - weights @ np.cos(2.0 * np.pi * quickest_hz * at_s)))


def _local_scatter(rest: Array) -> Array:
    """Return the standard deviation of either coordinate near each row, shape (n,); NaN without."""
    sizes = np.full((len(rest) + 2 * HALF_WINDOW, 2), np.nan)
    sizes[HALF_WINDOW:-HALF_WINDOW] = np.abs(rest)
    windows = sliding_window_view(sizes, 2 * HALF_WINDOW + 1, axis=0).reshape(len(rest), -1)
    ordered = np.sort(windows, axis=1)  # NaN last
    n_known = np.count_nonzero(~np.isnan(windows), axis=1)
    middle = ordered[np.arange(len(rest)), np.maximum(n_known - 1, 0) // 2]
    scatter: Array = MEDIAN_TO_SD * middle
    return scatter


def _grouped(rows: NDArray[np.intp]) -> list[list[int]]:
    """Return runs of rows that lie near each other."""
    runs: list[list[int]] = []
    for row in rows.tolist():
        if runs and row - runs[-1][-1] <= RUN_GAP:
            runs[-1].append(row)
        else:
            runs.append([row])
    return runs


@lru_cache(maxsize=256)
def crossings(left: Track, right: Track, u_px: float, interval_s: float) -> tuple[Crossing, ...]:
    """Return stretches in which left and right may have changed places.

    Both courses are continued to the middle between two frames from either side; they cross over
    where the four ends fit much better with the sides changed.

    Parameters
    ----------
    left, right : Track
        Of a pair of landmarks.
    u_px : float
        Of a position.
    interval_s : float
        Real time from frame to frame.
    """
    common, rows_l, rows_r = np.intersect1d(left.frames, right.frames, return_indices=True)
    if len(common) < 4:
        return ()
    pair = np.stack([left.xy_px[rows_l], right.xy_px[rows_r]])
    before = pair[:, 1:-2] + 0.5 * (pair[:, 1:-2] - pair[:, :-3])
    after = pair[:, 2:-1] - 0.5 * (pair[:, 3:] - pair[:, 2:-1])
    same = np.sum(_length(before - after), axis=0)
    changed = np.sum(_length(before - after[::-1]), axis=0)
    apart = np.minimum(_length(before[0] - before[1]), _length(after[0] - after[1]))
    step = int(np.median(np.diff(common)))
    if step * interval_s > MOST_STEP_S:
        return ()
    is_even = common[3:] - common[:-3] == 3 * step
    at = np.flatnonzero((changed < CLEARLY * same) & (apart > APART_U * u_px) & is_even)
    return _stretches(common, (at + 2).tolist(), apart[at].tolist())


def _stretches(
    frames: NDArray[np.int64], starts: Sequence[int], apart_px: Sequence[float]
) -> tuple[Crossing, ...]:
    """Return the exceptional stretches between crossings: every other one, the shorter in all."""
    if not starts:
        return ()
    edges = [0, *starts, len(frames)]
    each = list(pairwise(edges))
    odd, even = each[1::2], each[::2]
    kept = min(odd, even, key=lambda stretches: sum(b - a for a, b in stretches))
    by_start = dict(zip(starts, apart_px, strict=True))
    return tuple(
        Crossing(int(frames[a]), int(frames[b - 1]), by_start.get(a, by_start.get(b, 0.0)))
        for a, b in kept
    )


def _length(vectors: Array) -> Array:
    length: Array = np.hypot(vectors[..., 0], vectors[..., 1])
    return length
