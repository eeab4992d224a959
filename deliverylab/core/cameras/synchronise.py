"""Clocks of two cameras: the shift at which the body's lines of sight meet.

The two clips start at different moments and a frame of one falls between frames of the other.  At
the right shift each landmark's lines of sight meet but for a constant that clothing and the cameras'
own errors leave; at a wrong one they miss by what the landmark moved.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.body_facts import FilmedDelivery
from deliverylab.core.cameras.body_tracks import SmoothTracks, smooth_alike
from deliverylab.core.cameras.epipolar import (
    Sight,
    lines_of_sight,
    missing_distance,
    without_constant,
)
from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.errors import InputValueError

Array = NDArray[np.float64]

SEARCH_S = 0.200
SHIFT_S = 0.004
N_FINE = 3
"""Times the neighbourhood of the lowest point is looked at more closely, five times finer each."""
LEAST_SHARE = 0.5
"""Shifts at which fewer than this share of the most places overlap are not judged."""


@dataclass(frozen=True, kw_only=True)
class OffsetCurve:
    """How well lines of sight meet over the shift of a clock.

    Attributes
    ----------
    shifts_s : Array, shape (n,), s
        Added to the second camera's clock.
    misses : Array, shape (n,)
        Root mean square distance of lines of sight, less each landmark's constant part, in units
        of its u; NaN where too little overlaps.
    offset_s, u_offset_s : float, s
        The lowest point, and its u by the curvature there for these cameras as they stand.
    """

    shifts_s: Array
    misses: Array
    offset_s: float
    u_offset_s: float


def find_offset(
    cameras: tuple[PinholeCamera, PinholeCamera],
    delivery: FilmedDelivery,
    camera: int,
    *,
    search_s: float = SEARCH_S,
    smooth: tuple[SmoothTracks, ...] | None = None,
) -> OffsetCurve:
    """Find the offset of a camera's clock to the first camera's.

    Parameters
    ----------
    cameras : pair of PinholeCamera
        The first, and the one in question; nominal cameras will do for a start.
    delivery : FilmedDelivery
        Its offset is the middle of the search.
    camera : int
        Number of the one in question, from 1.
    search_s : float, s
        How far on both sides.
    smooth : tuple of SmoothTracks, optional
        The tracks of all cameras where they are smoothed already.

    Raises
    ------
    InputValueError
        The clips share no time within the search.
    """
    smooth = smooth or smooth_alike(delivery.tracks)
    pair = _Pair(cameras, smooth[0], smooth[camera])
    middle = delivery.offsets_s[camera - 1]
    n = round(search_s / SHIFT_S)
    shifts: Array = middle + SHIFT_S * np.arange(-n, n + 1, dtype=float)
    squares, counts = pair.squares(shifts)
    if not np.any(counts):
        raise InputValueError(
            "the clips share no time at any shift that was tried",
            where="clock offset",
            remedy="mark the same event in both clips",
        )
    misses = np.sqrt(squares / np.where(counts >= LEAST_SHARE * counts.max(), counts, np.nan))
    offset, u_offset = _lowest(pair, float(shifts[np.nanargmin(misses)]))
    return OffsetCurve(shifts_s=shifts, misses=misses, offset_s=offset, u_offset_s=u_offset)


def _lowest(pair: _Pair, offset_s: float) -> tuple[float, float]:
    """Close in on the lowest point by parabolas through three shifts, each nearer together."""
    step, u_offset_s = SHIFT_S, float("inf")
    for _ in range(N_FINE):
        squares, _ = pair.squares(offset_s + step * np.array([-1.0, 0.0, 1.0]))
        bend = squares[0] - 2.0 * squares[1] + squares[2]
        if not bend > 0.0:
            # places that come and go at the clips' ends weigh more than so small a step
            break
        offset_s += float(np.clip(0.5 * (squares[0] - squares[2]) / bend, -1.0, 1.0)) * step
        # a sum of squares in units of u² rises by 1 within one u of its lowest point
        u_offset_s = float(step / np.sqrt(0.5 * bend))
        step /= 5.0
    return offset_s, u_offset_s


class _Pair:
    """Two cameras whose lines of sight are held against each other at any shift."""

    def __init__(
        self,
        cameras: tuple[PinholeCamera, PinholeCamera],
        first: SmoothTracks,
        second: SmoothTracks,
    ) -> None:
        self._cameras, self._first, self._second = cameras, first, second
        step_s = max(first.apart_s, second.apart_s)
        self._instants_s = np.arange(first.start_s, first.end_s, step_s)
        self._sight = self._sight_of(0, first.at(self._instants_s))

    def _sight_of(self, row: int, places_px: Array) -> Sight:
        camera = self._cameras[row]
        return lines_of_sight(
            camera.parameters[None], camera.size_px, camera.radial, places_px[None]
        )

    def squares(self, shifts_s: Array) -> tuple[Array, Array]:
        """Return the sum of squared misses at each shift, and how many it has."""
        sums, counts = np.zeros(len(shifts_s)), np.zeros(len(shifts_s))
        for row, shift_s in enumerate(shifts_s):
            other = self._sight_of(1, self._second.at(self._instants_s - shift_s))
            distance, ratio = missing_distance(
                self._sight,
                other,
                (self._first.u_px, self._first.bias_px),
                (self._second.u_px, self._second.bias_px),
            )
            is_there = np.isfinite(distance[0])
            left = without_constant(np.nan_to_num(distance), np.nan_to_num(ratio), is_there)
            sums[row], counts[row] = float(np.sum(left**2)), float(is_there.sum())
        return sums, counts
