"""The centre of mass over time, and its speed toward the plate and upward.

The centre of mass is a weighted sum of the landmarks, so each landmark's place is kept by
itself: after one moved point only that landmark is mapped anew.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics.body_mass import COM_STAND_INS, mass_weights, other_weights
from deliverylab.core.metrics.inputs import default_u_px, metres_per_px
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.metrics.shutter import seen_track
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import Track
from deliverylab.core.numerics.local_fit import local_fit, u_of_smoothing
from deliverylab.core.numerics.uncertainty import rectangular_u
from deliverylab.core.vocabulary.landmarks import key_for_role
from deliverylab.core.vocabulary.mass_tables import STAND_INS

HALF_WIDTH_S = 0.07
"""Window of the local cubic fit, real seconds to each side: its slope is down to 0.71 at
9.1 Hz at 240 frames a second (8.8 to 9.2 from 60 to 960), near the 8 Hz low-pass that is used for a
centre of mass."""
WIDER_HALF_WIDTH_S = 0.10
"""A second, wider window: how far the two differ tells what smoothing takes away."""
SMOOTHING_FACTOR = 2.3
"""u of what smoothing takes away over that difference: the bias grows with the window's width to a
power between 1 (a sharp peak) and 4 (a smooth course), so what is left at the narrower window is
0.3 to 2.3 times the difference."""
NOISE_MARGIN = 2.5
"""A difference of the windows within this many standard deviations of placing noise is noise.  A
smaller margin takes noise for smoothing where the body moves evenly: with 1.5 the ± at leg lift held
98 % of our own simulation, with 2.5 it holds 96 %."""
ACCELERATION_STEP_S = 0.02
TOP, STRIDE_TOP = "", "stride"
"""Names of the top forward speed from leg lift to release, and of that up to foot contact."""
SPEED_EVENTS: tuple[str, ...] = ("leg_lift", "foot_contact", "release")
"""Events at which the speed of the centre of mass enters a result."""
N_PEAK_TIMES = 120
PEAK_MARGIN = 1.5
"""Speeds within this many standard uncertainties, of placing and smoothing, of the top may have been
the top: the top lies anywhere in the time they span."""


@dataclass(frozen=True)
class MassTrack:
    """The centre of mass in the frames that show the whole body.

    Attributes
    ----------
    frames : ndarray of int, shape (n,)
        Frames in which all that the centre of mass needs is placed.
    real_s : ndarray, shape (n,)
        Their times in real seconds on the clip's zero.
    places_m : ndarray, shape (n, c, 2), m
        Forward and up; first by the table used, then weighted in the other ways.
    shares : tuple of float, length c − 1
        Share of the difference to each other way that is its u.
    u_m : float
        Standard uncertainty of a place from placing alone, m: independent from frame to frame, alike
        in both directions.
    u_stand_ins_m_s : float
        Standard uncertainty of a speed from landmarks that others stand in for, m/s.
    """

    frames: NDArray[np.int64]
    real_s: FloatArray
    places_m: FloatArray
    shares: tuple[float, ...]
    u_m: float
    u_stand_ins_m_s: float

    @property
    def forward_m(self) -> FloatArray:
        """Forward coordinate by the table used, shape (n,), m."""
        return self.places_m[:, 0, 0]


@dataclass(frozen=True)
class Speed:
    """Speed of the centre of mass at one instant, m/s, with the parts of its u.

    Attributes
    ----------
    value, up_m_s : float
        Toward the plate, and upward; NaN where the whole body is not placed in enough frames around.
    u_placing : float
        Alike in both directions.
    u_smoothing, u_up_smoothing : float
        What smoothing takes away, forward and upward.
    u_weights, u_stand_ins : float
        Of segment weights (forward), and of landmarks that others stand in for.
    otherwise : ndarray, shape (c − 1, 2)
        Speeds forward and upward with segments weighted in the other ways.
    acceleration_m_s2 : float
        How fast the forward speed changes there; 0 at a peak, NaN where the frames do not tell.
    forward_m : float
        Forward place of the centre of mass there, from where the optical axis meets the plane.
    time_s, u_time_s : float
        The instant in real seconds; how sure it is where the course itself tells it (a peak).
    """

    value: float
    up_m_s: float
    u_placing: float
    u_smoothing: float
    u_up_smoothing: float
    u_weights: float
    u_stand_ins: float
    otherwise: FloatArray
    acceleration_m_s2: float
    forward_m: float
    time_s: float
    u_time_s: float = 0.0


def mass_track(delivery: Delivery, camera: Camera, setup: Setup) -> MassTrack:
    """Return the centre of mass over the frames that show the whole body."""
    n_frames = camera.timing.n_frames
    hand = delivery.athlete.hand
    used, weights, shares = weighted_ways(setup.athlete)
    places, variance = [], 0.0
    for role, weight in used.items():
        track = seen_track(camera, key_for_role(role, hand))
        if role in COM_STAND_INS:
            stand_in = seen_track(camera, key_for_role(COM_STAND_INS[role], hand))
            filled, is_stood_in = _filled_m(track, stand_in, n_frames, setup)
            places.append(filled)
            rule = STAND_INS[role.partition("_")[2]]
            variance += (weight * rule.u_m_s) ** 2 if is_stood_in else 0.0
        else:
            places.append(_places_m(track, n_frames, setup))
    by_role = np.stack(places)
    frames = np.flatnonzero(np.isfinite(by_role[..., 0]).all(axis=0))
    if len(frames) < n_frames:
        by_role = by_role[:, frames]
    by_way = weights @ by_role.reshape(len(by_role), 2 * len(frames))
    return MassTrack(
        frames,
        camera.timing.real_s(camera.timing.times_s[frames]),
        np.moveaxis(by_way.reshape(len(weights), len(frames), 2), 0, 1),
        shares,
        _placing_u_m(delivery, camera, used),
        math.sqrt(variance),
    )


@lru_cache(maxsize=16)
def weighted_ways(athlete: Athlete) -> tuple[dict[str, float], FloatArray, tuple[float, ...]]:
    """Return weights by role; a row of them for each way, that one first; shares of the others."""
    pose = Pose({}, np.array(np.nan), athlete.female_share, athlete.mass_table)
    others = other_weights(pose)
    poses = (pose, *(other for other, _ in others))
    ways = [mass_weights(each.mass_table, each.female_share) for each in poses]
    weights = np.array([list(way.values()) for way in ways])
    return ways[0], weights, tuple(share for _, share in others)


@lru_cache(maxsize=512)
def _places_m(track: Track, n_frames: int, setup: Setup) -> FloatArray:
    """Return a landmark's forward and upward place, shape (n_frames, 2), m; NaN where not placed."""
    places_m = np.full((n_frames, 2), np.nan)
    if len(track):
        plane_m = setup.camera.to_plane((track.xy_px - setup.middle_px)[None], np.zeros(1))[0]
        places_m[track.frames] = setup.field_m(plane_m)[:, ::2]
    return places_m


