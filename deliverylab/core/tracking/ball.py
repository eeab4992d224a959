"""The ball after it has left the hand: a straight, evenly flown row of small bright blobs.

Hands, gloves and shoes are small, bright and quick too, but they neither go straight nor keep their
speed for long.  A flight counts only if it is long enough for that to show, if no other row of blobs
explains the frames as well, and if it goes on from frame to frame without gaps.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.tracking.flights import (
    MIN_FRAMES,
    BallSearch,
    Flight,
    flights,
    line,
    place_at,
    shares,
)
from deliverylab.core.tracking.moving_blobs import Blobs, grey, moving_blobs, repeated

FloatArray = NDArray[np.float64]

MIN_LEAD = 1.0
"""Frames by which the best flight is ahead of any that shares none of its blobs."""


@dataclass(frozen=True, kw_only=True)
class BallFlight:
    """The ball as it was found; without rows where it was not.

    Attributes
    ----------
    rows : ndarray of int, shape (n,)
        Which of the pictures handed in.
    xy_px : ndarray, shape (n, 2), px
        Middle of the ball, or of its streak.
    u_px : ndarray, shape (n,), px
        Standard uncertainty of either coordinate; larger along a streak, and as large as that.
    speed_px_s : float
        Speed along the picture, px per second of the times handed in.
    reason : str
        Why nothing is found; empty where something is.
    """

    rows: NDArray[np.int64]
    xy_px: FloatArray
    u_px: FloatArray
    speed_px_s: float
    reason: str = ""

    @property
    def is_found(self) -> bool:
        """Whether there is a flight."""
        return not self.reason


def find_ball(
    pictures: Sequence[NDArray[np.uint8]], times_s: FloatArray, search: BallSearch
) -> BallFlight:
    """Find the ball in flight.

    Parameters
    ----------
    pictures : sequence of ndarray, shape (h, w) or (h, w, 3), uint8
        In order, from about release on; at least five.
    times_s : ndarray, shape (n,), seconds
        Real times of the pictures.
    search : BallSearch
        What is known of the ball.

    Returns
    -------
    BallFlight
        With a reason where nothing is found, or where it cannot be sure which of two it is.
    """
    greys = [grey(picture) for picture in pictures]
    kept = np.flatnonzero(~repeated(greys))
    if len(kept) < 5:
        return _nothing("too few frames after release that are not repeats of one another")
    if search.diameter_px < 2.0:
        return _nothing("the ball would be smaller than two pixels in this picture")
    greys, times = [greys[number] for number in kept], times_s[kept]
    stride = _stride(times, search)
    found = [
        moving_blobs(greys, number, stride=stride, diameter_px=search.diameter_px)
        for number in range(len(greys))
    ]
    believable = flights(found, times, search)
    if not believable:
        return _nothing("nothing in these frames flies like a ball")
    best = believable[0]
    rival = next((each for each in believable[1:] if not shares(each, best)), None)
    if rival is not None and best.score - rival.score < MIN_LEAD:
        return _nothing("more than one thing flies like a ball")
    return _measured(best, found, times, search, kept)


def _nothing(reason: str) -> BallFlight:
    empty = np.zeros(0)
    return BallFlight(
        rows=np.zeros(0, dtype=np.int64), xy_px=np.zeros((0, 2)), u_px=empty, speed_px_s=math.nan,
        reason=reason,
    )  # fmt: skip


def _stride(times_s: FloatArray, search: BallSearch) -> int:
    """Return after how many pictures a ball of usual speed no longer covers its own place."""
    interval_s = float(np.median(np.diff(times_s)))
    return max(1, math.ceil(2.0 * search.diameter_m / (25.0 * interval_s)))


def _measured(
    flight: Flight,
    found: list[Blobs],
    times_s: FloatArray,
    search: BallSearch,
    kept: NDArray[np.int64],
) -> BallFlight:
    """Return the places with their u; blobs that merge with something else are left out."""
    chosen = dict(zip(flight.rows, flight.blobs, strict=True))
    lengths = np.array([found[row].length_px[blob] for row, blob in chosen.items()])
    middle = float(np.median(lengths))
    # a streak cut by the picture's edge, or run together with the hand, has its middle elsewhere
    whole = [
        row for row, length in zip(chosen, lengths, strict=True)
        if 0.75 * middle - 1.0 <= length <= 1.3 * middle + 1.0
    ]  # fmt: skip
    if len(whole) >= MIN_FRAMES:
        chosen = {row: chosen[row] for row in whole}
    fit = line(found, times_s, search, chosen)
    rows = np.array(sorted(chosen))
    places = np.array([found[row].xy_px[chosen[row]] for row in rows])
    off = np.array([place_at(fit, times_s[row], search) for row in rows]) - places
    scatter = math.sqrt(float(np.sum(off**2)) / max(1, 2 * len(rows) - 4))
    streaks = np.array([found[row].length_px[chosen[row]] for row in rows])
    # Judgement: two to four times what the benchmark shows on pictures that no coder has touched.
    u_px = np.maximum(np.hypot(0.2, 0.025 * streaks), scatter)
    return replace(
        _nothing(""), rows=kept[rows], xy_px=places, u_px=u_px,
        speed_px_s=float(np.hypot(*fit[1])),
    )  # fmt: skip
