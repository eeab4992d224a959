"""The centre of mass over time, and its forward speed.

The centre of mass is a weighted sum of the landmarks, so each landmark's forward place is kept by
itself: after one moved point only that landmark is mapped anew.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics.inputs import default_u_px, metres_per_px
from deliverylab.core.metrics.measures import COM_LANDMARKS, mass_centre
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import Track
from deliverylab.core.numerics.local_fit import local_fit
from deliverylab.core.vocabulary.landmarks import key_for_role

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
NOISE_MARGIN = 1.5
"""A difference of the windows within this many standard deviations of placing noise is noise.  In our
own simulation (see the README) 2 leaves 92 % of speeds at release within their ±, 1.5 leaves 95 %, and
1 makes the ± at contact half as large again for nothing."""
ACCELERATION_STEP_S = 0.02
N_PEAK_TIMES = 120
OPTIONAL: dict[str, str] = {
    "throwing_hand": "throwing_wrist",
    "glove_hand": "glove_wrist",
    "drive_heel": "drive_ankle",
    "drive_toe": "drive_ankle",
    "lead_heel": "lead_ankle",
    "lead_toe": "lead_ankle",
}
"""Landmarks that another one stands in for where they are not placed."""


@dataclass(frozen=True)
class MassTrack:
    """Forward place of the centre of mass in the frames that show the whole body.

    Attributes
    ----------
    frames : ndarray of int, shape (n,)
        Frames in which all of `COM_LANDMARKS` are placed.
    real_s : ndarray, shape (n,)
        Their times in real seconds on the clip's zero.
    forward_m : ndarray, shape (n,)
        Forward coordinate, m.
    u_m : float
        Standard uncertainty of it from placing alone, m: independent from frame to frame.
    """

    frames: NDArray[np.int64]
    real_s: FloatArray
    forward_m: FloatArray
    u_m: float


@dataclass(frozen=True)
class Speed:
    """Forward speed at one instant, m/s, with the parts of u from placing and from smoothing.

    Attributes
    ----------
    value, u_placing, u_smoothing : float
        NaN where the whole body is not placed in enough frames around.
    acceleration_m_s2 : float
        How fast the speed changes there; 0 at a peak, NaN where the frames do not tell.
    forward_m : float
        Forward place of the centre of mass there, from where the optical axis meets the plane.
    """

    value: float
    u_placing: float
    u_smoothing: float
    acceleration_m_s2: float
    forward_m: float


def mass_track(delivery: Delivery, camera: Camera, setup: Setup) -> MassTrack:
    """Return the centre of mass over the frames that show the whole body."""
    n_frames = camera.timing.n_frames
    weights = _role_weights(setup.female_share)
    hand = delivery.athlete.hand
    forward_m = np.zeros(n_frames)
    for role, weight in weights.items():
        track = camera.track(key_for_role(role, hand))
        if role in OPTIONAL:
            stand_in = camera.track(key_for_role(OPTIONAL[role], hand))
            forward_m += weight * _filled_m(track, stand_in, n_frames, setup)
        else:
            forward_m += weight * _forward_m(track, n_frames, setup)
    frames = np.flatnonzero(np.isfinite(forward_m))
    real_s = camera.timing.times_s[frames] * camera.timing.real_per_clip
    return MassTrack(frames, real_s, forward_m[frames], _placing_u_m(delivery, camera, setup))


@lru_cache(maxsize=512)
def _forward_m(track: Track, n_frames: int, setup: Setup) -> FloatArray:
    """Return a landmark's forward coordinate in every frame, m; NaN where it is not placed."""
    forward_m = np.full(n_frames, np.nan)
    if len(track):
        plane_m = setup.camera.to_plane((track.xy_px - setup.middle_px)[None], np.zeros(1))[0]
        forward_m[track.frames] = setup.field_m(plane_m)[:, 0]
    return forward_m


@lru_cache(maxsize=256)
def _filled_m(track: Track, stand_in: Track, n_frames: int, setup: Setup) -> FloatArray:
    """Return a landmark's forward coordinate, its stand-in's where it is not placed."""
    place_m = _forward_m(track, n_frames, setup)
    return np.where(np.isnan(place_m), _forward_m(stand_in, n_frames, setup), place_m)


@lru_cache(maxsize=8)
def _role_weights(share: float) -> dict[str, float]:
    """Return each landmark's weight in the centre of mass: it is linear in all of them."""
    roles = (*COM_LANDMARKS, *OPTIONAL)
    points = {
        role: np.eye(len(roles))[number][:, None] * np.ones(3) for number, role in enumerate(roles)
    }
    weights = mass_centre(Pose(points, np.array(np.nan), share))[:, 0]
    return dict(zip(roles, weights.tolist(), strict=True))


def _placing_u_m(delivery: Delivery, camera: Camera, setup: Setup) -> float:
    size = metres_per_px(delivery, camera) or 0.0
    u_by_key = default_u_px(delivery, camera)
    variance = 0.0
    for role, weight in _role_weights(setup.female_share).items():
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
    """Return the forward speed at some instants, and its peak between two.

    Parameters
    ----------
    track : MassTrack
        The centre of mass over time.
    at_s : dict of str to float
        Instants of real time, by name.
    between_s : tuple of float or None
        Where to look for the peak, which is returned under ``""``.

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
    fit = local_fit(track.real_s, track.forward_m, instants, half_width_s=HALF_WIDTH_S)
    n = len(places)
    rows = dict(zip(at_s, range(n), strict=True))
    if len(grid):
        peak = np.where(np.isfinite(fit.slope[3 * n :]), fit.slope[3 * n :], -np.inf)
        rows[""] = 3 * n + int(np.argmax(peak))
    picked = instants[list(rows.values())]
    wide = local_fit(track.real_s, track.forward_m, picked, half_width_s=WIDER_HALF_WIDTH_S)
    speeds = {}
    for number, (name, row) in enumerate(rows.items()):
        value = float(fit.slope[row])
        change = float(fit.slope[row + 2 * n] - fit.slope[row + n]) if name else 0.0
        speeds[name] = Speed(
            value,
            float(fit.slope_gain[row]) * track.u_m,
            _smoothing_u(
                float(wide.slope[number]) - value,
                track.u_m * float(fit.slope_gain[row]),
                track.u_m * float(wide.slope_gain[number]),
            ),
            change / (2.0 * ACCELERATION_STEP_S),
            float(fit.value[row]),
        )
    return speeds


def _smoothing_u(difference: float, u_narrow: float, u_wide: float) -> float:
    """Return u of what smoothing takes away, from the difference of the two windows, m/s.

    Placing noise alone makes the two differ by √(u_narrow² − u_wide²), since the wider fit holds
    the narrower one's samples; only what is beyond that is smoothing.
    """
    if not math.isfinite(difference):
        return 0.0
    noise = NOISE_MARGIN**2 * max(0.0, u_narrow**2 - u_wide**2)
    return SMOOTHING_FACTOR * math.sqrt(max(0.0, difference**2 - noise))
