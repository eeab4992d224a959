"""A ball that is tossed or dropped: a row of blobs whose height is a parabola in time.

How fast it falls in pixels is just what is to be found out, so nothing but the shape of the path is
asked for: even along the level, evenly gaining speed downward.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.tracking.ball import BallFlight
from deliverylab.core.tracking.moving_blobs import Blobs, grey, moving_blobs, repeated

FloatArray = NDArray[np.float64]

MIN_FRAMES = 6
MIN_SHARE = 0.75
"""Part of the frames from the first to the last in which the ball is seen."""
MIN_PATH_DIAMETERS = 4.0
"""Length of the path seen, diameters (0.3 m)."""
MIN_SAG_DIAMETERS = 0.8
"""How far the path bends off a straight line over that, diameters (6 cm)."""
MAX_OFF_DIAMETERS = 0.07
"""Root mean square off the path, diameters (5 mm): hands and shoes swing less evenly."""
CLEAN_PX = 0.5
"""Farther off the path than this, and than three times the usual way off, a place is left out, px."""
ALIKE = 1.5
"""Factor by which the size of a blob may differ from the usual one of its path."""
RIVAL_SHARE = 0.8
"""A second path with so large a part of the best one's frames leaves it unsure which is the ball."""
_N_TRIES = 6000
_N_REFITS = 3


@dataclass(frozen=True)
class _Path:
    """Blobs of a path by row, and the powers of time that fit them, shape (3, 2)."""

    blobs: dict[int, int]
    fit: FloatArray


