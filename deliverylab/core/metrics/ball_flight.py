"""The ball's flight in metres: speed, height and direction at release, with the parts of their u.

The ball is not in the plane of the scale: it leaves the hand to the side of the arm and flies to the
middle of the plate, so its distance from the plane is known about, and enters with its u.  In the
plane, its places lie on a line once gravity is taken off; the slope is the velocity at the mean time
of the places, which quadratic drag then carries back to release:

    dv/ds = −k v,  k = ρCA / 2m,  so  v(0) = v(t) / (1 − k v(t) t).

References
----------
.. [1] Giordano NJ, Nakanishi H (2006). Computational Physics, 2nd ed., ch. 2 (drag of a ball).
   From memory; the formula is the solution of the line above.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from deliverylab.core.cameras.planar import PlanarCamera
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.setup import Setup, nearness
from deliverylab.core.numerics.uncertainty import contributions, stepped_inputs
from deliverylab.core.vocabulary.balls import ball as ball_entry

GRAVITY_M_S2 = 9.80665
MIN_POSITIONS = 3
ARM_SIDE_M, U_ARM_SIDE_M = 0.5, 0.17
"""How far to the arm's side of the plane of motion the ball leaves the hand, m: about 0.3 to 0.8 for
most adults (common practice); judgement."""
U_AIM_M = 0.2
"""How far to either side of the plate's middle it is thrown, m; judgement."""
FLIGHT_M = 16.1
"""About how far it flies, m: 18.44 less the 1.8 to 1.9 by which release is ahead of the rubber, and
less half the plate."""
U_LIFT_M_S2 = 3.0
"""u of how much spin lifts or sinks the ball, m/s²: a fastball rises by about 0.4 m against one without
spin on its way of 0.4 s, 5 m/s² (common practice)."""
FRAME_TIME_U_S = 0.0003
"""u of a single time stamp where the spacing is uneven: many phones store whole milliseconds."""
CAMERA_SOURCES: tuple[str, ...] = (
    *("scale points",) * 4,
    "scale length",
    "level of the camera",
    "yaw of the camera",
    "distance of the camera",
)
SOURCES: tuple[str, ...] = (
    *CAMERA_SOURCES,
    "how far to the side the ball is",
    "where the ball is thrown to",
    "drag of the air",
)


@dataclass(frozen=True)
class Places:
    """Places of the ball after release; hashable, so that results can be remembered.

    Attributes
    ----------
    real_s : tuple of float
        Real seconds since release.
    xy_px : tuple of (float, float)
        Places in the upright frame.
    u_px : tuple of float
        Their standard uncertainties.
    is_even : bool
        Whether the frames are evenly spaced.
    """

    real_s: tuple[float, ...]
    xy_px: tuple[tuple[float, float], ...]
    u_px: tuple[float, ...]
    is_even: bool = True


@dataclass(frozen=True)
class Flight:
    """The ball at release; each quantity with the parts of its u, by source.

    Attributes
    ----------
    speed_m_s : float
        At release, drag taken off.
    filmed_speed_m_s : float
        Mean over the frames that show it.
    height_m : float
        Above the height at which the optical axis meets the plane of motion.
    forward_m : float
        From where the optical axis meets the plane of motion, toward the plate.
    launch_deg : float
        Against the level, upward positive.
    speed_parts, height_parts, launch_parts : dict of str to float
        Parts of u.
    worst_row : int or None
        The place that lies off the line by more than four of its u.
    middle_s : float
        Mean time of the places since release, real seconds.
    n : int
        Places used.
    """

    speed_m_s: float
    filmed_speed_m_s: float
    height_m: float
    forward_m: float
    launch_deg: float
    speed_parts: dict[str, float]
    height_parts: dict[str, float]
    launch_parts: dict[str, float]
    worst_row: int | None
    middle_s: float
    n: int


@lru_cache(maxsize=64)
def flight(places: Places, setup: Setup, ball: str = "baseball") -> Flight:
    """Fit the flight to the places.

    Parameters
    ----------
    places : Places
        Three or more, after release.
    setup : Setup
        A side camera with its scale.
    ball : str
        Kind of ball.
    """
    times = np.array(places.real_s)
    offset_px = np.array(places.xy_px) - setup.middle_px
    u_px = np.array(places.u_px)
    plane_m, inputs = _stepped_places(offset_px, times, setup, ball)
    out, fits = _at_release(plane_m, times, inputs, setup)
    shared = contributions(out)
    size = float(np.abs(np.linalg.norm(plane_m[0, -1] - plane_m[0, 0])
                        / np.linalg.norm(offset_px[-1] - offset_px[0])))  # fmt: skip
    placing, worst = _placing(fits[0], plane_m[0], times, size * u_px)
    timing = 0.0 if places.is_even else FRAME_TIME_U_S * float(out[0, 0])
    own = _gains(times)
    speed, height, filmed, launch, forward = out[0].tolist()
    rise = math.hypot(1.0, math.tan(math.radians(launch)))
    return Flight(
        speed, filmed, height, forward, launch,
        _parts(shared[:, 0], placing * own.slope, timing * own.slope),
        _parts(shared[:, 1], placing * own.start, 0.0),
        _parts(shared[:, 3], math.degrees(placing * own.slope / (speed * rise)), 0.0)
        | {"spin of the ball": math.degrees(U_LIFT_M_S2 * float(times.mean()) / speed)},
        worst, float(times.mean()), len(times),
    )  # fmt: skip