@lru_cache(maxsize=256)
def _filled_m(
    track: Track, stand_in: Track, n_frames: int, setup: Setup
) -> tuple[FloatArray, bool]:
    """Return a landmark's place, its stand-in's where it is not placed, and whether one was used."""
    place_m, other_m = (_places_m(each, n_frames, setup) for each in (track, stand_in))
    is_missing = np.isnan(place_m)
    is_used = bool(np.any(is_missing & np.isfinite(other_m)))
    return np.where(is_missing, other_m, place_m), is_used


def _placing_u_m(delivery: Delivery, camera: Camera, weights: dict[str, float]) -> float:
    size = metres_per_px(delivery, camera) or 0.0
    u_by_key = default_u_px(delivery, camera)
    variance = 0.0
    for role, weight in weights.items():
        key = key_for_role(role, delivery.athlete.hand)
        u_px = _stated_u_px(camera.track(key))
        variance += (weight * size * (u_by_key[key] if u_px is None else u_px)) ** 2
    return math.sqrt(variance)


@lru_cache(maxsize=512)
def _stated_u_px(track: Track) -> float | None:
    """Return the mean of a track's stated u, px; None where the default holds."""
    stated = track.u_px[np.isfinite(track.u_px)]
    return float(np.mean(stated)) if len(stated) else None


