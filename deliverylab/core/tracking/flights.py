"""Rows of blobs that fly: straight but for gravity, at an even pace, from frame to frame without gaps."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.tracking.moving_blobs import Blobs

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


@dataclass(frozen=True)
class Flight:
    """A row of blobs: which of each picture, and how far they lie off an even flight."""

    rows: tuple[int, ...]
    blobs: tuple[int, ...]
    start_px: FloatArray
    velocity_px_s: FloatArray
    score: float


def flights(found: list[Blobs], times_s: FloatArray, search: BallSearch) -> list[Flight]:
    """Return all believable flights, the best first: every two blobs near in time are tried."""
    known_flights: dict[tuple[tuple[int, int], ...], Flight] = {}
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
                    known_flights[members] = flight
                    known.update(combinations(members, 2))
    return sorted(known_flights.values(), key=lambda flight: -flight.score)


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
) -> Flight | None:
    """Follow a flight from two of its blobs to both sides until it is lost; None if it is none."""
    chosen = {first[0]: first[1], second[0]: second[1]}
    fit = line(found, times_s, search, chosen)
    pace = float(np.hypot(*fit[1])) * float(np.median(np.diff(times_s)))
    for rows in (range(second[0] + 1, len(found)), range(first[0] - 1, -1, -1)):
        n_lost = 0
        for row in rows:
            blob = _nearest(
                found[row], place_at(fit, times_s[row], search), search, pace, len(chosen)
            )
            if blob is None:
                n_lost += 1
                if n_lost > 1:
                    break
                continue
            n_lost = 0
            chosen[row] = blob
            fit = line(found, times_s, search, chosen)
    for row in range(first[0] + 1, second[0]):
        blob = _nearest(found[row], place_at(fit, times_s[row], search), search, pace, len(chosen))
        if blob is not None:
            chosen[row] = blob
    return _judged(found, times_s, search, chosen)


Line = tuple[FloatArray, FloatArray, float]


def line(
    found: list[Blobs], times_s: FloatArray, search: BallSearch, chosen: dict[int, int]
) -> Line:
    """Fit an even flight under gravity: place and velocity at the mean time, and that time."""
    rows = sorted(chosen)
    times = times_s[rows]
    places = np.array([found[row].xy_px[chosen[row]] for row in rows])
    middle_s = float(times.mean())
    passed = times - middle_s
    level = places - np.stack((np.zeros(len(rows)), _fall_px(passed, search)), axis=-1)
    velocity = (passed @ (level - level.mean(axis=0))) / (passed @ passed)
    return level.mean(axis=0), velocity, middle_s


def place_at(fit: Line, time_s: float, search: BallSearch) -> FloatArray:
    """Return where the fitted flight is at a time, shape (2,), px."""
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
) -> Flight | None:
    """Return a flight that is long, straight, even and gapless enough, with its score."""
    rows = sorted(chosen)
    n = len(rows)
    if n < MIN_FRAMES or n < 0.7 * (rows[-1] - rows[0] + 1):
        return None
    fit = line(found, times_s, search, chosen)
    places = np.array([found[row].xy_px[chosen[row]] for row in rows])
    if np.hypot(*(places[-1] - places[0])) < MIN_PATH_DIAMETERS * search.diameter_px:
        return None
    off = np.array([place_at(fit, times_s[row], search) for row in rows]) - places
    pace = float(np.hypot(*fit[1])) * float(np.median(np.diff(times_s)))
    rms = float(np.sqrt(np.mean(off**2) * 2.0 * n / (2.0 * n - 4.0))) if n > 2 else 0.0
    if rms > max(1.0, 0.15 * search.diameter_px) + 0.02 * pace or not _is_alike(found, chosen, fit):
        return None
    is_near = _passes_near(fit, places, search)
    if n < SURE_FRAMES and not is_near:
        return None
    score = n + (1.0 if is_near else 0.0) - rms / max(1.0, 0.25 * search.diameter_px)
    return Flight(tuple(rows), tuple(chosen[row] for row in rows), places[0], fit[1], score)


def _is_alike(found: list[Blobs], chosen: dict[int, int], fit: Line) -> bool:
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


def _passes_near(fit: Line, places_px: FloatArray, search: BallSearch) -> bool:
    """Return whether the flight, drawn backwards, comes from the start."""
    if search.near_px is None:
        return False
    back = np.array(search.near_px) - places_px[0]
    way = fit[1] / np.hypot(*fit[1])
    reach = NEAR_DIAMETERS * search.diameter_px
    # behind its first place, or beside it, but not far ahead
    return bool(abs(back[0] * way[1] - back[1] * way[0]) < reach and back @ way < reach)


def shares(a: Flight, b: Flight) -> bool:
    """Return whether two flights have a blob in common."""
    return bool(set(zip(a.rows, a.blobs, strict=True)) & set(zip(b.rows, b.blobs, strict=True)))