@dataclass(frozen=True)
class _Gains:
    """Standard deviation of slope and of the value at release per unit of noise in the places."""

    slope: float
    start: float


def _gains(times_s: FloatArray) -> _Gains:
    middle = float(times_s.mean())
    spread = float(np.sum((times_s - middle) ** 2))
    return _Gains(1.0 / math.sqrt(spread), math.sqrt(1.0 / len(times_s) + middle**2 / spread))


def _parts(shared: FloatArray, placing: float, timing: float) -> dict[str, float]:
    parts = {"placing the ball": placing, "time stamps": timing}
    for source, part in zip(SOURCES, shared.tolist(), strict=True):
        parts[source] = math.hypot(parts.get(source, 0.0), part)
    return parts


def stepped_camera(
    setup: Setup, own: tuple[float, ...], own_u: tuple[float, ...]
) -> tuple[PlanarCamera, FloatArray]:
    """Return the camera for every stepped input, and the inputs, shape (rows, 8 + n).

    Parameters
    ----------
    setup : Setup
        Scale points, length, level, yaw and nearness are the first eight inputs, see
        `CAMERA_SOURCES`.
    own, own_u : tuple of float
        Further inputs and their u.
    """
    scale, middle = setup.scale, setup.middle_px
    kappa, u_kappa = nearness(scale)
    x = np.array(
        [
            *(np.array(scale.a) - middle), *(np.array(scale.b) - middle), scale.length_m,
            scale.vertical_deg, scale.yaw_deg, kappa, *own,
        ]
    )  # fmt: skip
    u = np.array(
        [
            *(scale.u_point_px,) * 4, scale.u_length_m, scale.u_vertical_deg, scale.u_yaw_deg,
            u_kappa, *own_u,
        ]
    )  # fmt: skip
    inputs = stepped_inputs(x, u)
    ruler = inputs[:, :4].reshape(len(inputs), 2, 2)
    return PlanarCamera(ruler, *inputs[:, 4:8].T), inputs


def _stepped_places(
    offset_px: FloatArray, times_s: FloatArray, setup: Setup, ball: str
) -> tuple[FloatArray, FloatArray]:
    """Return the places in the plane for every stepped input, (rows, n, 2), m, and the inputs."""
    kind = ball_entry(ball)
    camera, inputs = stepped_camera(
        setup, (ARM_SIDE_M, 0.0, kind.drag_per_m), (U_ARM_SIDE_M, U_AIM_M, kind.u_drag_per_m)
    )
    offsets = np.broadcast_to(offset_px, (len(inputs), *offset_px.shape))
    # The chest faces the arm's side at release no more, but the arm is still on it: nearer to a
    # camera on the open side, farther from one on the closed side.
    away = -1.0 if setup.view == "open-side" else 1.0
    start, aim = inputs[:, 8, None], inputs[:, 9, None]
    level = camera.to_plane(offsets, np.broadcast_to(away * start, (len(inputs), len(times_s))))
    speed = np.abs(np.polynomial.polynomial.polyfit(times_s, level[..., 0].T, 1)[1])[:, None]
    flown = np.clip(speed * times_s / FLIGHT_M, 0.0, 1.0)
    return camera.to_plane(offsets, away * (start + (aim - start) * flown)), inputs


def _at_release(
    plane_m: FloatArray, times_s: FloatArray, inputs: FloatArray, setup: Setup
) -> tuple[FloatArray, FloatArray]:
    """Return speed, height, filmed speed, launch angle, forward place, (rows, 5); and the fits."""
    level = plane_m + np.stack((np.zeros_like(times_s), 0.5 * GRAVITY_M_S2 * times_s**2), axis=-1)
    flat = level.transpose(1, 0, 2).reshape(len(times_s), -1)
    lines = np.asarray(np.polynomial.polynomial.polyfit(times_s, flat, 1), dtype=np.float64)
    fits = lines.T.reshape(len(plane_m), 2, 2)
    along, up = setup.across[1] * fits[:, 0, 1], fits[:, 1, 1]
    sideways = (inputs[:, 9] - inputs[:, 8]) / FLIGHT_M * along
    middle = float(times_s.mean())
    filmed = np.sqrt(along**2 + sideways**2 + (up - GRAVITY_M_S2 * middle) ** 2)
    regained = 1.0 / (1.0 - inputs[:, 10] * filmed * middle)
    speed = regained * np.sqrt(along**2 + sideways**2 + up**2)
    launch = np.degrees(np.arctan2(up, np.abs(along)))
    forward = setup.across[1] * fits[:, 0, 0]
    return np.stack((speed, fits[:, 1, 0], filmed, launch, forward), axis=-1), fits


def _placing(
    fit: FloatArray, plane_m: FloatArray, times_s: FloatArray, u_m: FloatArray
) -> tuple[float, int | None]:
    """Return u of one coordinate, m, from what is stated and from the scatter, and an outlier."""
    level = plane_m + np.stack((np.zeros_like(times_s), 0.5 * GRAVITY_M_S2 * times_s**2), axis=-1)
    off = level - (fit[:, 0] + np.outer(times_s, fit[:, 1]))
    stated = math.sqrt(float(np.mean(u_m**2)))
    n_free = 2 * len(times_s) - 4
    scatter = math.sqrt(float(np.sum(off**2)) / n_free)
    distance = np.hypot(*off.T) / u_m
    worst = int(np.argmax(distance))
    return max(stated, scatter), worst if distance[worst] > 4.0 else None
