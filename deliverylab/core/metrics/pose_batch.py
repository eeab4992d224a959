"""Postures from positions and camera, for all inputs stepped by one standard uncertainty at once.

One row an input; a metric is then one call on the whole batch.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import numpy as np

from deliverylab.core.cameras.planar import (
    UNKNOWN_NEARNESS_PER_M,
    UNKNOWN_NEARNESS_U_PER_M,
    PlanarCamera,
)
from deliverylab.core.metrics.inputs import N_ROLES, EventPositions
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.numerics.uncertainty import contributions, stepped_inputs
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS, key_for_role, landmark
from deliverylab.core.vocabulary.views import Direction, Plane, view

SHARED_INPUTS: tuple[str, ...] = (
    *("scale points",) * 4,
    "scale length",
    "level of the camera",
    "yaw of the camera",
    "distance of the camera",
    "height of the athlete",
)
N_SHARED = len(SHARED_INPUTS)
YAW_INPUT = SHARED_INPUTS.index("yaw of the camera")

LEAN_DEPTH_U_M: dict[Plane, dict[str, float]] = {
    "sagittal": {"": 0.05, "full_layback": 0.15, "release": 0.20, "finish": 0.20},
    "frontal": {"": 0.05, "full_layback": 0.15, "release": 0.25, "finish": 0.25},
    "horizontal": {"": 0.10},
}
"""u of how far the upper body as a whole leans out of the plane, m: trunk length times the sine of
the lateral (side view) or forward (end view) tilt that is usual at the event."""
BODY_DEPTH_U_M: dict[Plane, float] = {"sagittal": 0.05, "frontal": 0.40, "horizontal": 0.20}
"""u of the body as a whole off the plane of the scale, m: a stride long in an end view."""

UPPER_BODY = frozenset(
    role for role in ROLE_KEYS
    if role.startswith(("throwing_", "glove_")) or role in {"head_top", "neck"}
)  # fmt: skip


class SeenBy(Protocol):
    """The facts of a camera that a pose needs."""

    @property
    def view(self) -> str:
        """Where it stood."""
        ...

    @property
    def width_px(self) -> int:
        """Width of the upright frame."""
        ...

    @property
    def height_px(self) -> int:
        """Height of the upright frame."""
        ...


@dataclass(frozen=True)
class PoseBatch:
    """The postures of all stepped inputs at one event.

    Rows: 0 nominal; shared inputs up, down; the event's own positions up, down; depths, each at
    yaw + u and yaw − u (what one does depends on the other: at a square camera the depth is
    harmless only as long as the camera is truly square).
    """

    pose: Pose
    n_points: int
    n_depths: int

    @property
    def shared(self) -> slice:
        """Rows of the shared inputs, up then down."""
        return slice(1, 1 + 2 * N_SHARED)

    @property
    def own(self) -> slice:
        """Rows of this event's own inputs."""
        return slice(1 + 2 * N_SHARED, None)

    def part(self, rows: slice) -> Pose:
        """Return the postures of some rows."""
        points = {role: xyz[rows] for role, xyz in self.pose.points.items()}
        return Pose(points, self.pose.height_m[rows], self.pose.female_share)


def field_axes(
    camera: SeenBy, athlete: Athlete, plate_side: Direction | None
) -> tuple[int, float, Plane]:
    """Return which field axis lies along the picture's right, its sign, and the plane seen.

    Y points to the glove side, so a left-hander's picture from behind or ahead is turned round.
    """
    plane = view(camera.view).plane
    if plane == "sagittal":
        return 0, (1.0 if plate_side == "right" else -1.0), plane
    glove_is_right = (camera.view == "front") == (athlete.hand == "right")
    return 1, (1.0 if glove_is_right else -1.0), plane


def nearness(scale: PlanarScale) -> tuple[float, float]:
    """Return κ = 1/D and its standard uncertainty, 1/m."""
    if scale.distance_m is None:
        return UNKNOWN_NEARNESS_PER_M, UNKNOWN_NEARNESS_U_PER_M
    u_distance_m = scale.u_distance_m if scale.u_distance_m is not None else 0.05 * scale.distance_m
    return 1.0 / scale.distance_m, u_distance_m / scale.distance_m**2


def pose_batch(
    positions: EventPositions,
    camera: SeenBy,
    scale: PlanarScale,
    athlete: Athlete,
    plate_side: Direction | None,
) -> PoseBatch:
    """Compute the posture for every stepped input."""
    placed = [column for column, seen in enumerate(positions.seen) if seen is not None]
    plane = view(camera.view).plane
    middle = np.array([(camera.width_px - 1) / 2, (camera.height_px - 1) / 2])
    depth_inputs = _depth_inputs(placed, positions.event, plane, athlete)
    n_points, n_depths = 2 * len(placed), len(depth_inputs)
    n_rows = 1 + 2 * N_SHARED + 2 * n_points + 2 * n_depths
    shared = _shared_rows(scale, athlete, middle, n_rows)
    xy_px = np.full((n_rows, N_ROLES, 2), np.nan)
    first = 1 + 2 * N_SHARED
    for number, column in enumerate(placed):
        seen = positions.seen[column]
        if seen is None:
            continue
        xy_px[:, column] = np.array((seen.x_px, seen.y_px)) - middle
        for offset in (0, 1):
            row = first + 2 * number + offset
            xy_px[row, column, offset] += seen.u_px
            xy_px[row + n_points, column, offset] -= seen.u_px
    depth_m = np.zeros((n_rows, N_ROLES))
    first += 2 * n_points
    depth_m[first : first + n_depths] = depth_inputs
    depth_m[first + n_depths :] = depth_inputs
    shared.camera.yaw_deg[first : first + n_depths] += scale.u_yaw_deg
    shared.camera.yaw_deg[first + n_depths :] -= scale.u_yaw_deg
    pose = _pose(shared, xy_px, depth_m, camera, athlete, plate_side)
    return PoseBatch(pose, n_points, n_depths)


