"""The whole-body centre of mass of a posture: its table, its weights, and what may be missing."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

import numpy as np

from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.numerics.mass_centre import combined_mass_centre, segment_mass_centre
from deliverylab.core.vocabulary.landmarks import LEG_PARTS
from deliverylab.core.vocabulary.mass_tables import (
    MASS_TABLES,
    OTHER_TABLE,
    STAND_INS,
    MassTable,
    MassTableKey,
)
from deliverylab.core.vocabulary.segments import Sex

COM_LANDMARKS: tuple[str, ...] = (
    "head_top",
    "neck",
    "throwing_shoulder",
    "glove_shoulder",
    "throwing_elbow",
    "glove_elbow",
    "throwing_wrist",
    "glove_wrist",
    "drive_hip",
    "lead_hip",
    "drive_knee",
    "lead_knee",
    "drive_ankle",
    "lead_ankle",
)
"""What the centre of mass needs; a hand or foot that is not placed sits at its wrist or ankle."""
COM_OPTIONAL: tuple[str, ...] = (
    "throwing_hand",
    "glove_hand",
    "drive_heel",
    "drive_toe",
    "lead_heel",
    "lead_toe",
)
"""What it uses where it is placed; the missing-segment rule stands in `vocabulary.mass_tables`."""
COM_STAND_INS: dict[str, str] = {
    role: f"{group}_{STAND_INS[part].part}"
    for role in COM_OPTIONAL
    for group, _, part in (role.partition("_"),)
}
"""The role that stands in for an optional one that is not placed."""


def mass_centre(pose: Pose) -> FloatArray:
    """Return the whole-body centre of mass, shape (..., 3), m.

    By the pose's table; where the sex is not known by the mean of both.  What is not placed is
    replaced by the missing-segment rule; NaN where anything else is missing.

    References
    ----------
    .. [1] de Leva P (1996). J Biomech 29:1223-1230, table 4.
    .. [2] Winter DA. Biomechanics and Motor Control of Human Movement, table 4.1.
    """
    weights = mass_weights(pose.mass_table, pose.female_share)
    places = np.stack([_placed(pose, role) for role in weights], axis=-2)
    centre: FloatArray = np.einsum("...nd,n->...d", places, np.array(list(weights.values())))
    return centre


def _placed(pose: Pose, role: str) -> FloatArray:
    return pose[role if role in pose or role not in COM_STAND_INS else COM_STAND_INS[role]]


@lru_cache(maxsize=64)
def mass_weights(table: MassTableKey, female_share: float) -> dict[str, float]:
    """Return the weight of each role in the centre of mass, which is linear in them all.

    Roles are those of a right-hander: anatomical right is the throwing arm and the drive leg, as in
    a mirrored pose.
    """
    roles = (*COM_LANDMARKS, *COM_OPTIONAL)
    weights = np.zeros(len(roles))
    shares: tuple[tuple[Sex, float], ...] = (("female", female_share), ("male", 1.0 - female_share))
    for sex, share in shares:
        if share:
            weights += share * _weights_of(MASS_TABLES[table][sex])
    return dict(zip(roles, weights.tolist(), strict=True))


def _weights_of(table: MassTable) -> FloatArray:
    """Return the weight of each role by one table: the mass centre of unit vectors."""
    roles = (*COM_LANDMARKS, *COM_OPTIONAL)
    units = Pose(dict(zip(roles, np.eye(len(roles)), strict=True)), np.array(np.nan))
    centres = [
        segment_mass_centre(_end(units, row.proximal), _end(units, row.distal), row.ratio)
        for row in table.rows
    ]
    masses = np.array([row.mass for row in table.rows])
    return combined_mass_centre(np.stack(centres, axis=-2), masses)


def _end(pose: Pose, end: str) -> FloatArray:
    """Return a segment's end by its anatomical key."""
    side, _, part = end.partition("_")
    if side not in {"left", "right"}:
        return pose[end]
    is_leg = part in LEG_PARTS
    if side == "right":
        return pose[f"{'drive' if is_leg else 'throwing'}_{part}"]
    return pose[f"{'lead' if is_leg else 'glove'}_{part}"]


def other_weights(pose: Pose) -> tuple[tuple[Pose, float], ...]:
    """Return poses weighted in another way, and the share of the difference that is its u.

    The person's own segments are taken as anywhere as far from the table used as the other table
    is, to either side: a rectangle of that half width, so 1/√3.  Where the sex is not known it is
    one of the two, each half a difference from their mean: all of it.
    """
    others = [(replace(pose, mass_table=OTHER_TABLE[pose.mass_table]), 1.0 / math.sqrt(3.0))]
    if pose.female_share not in {0.0, 1.0}:
        others.append((replace(pose, female_share=1.0), 1.0))
    return tuple(others)


def mass_parts(measure: Callable[..., FloatArray], pose: Pose, value: float) -> dict[str, float]:
    """Return the parts of u that come with a centre of mass, for a metric of one posture.

    Parameters
    ----------
    measure : callable
        ``measure(pose)``.
    pose : Pose
        The posture as placed, points of shape (1, 3).
    value : float
        Its value there.

    Returns
    -------
    dict of str to float
        Of the person's own segment weights, and of landmarks that others stand in for.
    """
    weights = [share * (_at(measure, other) - value) for other, share in other_weights(pose)]
    stand_ins = []
    for role, by in COM_STAND_INS.items():
        if role not in pose:
            off_m = np.array([STAND_INS[role.partition("_")[2]].u_m, 0.0, 0.0])
            moved = replace(pose, points={**pose.points, role: pose[by] + off_m})
            stand_ins.append(_at(measure, moved) - value)
    return {
        "segment weights": math.hypot(*weights),
        "landmarks that others stand in for": math.hypot(*stand_ins),
    }


def _at(measure: Callable[..., FloatArray], pose: Pose) -> float:
    return float(measure(pose)[0])
