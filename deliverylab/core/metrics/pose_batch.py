"""Postures from positions and camera, for all inputs stepped by one standard uncertainty at once.

One row an input; a metric is then one call on the whole batch.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from deliverylab.core.cameras.planar import PlanarCamera
from deliverylab.core.metrics.depths import PLANE_U_M, expected_depths
from deliverylab.core.metrics.inputs import EventPositions
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.setup import Setup, nearness
from deliverylab.core.numerics.uncertainty import contributions, stepped_inputs
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS
from deliverylab.core.vocabulary.views import Plane

SHARED_INPUTS: tuple[str, ...] = (
    *("scale points",) * 4,
    "scale length",
    "level of the camera",
    "yaw of the camera",
    "distance of the camera",
    "height of the athlete",
    *("place of the rubber",) * 2,
    "plane of the scale",
)
N_SHARED = len(SHARED_INPUTS)
YAW_INPUT = SHARED_INPUTS.index("yaw of the camera")

BODY_DEPTH_U_M: dict[Plane, float] = {"sagittal": 0.05, "frontal": 0.40, "horizontal": 0.20}
"""How far the body as a whole may lie off the plane of the scale, m: a stride long in an end view.
How long a limb may look is judged with it; what is known of depth at an event is in `depths`."""


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
        return replace(self.pose, points=points, height_m=self.pose.height_m[rows])


def pose_batch(positions: EventPositions, setup: Setup) -> PoseBatch:
    """Compute the posture for every stepped input.

    Parameters
    ----------
    positions : EventPositions
        Places and their u at one event; roles without a place are left out of the posture.
    setup : Setup
        What turns pixels into metres.

    Returns
    -------
    PoseBatch
        Points of shape (n_rows, 3), m; the coordinate along the line of sight is zero.
    """
    placed = {ROLE_KEYS[c]: seen for c, seen in enumerate(positions.seen) if seen is not None}
    roles = list(placed)
    depths = expected_depths(tuple(roles), positions.event, setup)
    n_points, n_depths = 2 * len(roles), len(depths.steps_m)
    n_rows = 1 + 2 * N_SHARED + 2 * n_points + 2 * n_depths
    first, middle = 1 + 2 * N_SHARED, setup.middle_px
    places = np.array([(seen.x_px, seen.y_px) for seen in placed.values()]).reshape(-1, 2) - middle
    offset_px = np.repeat(places[None], n_rows, axis=0)
    for number, seen in enumerate(placed.values()):
        for axis in (0, 1):
            row = first + 2 * number + axis
            offset_px[row, number, axis] += seen.u_px
            offset_px[row + n_points, number, axis] -= seen.u_px
    depth_m = np.repeat(depths.mean_m[None], n_rows, axis=0)
    first += 2 * n_points
    depth_m[first : first + n_depths] += depths.steps_m
    depth_m[first + n_depths :] += depths.steps_m
    shared = _shared_rows(setup).picked(n_points, n_depths)
    return PoseBatch(_pose(shared, roles, offset_px, depth_m, setup), n_points, n_depths)


@dataclass(frozen=True)
class _SharedRows:
    """What all landmarks share, one row a stepped input; of a nominal posture a single row."""

    camera: PlanarCamera
    height_m: FloatArray
    rubber_px: FloatArray
    behind_m: FloatArray

    def picked(self, n_points: int, n_depths: int) -> _SharedRows:
        """Return the rows of a batch: all; the nominal one for points; two yaws for depths."""
        n_rows = 1 + 2 * N_SHARED + 2 * n_points + 2 * n_depths
        rows = np.zeros(n_rows, dtype=np.intp)
        rows[: 1 + 2 * N_SHARED] = np.arange(1 + 2 * N_SHARED)
        rows[n_rows - 2 * n_depths : n_rows - n_depths] = 1 + YAW_INPUT
        rows[n_rows - n_depths :] = 1 + N_SHARED + YAW_INPUT
        return _SharedRows(
            self.camera.rows(rows), self.height_m[rows], self.rubber_px[rows], self.behind_m[rows]
        )


@lru_cache(maxsize=64)
def _shared_rows(setup: Setup) -> _SharedRows:
    """Return the shared inputs: nominal, each stepped up, each stepped down."""
    scale, athlete, middle = setup.scale, setup.athlete, setup.middle_px
    kappa, u_kappa = nearness(scale)
    height_m = athlete.height_m if athlete.height_m is not None else np.nan
    rubber_px = np.full(2, np.nan) if scale.rubber is None else np.array(scale.rubber) - middle
    x = np.array(
        [
            *(np.array(scale.a) - middle), *(np.array(scale.b) - middle), scale.length_m,
            scale.vertical_deg, scale.yaw_deg, kappa, height_m, *rubber_px, 0.0,
        ]
    )  # fmt: skip
    u = np.array(
        [
            *(scale.u_point_px,) * 4, scale.u_length_m, scale.u_vertical_deg, scale.u_yaw_deg,
            u_kappa, athlete.u_height_m, *(scale.u_point_px,) * 2, PLANE_U_M,
        ]
    )  # fmt: skip
    rows = stepped_inputs(x, u)
    ruler = rows[:, :4].reshape(len(rows), 2, 2)
    planar = PlanarCamera(ruler, rows[:, 4], rows[:, 5], rows[:, 6], rows[:, 7])
    return _SharedRows(planar, rows[:, 8], rows[:, 9:11], rows[:, 11])


def nominal_pose(xy_px: FloatArray, setup: Setup, depth_m: FloatArray | None = None) -> Pose:
    """Return the postures of places in the picture, without stepping any input.

    Parameters
    ----------
    xy_px : ndarray, shape (m, n_roles, 2), px
        Columns as `ROLE_KEYS`; a role that is NaN in the first row is left out.
    setup : Setup
        What turns pixels into metres.
    depth_m : ndarray, shape (m or 1, n_roles), optional
        Depth of each role behind the plane of motion; none by default.

    Returns
    -------
    Pose
        Points of shape (m, 3), m.
    """
    scale, athlete = setup.scale, setup.athlete
    rubber_px = np.full(2, np.nan) if scale.rubber is None else np.array(scale.rubber)
    shared = _SharedRows(
        setup.camera,
        np.array([np.nan if athlete.height_m is None else athlete.height_m]),
        (rubber_px - setup.middle_px)[None],
        np.zeros(1),
    )
    placed = np.flatnonzero(np.isfinite(xy_px[0, :, 0]))
    offset_px = xy_px[:, placed] - setup.middle_px
    roles = [ROLE_KEYS[column] for column in placed]
    behind_m = np.zeros((1, len(roles))) if depth_m is None else depth_m[:, placed]
    return _pose(shared, roles, offset_px, behind_m, setup)


def _pose(
    shared: _SharedRows, roles: list[str], offset_px: FloatArray, depth_m: FloatArray, setup: Setup
) -> Pose:
    """Return the posture of these roles' places; the rubber goes with them where it is marked."""
    has_rubber = setup.scale.rubber is not None
    if has_rubber:
        rubber_px = np.broadcast_to(shared.rubber_px[:, None], (len(offset_px), 1, 2))
        offset_px = np.concatenate((offset_px, rubber_px), axis=1)
        depth_m = np.concatenate((depth_m, np.zeros((len(depth_m), 1))), axis=1)
    # Where the scale lay beside the plane of motion, all that moves lies behind it together.
    xyz_m = setup.field_m(shared.camera.to_plane(offset_px, depth_m + shared.behind_m[:, None]))
    points = {role: xyz_m[:, column] for column, role in enumerate(roles)}
    if has_rubber:
        points["rubber"] = xyz_m[:, -1]
    return Pose(points, shared.height_m, setup.athlete.female_share, setup.athlete.mass_table)


def relative_scale_u(setup: Setup, forward_m: float) -> dict[str, float]:
    """Return the relative u of a forward speed by shared input, for a body at this place.

    Parameters
    ----------
    setup : Setup
        What turns pixels into metres.
    forward_m : float
        Forward place of the body, from where the optical axis meets the plane.
    """
    # Half a decimetre changes nothing, and lets a dragged point keep what was worked out.
    return _relative_scale_u(setup, round(20.0 * setup.across[1] * forward_m) / 20.0)


@lru_cache(maxsize=64)
def _relative_scale_u(setup: Setup, across_m: float) -> dict[str, float]:
    rows = _shared_rows(setup)
    sizes = rows.camera.forward_m_per_px(across_m)
    parts: dict[str, float] = {}
    for source, part in zip(SHARED_INPUTS, contributions(sizes) / sizes[0], strict=True):
        parts[source] = math.hypot(parts.get(source, 0.0), float(part))
    return parts
