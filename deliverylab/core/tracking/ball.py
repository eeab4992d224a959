"""The ball after it has left the hand: a straight, evenly flown row of small bright blobs.

Hands, gloves and shoes are small, bright and quick too, but they neither go straight nor keep their
speed for long.  A flight counts only if it is long enough for that to show, if no other row of blobs
explains the frames as well, and if it goes on from frame to frame without gaps.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.tracking.moving_blobs import Blobs, grey, moving_blobs, repeated

FloatArray = NDArray[np.float64]

SPEEDS_M_S = (9.0, 55.0)
"""Speeds looked for, by the diameter of the ball; wide, for the capture rate may be misstated."""
MIN_FRAMES = 3
"""Frames that hold the ball."""
MIN_PATH_DIAMETERS = 11.0
"""Length of the flight seen, diameters (0.8 m): a hand does not go straight so far."""
SURE_FRAMES = 5
"""From so many frames on a flight needs no start to be believed."""
MAX_STEEPNESS = 0.7
"""Rise or fall over way along, at most (35°): legs and arms go up and down as quickly."""
NEAR_DIAMETERS = 9.0
"""How close to the start a flight of three frames has to pass (0.65 m)."""
MIN_LEAD = 1.0
"""Frames by which the best flight is ahead of any that shares none of its blobs."""
GRAVITY_M_S2 = 9.81
_MOST_STEPS = 3


@dataclass(frozen=True, kw_only=True)
class BallSearch:
    """What is known before the search.

    Attributes
    ----------
    diameter_px, diameter_m : float
        Expected diameter of the ball in the picture, and what it is.
    near_px : (float, float) or None
        Where the ball starts: the hand at release.
    toward : {-1, 0, 1}
        Way it flies in the picture: to the left, unknown, to the right.
    """

    diameter_px: float
    diameter_m: float
    near_px: tuple[float, float] | None = None
    toward: int = 0


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


@dataclass(frozen=True)
class _Flight:
    """A row of blobs: which of each picture, and how far they lie off an even flight."""

    rows: tuple[int, ...]
    blobs: tuple[int, ...]
    start_px: FloatArray
    velocity_px_s: FloatArray
    score: float


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
    flights = _flights(found, times, search)
    if not flights:
        return _nothing("nothing in these frames flies like a ball")
    best = flights[0]
    rival = next((each for each in flights[1:] if not _shares(each, best)), None)
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


def _flights(found: list[Blobs], times_s: FloatArray, search: BallSearch) -> list[_Flight]:
    """Return all believable flights, the best first: every two blobs near in time are tried."""
    flights: dict[tuple[tuple[int, int], ...], _Flight] = {}
    # Two blobs of a flight that is known would only lead to it again.
    known: set[tuple[tuple[int, int], tuple[int, int]]] = set()
    low, high = (speed * search.diameter_px / search.diameter_m for speed in SPEEDS_M_S)
    for row, blobs in enumerate(found):
        for step in range(1, _MOST_STEPS + 1):
            if row + step >= len(found) or not len(blobs) or not len(found[row + step]):
                continue
            passed_s = float(times_s[row + step] - times_s[row])
            way = found[row + step].xy_px[None] - blobs.xy_px[:, None]
            speed = np.hypot(way[..., 0], way[..., 1]) / passed_s
            is_right = (speed >= low) & (speed <= high)
            is_right &= np.abs(way[..., 1]) <= MAX_STEEPNESS * np.abs(way[..., 0])
            if search.toward:
                is_right &= way[..., 0] * search.toward > 0.0
            for a, b in np.argwhere(is_right).tolist():
                if ((row, a), (row + step, b)) in known:
                    continue
                flight = _followed(found, times_s, search, (row, a), (row + step, b))
                if flight is not None:
                    members = tuple(zip(flight.rows, flight.blobs, strict=True))
                    flights[members] = flight
                    known.update(combinations(members, 2))
    return sorted(flights.values(), key=lambda flight: -flight.score)


def _fall_px(passed_s: FloatArray | float, search: BallSearch) -> FloatArray:
    """Return how far a ball has fallen, px: half of g t², as far as it is seen upright."""
    px_per_m = search.diameter_px / search.diameter_m
    return np.asarray(0.5 * GRAVITY_M_S2 * np.square(passed_s) * px_per_m)


def _followed(
    found: list[Blobs],
    times_s: FloatArray,
    search: BallSearch,
    first: tuple[int, int],
    second: tuple[int, int],
) -> _Flight | None:
    """Follow a flight from two of its blobs to both sides until it is lost; None if it is none."""
    chosen = {first[0]: first[1], second[0]: second[1]}
    fit = _line(found, times_s, search, chosen)
    pace = float(np.hypot(*fit[1])) * float(np.median(np.diff(times_s)))
    for rows in (range(second[0] + 1, len(found)), range(first[0] - 1, -1, -1)):
        n_lost = 0
        for row in rows:
            blob = _nearest(found[row], _at(fit, times_s[row], search), search, pace, len(chosen))
            if blob is None:
                n_lost += 1
                if n_lost > 1:
                    break
                continue
            n_lost = 0
            chosen[row] = blob
            fit = _line(found, times_s, search, chosen)
    for row in range(first[0] + 1, second[0]):
        blob = _nearest(found[row], _at(fit, times_s[row], search), search, pace, len(chosen))
        if blob is not None:
            chosen[row] = blob
    return _judged(found, times_s, search, chosen)


_Line = tuple[FloatArray, FloatArray, float]


def _line(
    found: list[Blobs], times_s: FloatArray, search: BallSearch, chosen: dict[int, int]
) -> _Line:
    """Fit an even flight under gravity: place and velocity at the mean time, and that time."""
    rows = sorted(chosen)
    times = times_s[rows]
    places = np.array([found[row].xy_px[chosen[row]] for row in rows])
    middle_s = float(times.mean())
    passed = times - middle_s
    level = places - np.stack((np.zeros(len(rows)), _fall_px(passed, search)), axis=-1)
    velocity = (passed @ (level - level.mean(axis=0))) / (passed @ passed)
    return level.mean(axis=0), velocity, middle_s


def _at(fit: _Line, time_s: float, search: BallSearch) -> FloatArray:
    place, velocity, middle_s = fit
    passed = time_s - middle_s
    out: FloatArray = place + velocity * passed
    out[1] += float(_fall_px(passed, search))
    return out


def _tolerance_px(search: BallSearch, pace_px: float, n_known: int) -> float:
    """Return how far a blob may lie off: a part of the ball, and of its step while few are known."""
    share = 0.10 if n_known == 2 else 0.06 if n_known == 3 else 0.04
    return max(1.5, 0.25 * search.diameter_px) + share * pace_px


def _nearest(
    blobs: Blobs, place_px: FloatArray, search: BallSearch, pace_px: float, n_known: int
) -> int | None:
    if not len(blobs):
        return None
    off = np.hypot(*(blobs.xy_px - place_px).T)
    best = int(np.argmin(off))
    return best if off[best] <= _tolerance_px(search, pace_px, n_known) else None


def _judged(
    found: list[Blobs], times_s: FloatArray, search: BallSearch, chosen: dict[int, int]
) -> _Flight | None:
    """Return a flight that is long, straight, even and gapless enough, with its score."""
    rows = sorted(chosen)
    n = len(rows)
    if n < MIN_FRAMES or n < 0.7 * (rows[-1] - rows[0] + 1):
        return None
    fit = _line(found, times_s, search, chosen)
    places = np.array([found[row].xy_px[chosen[row]] for row in rows])
    if np.hypot(*(places[-1] - places[0])) < MIN_PATH_DIAMETERS * search.diameter_px:
        return None
    off = np.array([_at(fit, times_s[row], search) for row in rows]) - places
    pace = float(np.hypot(*fit[1])) * float(np.median(np.diff(times_s)))
    rms = float(np.sqrt(np.mean(off**2) * 2.0 * n / (2.0 * n - 4.0))) if n > 2 else 0.0
    if rms > max(1.0, 0.15 * search.diameter_px) + 0.02 * pace or not _is_alike(found, chosen, fit):
        return None
    is_near = _passes_near(fit, places, search)
    if n < SURE_FRAMES and not is_near:
        return None
    score = n + (1.0 if is_near else 0.0) - rms / max(1.0, 0.25 * search.diameter_px)
    return _Flight(tuple(rows), tuple(chosen[row] for row in rows), places[0], fit[1], score)


def _is_alike(found: list[Blobs], chosen: dict[int, int], fit: _Line) -> bool:
    """Return whether the blobs look like one thing, and streaks point along the flight."""
    picked = [(found[row], blob) for row, blob in chosen.items()]
    lengths = np.array([blobs.length_px[blob] for blobs, blob in picked])
    widths = np.array([blobs.width_px[blob] for blobs, blob in picked])
    middle = float(np.median(lengths))
    if np.mean((lengths > 0.5 * middle - 1.5) & (lengths < 2.0 * middle + 1.5)) < 0.7:
        return False
    if np.median(lengths / widths) < 1.8:
        return True
    way = fit[1] / np.hypot(*fit[1])
    along = np.array([abs(float(blobs.along[blob] @ way)) for blobs, blob in picked])
    return bool(np.median(along) > math.cos(math.radians(25.0)))


def _passes_near(fit: _Line, places_px: FloatArray, search: BallSearch) -> bool:
    """Return whether the flight, drawn backwards, comes from the start."""
    if search.near_px is None:
        return False
    back = np.array(search.near_px) - places_px[0]
    way = fit[1] / np.hypot(*fit[1])
    reach = NEAR_DIAMETERS * search.diameter_px
    # behind its first place, or beside it, but not far ahead
    return bool(abs(back[0] * way[1] - back[1] * way[0]) < reach and back @ way < reach)


def _shares(a: _Flight, b: _Flight) -> bool:
    return bool(set(zip(a.rows, a.blobs, strict=True)) & set(zip(b.rows, b.blobs, strict=True)))


def _measured(
    flight: _Flight,
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
    fit = _line(found, times_s, search, chosen)
    rows = np.array(sorted(chosen))
    places = np.array([found[row].xy_px[chosen[row]] for row in rows])
    off = np.array([_at(fit, times_s[row], search) for row in rows]) - places
    scatter = math.sqrt(float(np.sum(off**2)) / max(1, 2 * len(rows) - 4))
    streaks = np.array([found[row].length_px[chosen[row]] for row in rows])
    # Judgement, borne out by the benchmark: a third of a pixel, and a 25th of the streak's length.
    u_px = np.maximum(np.hypot(0.3, 0.04 * streaks), scatter)
    return replace(
        _nothing(""), rows=kept[rows], xy_px=places, u_px=u_px,
        speed_px_s=float(np.hypot(*fit[1])),
    )  # fmt: skip
