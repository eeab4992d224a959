"""Short gaps in a landmark's track, bridged by a cubic whose error is rehearsed on the same track.

The same bridge is built over stretches whose places are known, and how far it misses them is the
uncertainty of the bridge.  Where no such rehearsal is possible, nothing is filled.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

N_SIDE = 3
"""Known frames on either side that carry a bridge."""
MIN_REHEARSALS = 5
"""Fewer known stretches say too little about how far a bridge misses."""
MAX_REHEARSALS = 12
"""The nearest stretches count: a limb moves otherwise early in a delivery than late."""
SLOWER_PX = 5.0
"""Places this much apart by noise alone do not make a gap quicker than what was rehearsed."""


@dataclass(frozen=True, kw_only=True)
class FillLimit:
    """The longest gap that is bridged; both limits hold.

    Attributes
    ----------
    n_frames : int
        Missing frames in a row.
    duration_s : float
        Seconds between the known frames beside the gap.
    """

    n_frames: int = 2
    duration_s: float = 0.05


@dataclass(frozen=True, kw_only=True)
class Filled:
    """What was bridged.

    Attributes
    ----------
    rows : ndarray of int, shape (n,)
        Rows of the track that are filled.
    xy_px : ndarray, shape (n, 2), px
        Their places.
    u_px : ndarray, shape (n,), px
        Standard uncertainty of either coordinate.
    refused : tuple of (int, int, str)
        First and last row of each gap left open, and why.
    """

    rows: NDArray[np.int64]
    xy_px: FloatArray
    u_px: FloatArray
    refused: tuple[tuple[int, int, str], ...]


def fill_gaps(
    times_s: FloatArray,
    xy_px: FloatArray,
    limit: FillLimit,
    *,
    neighbour_px: FloatArray | None = None,
    longest_px: float = np.inf,
) -> Filled:
    """Bridge the short inner gaps of a track; its ends are never continued.

    Parameters
    ----------
    times_s : ndarray, shape (n,), s
        Times of the frames, ascending.
    xy_px : ndarray, shape (n, 2), px
        Places, NaN where there is none.
    limit : FillLimit
    neighbour_px : ndarray, shape (n, 2), px, optional
        The other end of a segment; NaN where unknown, which constrains nothing.
    longest_px : float, px
        The segment's image never is longer; a place further away makes its gap stay open.

    Returns
    -------
    Filled
    """
    is_known: NDArray[np.bool_] = np.asarray(np.isfinite(xy_px).all(axis=1))
    rows: list[int] = []
    places, u_px, refused = [np.empty((0, 2))], [np.empty(0)], []
    for first, last in _inner_gaps(is_known):
        n_missing = last - first + 1
        duration_s = times_s[last + 1] - times_s[first - 1]
        if n_missing > limit.n_frames or duration_s > limit.duration_s:
            refused.append((first, last, "longer than the limit"))
            continue
        if not _is_carried(is_known, first, last):
            refused.append((first, last, "too few known frames beside it"))
            continue
        misses, widest_px = _rehearsed(times_s, xy_px, is_known, first, n_missing)
        if len(misses) < MIN_REHEARSALS:
            refused.append((first, last, "too few known stretches to tell its uncertainty"))
            continue
        if np.linalg.norm(xy_px[last + 1] - xy_px[first - 1]) > widest_px + SLOWER_PX:
            refused.append((first, last, "quicker than the stretches that tell its uncertainty"))
            continue
        bridge = _bridge(times_s, xy_px, first, n_missing)
        if neighbour_px is not None:
            length_px = np.linalg.norm(bridge - neighbour_px[first : last + 1], axis=1)
            if np.any(length_px > longest_px):
                refused.append((first, last, "the segment would be longer than it is"))
                continue
        rows.extend(range(first, last + 1))
        places.append(bridge)
        u_px.append(np.sqrt(np.mean(misses**2, axis=(0, 2))))
    return Filled(
        rows=np.array(rows, dtype=np.int64),
        xy_px=np.concatenate(places),
        u_px=np.concatenate(u_px),
        refused=tuple(refused),
    )


def _inner_gaps(is_known: NDArray[np.bool_]) -> list[tuple[int, int]]:
    known = np.flatnonzero(is_known)
    return [(int(a) + 1, int(b) - 1) for a, b in pairwise(known) if b > a + 1]


def _is_carried(is_known: NDArray[np.bool_], first: int, last: int) -> bool:
    if first < N_SIDE or last + N_SIDE >= len(is_known):
        return False
    before, after = is_known[first - N_SIDE : first], is_known[last + 1 : last + 1 + N_SIDE]
    return bool(before.all() and after.all())


def _bridge(times_s: FloatArray, xy_px: FloatArray, first: int, n_missing: int) -> FloatArray:
    """Return the cubic of least squares through the known frames beside these rows."""
    inner = np.arange(first, first + n_missing)
    beside = np.concatenate(
        [inner[0] - N_SIDE + np.arange(N_SIDE), inner[-1] + 1 + np.arange(N_SIDE)]
    )
    middle_s = times_s[beside].mean()
    scale_s = np.ptp(times_s[beside])
    design = np.vander((times_s[beside] - middle_s) / scale_s, 4)
    cubic = np.linalg.lstsq(design, xy_px[beside], rcond=None)[0]
    bridge: FloatArray = np.vander((times_s[inner] - middle_s) / scale_s, 4) @ cubic
    return bridge


def _rehearsed(
    times_s: FloatArray, xy_px: FloatArray, is_known: NDArray[np.bool_], first: int, n_missing: int
) -> tuple[FloatArray, float]:
    """Return the bridge's misses nearby, (k, n_missing, 2), px, and the widest step over, px."""
    n_window = n_missing + 2 * N_SIDE
    starts = [
        start + N_SIDE
        for start in range(len(is_known) - n_window + 1)
        if is_known[start : start + n_window].all()
    ]
    nearest = sorted(starts, key=lambda start: abs(start - first))[:MAX_REHEARSALS]
    misses = [
        _bridge(times_s, xy_px, start, n_missing) - xy_px[start : start + n_missing]
        for start in nearest
    ]
    steps_px = [np.linalg.norm(xy_px[at + n_missing] - xy_px[at - 1]) for at in nearest]
    return np.array(misses).reshape(-1, n_missing, 2), float(max(steps_px, default=0.0))