@dataclass(frozen=True)
class _SharedRows:
    camera: PlanarCamera
    height_m: FloatArray
    rubber_px: FloatArray | None


def _shared_rows(
    scale: PlanarScale, athlete: Athlete, middle: FloatArray, n_rows: int
) -> _SharedRows:
    kappa, u_kappa = nearness(scale)
    height_m = athlete.height_m if athlete.height_m is not None else np.nan
    x = np.array(
        [
            *(np.array(scale.a) - middle), *(np.array(scale.b) - middle), scale.length_m,
            scale.vertical_deg, scale.yaw_deg, kappa, height_m,
        ]
    )  # fmt: skip
    u = np.array(
        [
            *(scale.u_point_px,) * 4, scale.u_length_m,
            scale.u_vertical_deg, scale.u_yaw_deg, u_kappa, athlete.u_height_m,
        ]
    )  # fmt: skip
    rows = np.repeat(x[None], n_rows, axis=0)
    if n_rows > 2 * N_SHARED:
        rows[: 1 + 2 * N_SHARED] = stepped_inputs(x, u)
    ruler = rows[:, :4].reshape(n_rows, 2, 2)
    planar = PlanarCamera(ruler, rows[:, 4], rows[:, 5], rows[:, 6].copy(), rows[:, 7])
    rubber_px = None if scale.rubber is None else np.array(scale.rubber) - middle
    return _SharedRows(planar, rows[:, 8], rubber_px)


def relative_scale_u(scale: PlanarScale, camera: SeenBy) -> dict[str, float]:
    """Return the relative u of metres per pixel in the middle of the picture, by shared input."""
    return _relative_scale_u(scale, camera.width_px, camera.height_px)


@lru_cache(maxsize=64)
def _relative_scale_u(scale: PlanarScale, width_px: int, height_px: int) -> dict[str, float]:
    middle = np.array([(width_px - 1) / 2, (height_px - 1) / 2])
    rows = _shared_rows(scale, Athlete(name="-"), middle, 1 + 2 * N_SHARED)
    sizes = rows.camera.metres_per_px()
    parts: dict[str, float] = {}
    for source, part in zip(SHARED_INPUTS, contributions(sizes) / sizes[0], strict=True):
        parts[source] = math.hypot(parts.get(source, 0.0), float(part))
    return parts


def _depth_inputs(
    placed: list[int],
    event: str,
    plane: Plane,
    athlete: Athlete,
) -> FloatArray:
    """Return one row an independent depth input: each landmark, the upper body, the whole body."""
    rows = np.zeros((len(placed) + 2, N_ROLES))
    for number, column in enumerate(placed):
        entry = landmark(key_for_role(ROLE_KEYS[column], athlete.hand))
        rows[number, column] = entry.depth_u_m
    lean = LEAN_DEPTH_U_M[plane]
    rows[-2] = lean.get(event, lean[""]) * np.array([role in UPPER_BODY for role in ROLE_KEYS])
    rows[-1] = BODY_DEPTH_U_M[plane]
    return rows


def nominal_pose(
    xy_px: FloatArray,
    camera: SeenBy,
    scale: PlanarScale,
    athlete: Athlete,
    plate_side: Direction | None,
) -> Pose:
    """Return the postures of places in the picture, shape (m, n_roles, 2), px, as stated."""
    middle = np.array([(camera.width_px - 1) / 2, (camera.height_px - 1) / 2])
    shared = _shared_rows(scale, athlete, middle, len(xy_px))
    return _pose(shared, xy_px - middle, np.zeros(xy_px.shape[:2]), camera, athlete, plate_side)


def _pose(
    shared: _SharedRows,
    offset_px: FloatArray,
    depth_m: FloatArray,
    camera: SeenBy,
    athlete: Athlete,
    plate_side: Direction | None,
) -> Pose:
    axis, sign, _ = field_axes(camera, athlete, plate_side)
    placed = [c for c in range(N_ROLES) if math.isfinite(offset_px[0, c, 0])]
    if shared.rubber_px is not None:
        rubber = np.broadcast_to(shared.rubber_px, (len(offset_px), 1, 2))
        offset_px = np.concatenate((offset_px, rubber), axis=1)
        depth_m = np.concatenate((depth_m, np.zeros((len(depth_m), 1))), axis=1)
    plane_m = shared.camera.to_plane(offset_px, depth_m)
    xyz = np.zeros((*plane_m.shape[:2], 3))
    xyz[..., axis] = sign * plane_m[..., 0]
    xyz[..., 2] = plane_m[..., 1]
    points = {ROLE_KEYS[column]: xyz[:, column] for column in placed}
    if shared.rubber_px is not None:
        points["rubber"] = xyz[:, -1]
    return Pose(points, shared.height_m, female_share(athlete))


def female_share(athlete: Athlete) -> float:
    """Return 1 for a woman, 0 for a man, 0.5 where it is not known."""
    return {"female": 1.0, "male": 0.0}.get(athlete.sex or "", 0.5)