def speed_course(track: MassTrack) -> FloatArray:
    """Return the forward speed in each frame of the track, shape (n,), m/s; NaN near its ends."""
    fit = local_fit(track.real_s, track.forward_m, track.real_s, half_width_s=HALF_WIDTH_S)
    return fit.slope


def forward_speeds(
    track: MassTrack, at_s: dict[str, float], between_s: tuple[float, float] | None
) -> dict[str, Speed]:
    """Return the speed at some instants, and the largest forward speed between two.

    Parameters
    ----------
    track : MassTrack
        The centre of mass over time.
    at_s : dict of str to float
        Instants of real time, by name.
    between_s : tuple of float or None
        Where to look for the peak, which is returned under `TOP`; that up to foot contact, if its
        instant is given, under `STRIDE_TOP`.

    Returns
    -------
    dict of str to Speed
        All from one pass over each of two windows.
    """
    places = np.array(list(at_s.values()))
    grid = np.linspace(*between_s, N_PEAK_TIMES) if between_s else np.zeros(0)
    instants = np.concatenate(
        (places, places - ACCELERATION_STEP_S, places + ACCELERATION_STEP_S, grid)
    )
    samples = track.places_m.reshape(len(track.real_s), 2 * (1 + len(track.shares)))
    fit = local_fit(track.real_s, samples, instants, half_width_s=HALF_WIDTH_S)
    n = len(places)
    rows = dict(zip(at_s, range(n), strict=True))
    course = np.where(np.isfinite(fit.slope[3 * n :, 0]), fit.slope[3 * n :, 0], -np.inf)
    tops = {TOP: course} if len(grid) else {}
    if len(grid) and "foot_contact" in at_s:
        tops[STRIDE_TOP] = np.where(grid <= at_s["foot_contact"], course, -np.inf)
    rows |= {name: 3 * n + int(np.argmax(speeds)) for name, speeds in tops.items()}
    picked = list(rows.values())
    wide = local_fit(
        track.real_s, samples[:, :2], instants[picked], half_width_s=WIDER_HALF_WIDTH_S
    )
    slopes = fit.slope[picked].reshape(len(picked), -1, 2)
    u_narrow = track.u_m * fit.slope_gain[picked]
    u_smoothing = u_of_smoothing(
        wide.slope - slopes[:, 0], u_narrow[:, None], track.u_m * wide.slope_gain[:, None],
        margin=NOISE_MARGIN, factor=SMOOTHING_FACTOR,
    )  # fmt: skip
    u_weights = np.hypot.reduce((slopes[:, 1:, 0] - slopes[:, :1, 0]) * track.shares, axis=1)
    columns = (slopes[:, 0], u_narrow, u_smoothing, u_weights, fit.value[picked, 0])
    rows_of = zip(*(column.tolist() for column in columns), strict=True)
    found = {}
    for (name, row), own, values in zip(rows.items(), slopes, rows_of, strict=True):
        (forward, up), u_placing, (u_forward, u_up), u_weight, forward_m = values
        change = 0.0 if name in tops else float(fit.slope[row + 2 * n, 0] - fit.slope[row + n, 0])
        u_time_s = 0.0
        if name in tops:
            u_time_s = _u_peak_s(grid, tops[name], math.hypot(u_placing, u_forward))
        found[name] = Speed(
            value=forward, up_m_s=up,
            u_placing=u_placing, u_smoothing=u_forward, u_up_smoothing=u_up,
            u_weights=u_weight, u_stand_ins=track.u_stand_ins_m_s, otherwise=own[1:],
            acceleration_m_s2=change / (2.0 * ACCELERATION_STEP_S),
            forward_m=forward_m, time_s=float(instants[row]), u_time_s=u_time_s,
        )  # fmt: skip
    return found


def _u_peak_s(grid_s: FloatArray, course: FloatArray, u: float) -> float:
    """Return u of the instant of a peak, s: anywhere where the course may have been as high."""
    if not math.isfinite(u):
        return math.nan
    near = grid_s[course >= np.max(course) - PEAK_MARGIN * u]
    return rectangular_u(float(near[-1] - near[0] + grid_s[1] - grid_s[0]))
