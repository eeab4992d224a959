"""How far off the plane of motion each landmark is expected, and how sure that is.

One camera does not see depth.  What it may know is where landmarks usually are at an event: the
pitchers of `depth_table` give each a mean, a common spread of all of them (a leaning trunk takes
both shoulders and the arms along, a turned pelvis moves one hip nearer and the other farther), and
a spread of its own.  The mean is a correction, the spreads are inputs of the budget.

The correction assumes a usual delivery, and no more: at a square camera far away it does next to
nothing, near or off square it takes the largest part of the perspective out of a tilt.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics.depth_table import DEPTHS, EVENTS, N_MODES
from deliverylab.core.metrics.inputs import ASSUMED_HEIGHT_M
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.model.delivery import Camera
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS, key_for_role, landmark

PLANE_U_M = 0.05
"""u of how far the scale lay beside the plane of motion, m: judgement, for somebody who lays a tape
where the athlete strides.  All landmarks share it at all events."""
UNKNOWN_LEAN_U_M = 0.20
"""u of how far the upper body leans out of the plane where the event has no table, m: trunk length
times the sine of a usual tilt."""
_BEHIND: dict[str, tuple[str, float]] = {
    "open-side": ("across", 1.0),
    "closed-side": ("across", -1.0),
    "rear": ("ahead", 1.0),
    "front": ("ahead", -1.0),
}
"""Which direction of the field lies behind the plane as seen from a view, and its sign."""
_UPPER_BODY = frozenset(
    role for role in ROLE_KEYS
    if role.startswith(("throwing_", "glove_")) or role in {"head_top", "neck"}
)  # fmt: skip


@dataclass(frozen=True)
class ExpectedDepths:
    """Depth behind the plane of motion of some roles at one event.

    Attributes
    ----------
    mean_m : ndarray, shape (n_roles,), m
        Expected depth.
    steps_m : ndarray, shape (n_roles, n_roles), m
        One row an independent input: the depth it adds to each role, one standard uncertainty.
        Modes and what is each role's own are rotated into as many rows as there are roles.
    """

    mean_m: FloatArray
    steps_m: FloatArray


@lru_cache(maxsize=256)
def expected_depths(roles: tuple[str, ...], event: str, setup: Setup) -> ExpectedDepths:
    """Return the expected depth of these roles at an event and the inputs of its u.

    Parameters
    ----------
    roles : tuple of str
        Roles that are placed.
    event : str
        The event whose posture it is; one without a table gets zero and a wide u.
    setup : Setup
        Whose view tells which way depth runs, and whose athlete's height scales the table.
    """
    behind = _BEHIND.get(setup.view)
    if behind is None or event not in EVENTS:
        own = [landmark(key_for_role(role, setup.athlete.hand)).depth_u_m for role in roles]
        lean = UNKNOWN_LEAN_U_M * np.array([role in _UPPER_BODY for role in roles])
        rows = np.concatenate((np.diag(own), lean[None]))
        return ExpectedDepths(np.zeros(len(roles)), _as_few_rows(rows))
    axis, sign = behind
    per_mm = 0.001 * (setup.athlete.height_m or ASSUMED_HEIGHT_M)
    table = per_mm * np.array([_row(event, axis, role) for role in roles]).reshape(
        len(roles), N_MODES + 2
    )
    steps = np.concatenate((table[:, 1:-1].T, np.diag(table[:, -1])))
    return ExpectedDepths(sign * table[:, 0], _as_few_rows(steps))


def _as_few_rows(steps: FloatArray) -> FloatArray:
    """Return one row a role with the same covariance: RᵀR is stepsᵀ·steps."""
    rows: FloatArray = np.asarray(np.linalg.qr(steps, mode="r"))
    return rows


@lru_cache(maxsize=256)
def usual_depths(event: str, setup: Setup) -> FloatArray:
    """Return the expected depth of every role at an event, shape (1, n_roles), m."""
    depth_m = expected_depths(ROLE_KEYS, event, setup).mean_m[None]
    depth_m.setflags(write=False)
    return depth_m


def usual_course(camera: Camera, setup: Setup, frames: NDArray[np.int64]) -> FloatArray:
    """Return the expected depth of every role in some frames, shape (n_frames, n_roles), m.

    Between two marked events it runs straight; before the first and after the last it stays.
    """
    marked = sorted((mark.time_s, event) for event, mark in camera.marks.items() if event in EVENTS)
    if not marked:
        return np.zeros((len(frames), len(ROLE_KEYS)))
    at_s = np.array([time_s for time_s, _ in marked])
    depth_m = np.concatenate([usual_depths(event, setup) for _, event in marked])
    times_s = camera.timing.times_s[frames]
    return np.stack([np.interp(times_s, at_s, column) for column in depth_m.T], axis=-1)


def _row(event: str, axis: str, role: str) -> tuple[float, ...]:
    """Return a role's row; the ball is where the throwing hand is, within its own u."""
    if role in DEPTHS[event, axis]:
        return DEPTHS[event, axis][role]
    hand = DEPTHS[event, axis]["throwing_hand"]
    return (*hand[: 1 + N_MODES], 50.0)