def find_fall(
    pictures: Sequence[NDArray[np.uint8]], times_s: FloatArray, diameter_px: float
) -> BallFlight:
    """Find a ball in free flight.

    Parameters
    ----------
    pictures : sequence of ndarray, shape (h, w) or (h, w, 3), uint8
        In order, spread over the flight; at least six.
    times_s : ndarray, shape (n,), seconds
        Times of the pictures, in true proportion to each other.
    diameter_px : float
        Expected diameter of the ball.

    Returns
    -------
    BallFlight
        `speed_px_s` is that at the middle of the flight.  With a reason where nothing is found, or
        where it cannot be sure which of two it is.
    """
    greys = [grey(picture) for picture in pictures]
    kept = np.flatnonzero(~repeated(greys))
    if len(kept) < MIN_FRAMES:
        return _nothing("too few frames that are not repeats of one another")
    if diameter_px < 2.0:
        return _nothing("the ball would be smaller than two pixels in this picture")
    greys, times = [greys[number] for number in kept], times_s[kept] - times_s[kept].mean()
    # the ball is slow at first: only pictures far apart show the ground behind it
    stride = max(1, (len(greys) - 1) // 4)
    found = [
        moving_blobs(greys, number, stride=stride, diameter_px=diameter_px)
        for number in range(len(greys))
    ]
    best = _best_path(found, times, diameter_px, frozenset())
    if best is None:
        return _nothing("nothing in these frames falls like a ball")
    taken = frozenset(best.blobs.items())
    rival = _best_path(found, times, diameter_px, taken)
    if rival is not None and len(rival.blobs) >= RIVAL_SHARE * len(best.blobs):
        return _nothing("more than one thing falls like a ball")
    rows = np.array(sorted(best.blobs))
    places = np.array([found[row].xy_px[best.blobs[row]] for row in rows])
    away = np.hypot(*(places - _places(best.fit, times[rows])).T)
    # a blob that has run together with a hand lies beside the path
    is_clean = away <= max(CLEAN_PX, 3.0 * float(np.median(away)))
    rows, places = rows[is_clean], places[is_clean]
    powers = times[rows][:, None] ** np.arange(3)
    off = places - powers @ np.linalg.lstsq(powers, places, rcond=None)[0]
    scatter = math.sqrt(float(np.sum(off**2)) / max(1, 2 * len(rows) - 5))
    return BallFlight(
        rows=kept[rows], xy_px=places, u_px=np.full(len(rows), max(0.2, scatter)),
        speed_px_s=float(np.hypot(*best.fit[1])),
    )  # fmt: skip


def _nothing(reason: str) -> BallFlight:
    return BallFlight(
        rows=np.zeros(0, dtype=np.int64), xy_px=np.zeros((0, 2)), u_px=np.zeros(0),
        speed_px_s=math.nan, reason=reason,
    )  # fmt: skip


def _best_path(
    found: list[Blobs], times_s: FloatArray, diameter_px: float, taken: frozenset[tuple[int, int]]
) -> _Path | None:
    """Return the path through most frames that passes as a fall, leaving out taken blobs."""
    free = [
        np.array([blob for blob in range(len(blobs)) if (row, blob) not in taken], dtype=np.int64)
        for row, blobs in enumerate(found)
    ]
    rows = np.array([row for row, blobs in enumerate(free) if len(blobs)])
    if len(rows) < MIN_FRAMES:
        return None
    fits = _tried(found, free, rows, times_s)
    reach = max(1.5, 0.3 * diameter_px)
    n_met = np.zeros(len(fits), dtype=np.int64)
    for row in rows:
        off = _places(fits, times_s[row])[:, None] - found[row].xy_px[free[row]][None]
        n_met += np.hypot(off[..., 0], off[..., 1]).min(axis=1) <= reach
    for number in np.argsort(-n_met, kind="stable")[:5]:
        path = _refitted(found, free, times_s, fits[number], reach)
        if path is not None and _falls(found, times_s, path, diameter_px):
            return path
    return None


def _tried(
    found: list[Blobs], free: list[NDArray[np.int64]], rows: NDArray[np.int64], times_s: FloatArray
) -> FloatArray:
    """Return paths through three blobs each, shape (n, 3, 2): level and even, down and bending."""
    # the same frames give the same answer
    rng = np.random.default_rng(0)
    three = np.sort(rng.integers(0, len(rows), (_N_TRIES, 3)), axis=1)
    least = max(1, len(rows) // 8)
    three = three[(np.diff(three, axis=1) >= least).all(axis=1)]
    if not len(three):
        return np.zeros((0, 3, 2))
    chosen = rows[three]
    places = np.array(
        [[found[row].xy_px[rng.choice(free[row])] for row in triple] for triple in chosen.tolist()]
    )
    powers = times_s[chosen][..., None] ** np.arange(3)
    fits = np.linalg.solve(powers, places)
    # along the level the three have to lie evenly
    bend = np.abs(fits[:, 2, 0]) < 0.3 * np.abs(fits[:, 2, 1])
    even: FloatArray = fits[bend & (fits[:, 2, 1] > 0.0)]
    return even


def _places(fit: FloatArray, times_s: FloatArray) -> FloatArray:
    """Return where fits are at times: (n, 3, 2) at one time, or (3, 2) at many; px."""
    powers = np.asarray(times_s)[..., None] ** np.arange(3)
    placed: FloatArray = powers @ fit
    return placed


def _refitted(
    found: list[Blobs],
    free: list[NDArray[np.int64]],
    times_s: FloatArray,
    fit: FloatArray,
    reach: float,
) -> _Path | None:
    """Return a path fitted to all the blobs that it meets."""
    blobs: dict[int, int] = {}
    for _ in range(_N_REFITS):
        blobs = {}
        for row, own in enumerate(free):
            if not len(own):
                continue
            off = np.hypot(*(found[row].xy_px[own] - _places(fit, times_s[row])).T)
            if off.min() <= reach:
                blobs[row] = int(own[np.argmin(off)])
        if len(blobs) < MIN_FRAMES:
            return None
        met = sorted(blobs)
        places = np.array([found[row].xy_px[blobs[row]] for row in met])
        powers = times_s[met][:, None] ** np.arange(3)
        fit = np.linalg.lstsq(powers, places, rcond=None)[0]
    return _Path(blobs, fit)


def _falls(found: list[Blobs], times_s: FloatArray, path: _Path, diameter_px: float) -> bool:
    """Return whether a path is long, bent, even and gapless enough."""
    rows = sorted(path.blobs)
    if len(rows) < max(MIN_FRAMES, MIN_SHARE * (rows[-1] - rows[0] + 1)):
        return False
    places = np.array([found[row].xy_px[path.blobs[row]] for row in rows])
    length = float(np.sum(np.hypot(*np.diff(places, axis=0).T)))
    half_s = 0.5 * float(times_s[rows[-1]] - times_s[rows[0]])
    down = float(path.fit[2, 1])
    off = places - _places(path.fit, times_s[rows])
    rms = float(np.sqrt(np.mean(np.sum(off**2, axis=1))))
    return (
        length >= MIN_PATH_DIAMETERS * diameter_px
        and down * half_s**2 >= MIN_SAG_DIAMETERS * diameter_px
        and abs(float(path.fit[2, 0])) < 0.15 * down
        and rms <= max(0.5, MAX_OFF_DIAMETERS * diameter_px)
        and _is_alike([found[row] for row in rows], [path.blobs[row] for row in rows], diameter_px)
    )


def _is_alike(frames: list[Blobs], blobs: list[int], diameter_px: float) -> bool:
    """Return whether most blobs of a path have one size, and that of the ball."""
    widths = np.array([found.width_px[blob] for found, blob in zip(frames, blobs, strict=True)])
    usual = float(np.median(widths))
    is_like = (widths > usual / ALIKE) & (widths < usual * ALIKE)
    is_ball = diameter_px / ALIKE - 1.0 < usual < diameter_px * ALIKE + 1.0
    return is_ball and bool(is_like.mean() >= MIN_SHARE)
