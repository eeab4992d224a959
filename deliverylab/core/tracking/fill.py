"""Short gaps in a landmark's track, bridged by a spline whose u holds also where the gap is quick.

The track beside and across a gap is taken as a draw of a random motion: a parabola, and on it either
white noise in the acceleration (whose best estimate is a cubic spline [1]_) or in the change of the
acceleration (a quintic one).  How rough the motion is, which of the two it is, and how much of the
places' stated u changes from frame to frame, is not known: all are weighed by how likely they make the
places on both sides.  A gap between sides that do not continue each other is thereby taken as rough
itself, and u is wide there; what is the same in all places (a joint taken for too high) is not
averaged out.

References
----------
.. [1] Wahba G (1978). Improper priors, spline smoothing and the problem of guarding against model
   errors in regression. J R Stat Soc B 40:364-372.
.. [2] Matheron G (1973). The intrinsic random functions and their applications. Adv Appl Probab
   5:439-468 (generalised covariances; both cited from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Refusal = Literal["long", "few", "unsure", "length"]

MIN_SIDE = 4
"""Known frames needed on each side."""
MAX_SIDE = 12
SIDE_S = 0.05
"""Known frames within this time of a gap carry its bridge; at low rates the nearest `MIN_SIDE`."""
_DRIFT = 3
_KERNELS = ((3, 1.0 / 12.0), (5, -1.0 / 240.0))
"""Power and factor of the generalised covariances of cubic and quintic splines."""
_ROUGHNESS = 10.0 ** np.arange(-3.0, 7.1, 0.5)
"""Tried sizes of the random part over the places' u, as variances."""
_CHANGING = np.array([0.01, 0.09, 0.36, 1.0])
"""Tried shares of the places' u² that changes from frame to frame."""


@dataclass(frozen=True, kw_only=True)
class FillLimit:
    """What is bridged at most; all limits hold.

    Attributes
    ----------
    n_frames : int
        Missing frames in a row.
    duration_s : float
        Real seconds between the known frames beside the gap.
    u_px : float
        Standard uncertainty above which a bridge says nothing.
    """

    n_frames: int = 10
    duration_s: float = 0.045
    u_px: float = np.inf


@dataclass(frozen=True, kw_only=True)
class Bridge:
    """One gap, bridged or refused.

    Attributes
    ----------
    rows : ndarray of int, shape (n,)
        Rows of the track that were missing.
    xy_px : ndarray, shape (n, 2), px
        Their places; NaN where refused.
    u_px : ndarray, shape (n,), px
        Standard uncertainty of either coordinate; NaN where refused.
    refusal : str
        ``long`` beyond the limit, ``few`` known frames beside it, ``unsure`` its u too wide;
        empty where it is bridged.
    """

    rows: NDArray[np.int64]
    xy_px: FloatArray
    u_px: FloatArray
    refusal: Refusal | Literal[""] = ""


def bridged_gaps(
    times_s: FloatArray, xy_px: FloatArray, u_px: FloatArray, limit: FillLimit
) -> list[Bridge]:
    """Bridge the inner gaps of a track; its ends are never continued.

    Parameters
    ----------
    times_s : ndarray, shape (n,), real s
        Times of the frames, ascending.
    xy_px : ndarray, shape (n, 2), px
        Places, NaN where there is none.
    u_px : ndarray, shape (n,), px
        Their standard uncertainties, above 0.
    limit : FillLimit

    Returns
    -------
    list of Bridge
        One a gap, refused ones too.
    """
    known = np.flatnonzero(np.isfinite(xy_px).all(axis=1))
    bridges = []
    for number, (before, after) in enumerate(pairwise(known.tolist())):
        if after == before + 1:
            continue
        rows = np.arange(before + 1, after)
        sides = _sides(times_s, known, number)
        is_long = len(rows) > limit.n_frames or times_s[after] - times_s[before] > limit.duration_s
        if is_long or sides is None:
            bridges.append(_refused(rows, "long" if is_long else "few"))
            continue
        at_px, u = _bridged(times_s[sides], xy_px[sides], u_px[sides], times_s[rows])
        is_sure = bool(u.max() <= limit.u_px)
        bridges.append(
            Bridge(rows=rows, xy_px=at_px, u_px=u) if is_sure else _refused(rows, "unsure")
        )
    return bridges


def held_to_length(
    bridge: Bridge, neighbour_px: FloatArray, u_neighbour_px: FloatArray, longest_px: float
) -> Bridge:
    """Return a bridge whose segment is nowhere longer in the picture than it can be.

    Places that are too far from the segment's other end by less than what both are unsure by (2 u) are
    drawn to where the segment has its full length; a bridge with one farther off is refused.

    Parameters
    ----------
    neighbour_px, u_neighbour_px : ndarray, shape (n, 2) and (n,), px
        The other end in the same frames; NaN where unknown, which constrains nothing.
    longest_px : float
        The segment's length in the picture where it is not foreshortened.
    """
    away = bridge.xy_px - neighbour_px
    length_px = np.linalg.norm(away, axis=1)
    excess = length_px - longest_px
    unsure = 2.0 * np.hypot(bridge.u_px, u_neighbour_px)
    if np.any(excess > unsure):
        return _refused(bridge.rows, "length")
    is_long = excess > 0.0
    drawn = bridge.xy_px.copy()
    drawn[is_long] -= away[is_long] * (excess / length_px)[is_long, None]
    return Bridge(rows=bridge.rows, xy_px=drawn, u_px=bridge.u_px)


