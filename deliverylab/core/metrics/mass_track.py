"""The centre of mass over time, and its forward speed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics.inputs import default_u_px, metres_per_px
from deliverylab.core.metrics.measures import COM_LANDMARKS, mass_centre
from deliverylab.core.metrics.over_time import poses_over_time
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.pose_batch import female_share
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.numerics.local_fit import local_fit
from deliverylab.core.vocabulary.landmarks import key_for_role

HALF_WIDTH_S = 0.10
"""Window of the local cubic fit, real seconds to each side: passes about what an 8 Hz low-pass
does, the cut-off used here for the centre of mass."""
N_PEAK_TIMES = 60
OPTIONAL: dict[str, str] = {
    "throwing_hand": "throwing_wrist",
    "glove_hand": "glove_wrist",
    "drive_heel": "drive_ankle",
    "drive_toe": "drive_ankle",
    "lead_heel": "lead_ankle",
    "lead_toe": "lead_ankle",
}


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
    """Forward speed at some instants, m/s, and the part of u that placing gives it."""

    value: FloatArray
    u_placing: FloatArray


def mass_track(delivery: Delivery, camera: Camera, scale: PlanarScale) -> MassTrack:
    """Return the centre of mass over the frames that show the whole body."""
    frames, pose = poses_over_time(delivery, camera, scale, COM_LANDMARKS, OPTIONAL)
    forward_m = mass_centre(pose)[..., 0] if len(frames) else np.zeros(0)
    real_s = camera.timing.times_s[frames] * camera.timing.real_per_clip
    return MassTrack(frames, real_s, forward_m, _placing_u_m(delivery, camera))


@lru_cache(maxsize=8)
def _role_weights(share: float) -> dict[str, float]:
    """Return each landmark's weight in the centre of mass: it is linear in all of them."""
    roles = (*COM_LANDMARKS, *OPTIONAL)
    points = {
        role: np.eye(len(roles))[number][:, None] * np.ones(3) for number, role in enumerate(roles)
    }
    weights = mass_centre(Pose(points, np.array(np.nan), share))[:, 0]
    return dict(zip(roles, weights.tolist(), strict=True))


def _placing_u_m(delivery: Delivery, camera: Camera) -> float:
    size = metres_per_px(delivery, camera) or 0.0
    u_by_key = default_u_px(delivery, camera)
    variance = 0.0
    for role, weight in _role_weights(female_share(delivery.athlete)).items():
        key = key_for_role(role, delivery.athlete.hand)
        track = camera.track(key)
        u_px = float(np.nanmean(track.u_px)) if np.isfinite(track.u_px).any() else u_by_key[key]
        variance += (weight * u_px * size) ** 2
    return float(np.sqrt(variance))


def forward_speed(track: MassTrack, at_s: FloatArray) -> Speed:
    """Return the forward speed at some instants of real time; NaN where the body is not shown."""
    fit = local_fit(track.real_s, track.forward_m, at_s, half_width_s=HALF_WIDTH_S)
    return Speed(fit.slope, fit.slope_gain * track.u_m)


def peak_forward_speed(
    track: MassTrack, start_s: float, end_s: float
) -> tuple[float, float, float]:
    """Return the largest forward speed between two instants, its u by placing, and its time."""
    times_s = np.linspace(start_s, end_s, N_PEAK_TIMES)
    speed = forward_speed(track, times_s)
    if not np.isfinite(speed.value).any():
        return float("nan"), float("nan"), float("nan")
    best = int(np.nanargmax(speed.value))
    return float(speed.value[best]), float(speed.u_placing[best]), float(times_s[best])