def _refused(rows: NDArray[np.int64], why: Refusal) -> Bridge:
    nothing = np.full((len(rows), 3), np.nan)
    return Bridge(rows=rows, xy_px=nothing[:, :2], u_px=nothing[:, 2], refusal=why)


def _sides(times_s: FloatArray, known: NDArray[np.intp], number: int) -> NDArray[np.intp] | None:
    """Return the known rows that carry the bridge after the known one of this number."""
    sides = known[: number + 1][::-1], known[number + 1 :]
    carrying = []
    for side in sides:
        near = int(np.sum(np.abs(times_s[side[:MAX_SIDE]] - times_s[side[0]]) <= SIDE_S))
        rows = side[: max(MIN_SIDE, near)]
        # frames that are themselves far apart say little about the gap
        if len(rows) < MIN_SIDE or abs(times_s[rows[MIN_SIDE - 1]] - times_s[rows[0]]) > 2 * SIDE_S:
            return None
        carrying.append(rows)
    return np.sort(np.concatenate(carrying))


def _bridged(
    times_s: FloatArray, xy_px: FloatArray, u_px: FloatArray, at_s: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return places and u at instants between known places, weighed over all tried motions."""
    middle_px = xy_px.mean(axis=0)
    span_s = np.ptp(times_s)
    scaled = (xy_px - middle_px) / u_px[:, None]
    t, at = (times_s - times_s[0]) / span_s, (at_s - times_s[0]) / span_s
    drift, free = _split(t, at, u_px)
    tried = [_tried(t, at, u_px, drift, free, scaled, *kernel) for kernel in _KERNELS]
    log_weight, moved, variance = (np.stack(parts) for parts in zip(*tried, strict=True))
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    mean = np.einsum("kqr,kqrgc->gc", weight, moved)
    spread = np.einsum("kqr,kqrgc->g", weight, (moved - mean) ** 2) / xy_px.shape[1]
    own = np.einsum("kqr,kqrg->g", weight, np.maximum(variance, 0.0))
    # what is the same in all places stays in the bridge as it is in its sides
    lasting = 1.0 - float(np.sum(weight * _CHANGING))
    beside = np.interp(at_s, times_s, u_px) ** 2
    return middle_px + drift @ scaled + mean, np.sqrt(own + spread + lasting * beside)


def _split(t: FloatArray, at: FloatArray, u_px: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return what gives the parabola's places at instants, and what no parabola explains."""
    powers = np.vander(t, _DRIFT) / u_px[:, None]
    basis, _ = np.linalg.qr(powers, mode="complete")
    return np.vander(at, _DRIFT) @ np.linalg.pinv(powers), basis[:, _DRIFT:]


def _tried(
    t: FloatArray, at: FloatArray, u_px: FloatArray, drift: FloatArray, free: FloatArray,
    scaled: FloatArray, power: int, factor: float,
) -> tuple[FloatArray, FloatArray, FloatArray]:  # fmt: skip
    """Try all roughnesses and shares with one kernel.

    Returns
    -------
    tuple of ndarray
        Log likelihood (q, r), change of the places against the parabola's (q, r, g, 2), and the
        variance of what is left (q, r, g), px².
    """
    beside = factor * np.abs(t[:, None] - t) ** power / np.outer(u_px, u_px)
    across = factor * np.abs(t[:, None] - at) ** power / u_px[:, None]
    size, turn = np.linalg.eigh(free.T @ beside @ free)
    size = np.maximum(size, 0.0)
    unit = size.mean()
    size /= unit
    toward = (across.T - drift @ beside) @ free @ turn / unit
    start = (
        np.einsum("gi,ij,gj->g", drift, beside, drift) - 2.0 * np.sum(drift * across.T, 1)
    ) / unit
    seen = turn.T @ free.T @ scaled
    q, r = _ROUGHNESS[:, None, None], _CHANGING[None, :, None]
    whole = q * size + r
    log_weight = -0.5 * np.sum(np.sum(seen**2, axis=1) / whole + seen.shape[1] * np.log(whole), -1)
    moved = np.einsum("gk,qrk,kc->qrgc", toward, q / whole, seen)
    explained = np.einsum("gk,qrk->qrg", toward**2, q / whole)
    variance = q * (start - explained) + r * np.sum(drift**2, axis=1)
    return log_weight, moved, variance
