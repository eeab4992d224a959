"""Place the joints of a figure from angles: trunk, arms by angles, legs by their ends.

Everything here is written for a right-handed thrower (X to the plate, Y to the pitcher's left,
Z up); a left-handed delivery is the mirror image in Y.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError

Array = NDArray[np.float64]

_MOST_PULLED_M = 0.06


def unit(vectors: Array) -> Array:
    """Scale vectors to length one.

    Parameters
    ----------
    vectors : Array, shape (..., 3)

    Returns
    -------
    Array, shape (..., 3)
        NaN for a vector of length zero.
    """
    norm = np.linalg.norm(vectors, axis=-1, keepdims=True)
    out: Array = vectors / np.where(norm > 0, norm, np.nan)
    return out


def trunk_direction(forward_deg: Array, lateral_deg: Array) -> Array:
    """Point from mid-hip to mid-shoulder for the tilts seen from the side and from behind.

    Parameters
    ----------
    forward_deg, lateral_deg : Array, shape (n,), deg
        Against the vertical in the X-Z plane (positive to the plate) and in the Y-Z plane
        (positive to the glove side).

    Returns
    -------
    Array, shape (n, 3)
        Unit vectors.
    """
    forward, lateral = np.tan(np.radians(forward_deg)), np.tan(np.radians(lateral_deg))
    return unit(np.stack([forward, lateral, np.ones_like(forward)], axis=-1))


def turned_line(rotation_deg: Array, rise_deg: Array) -> Array:
    """Point along the hip or shoulder line from the throwing to the glove side.

    Parameters
    ----------
    rotation_deg : Array, shape (n,), deg
        About the vertical: 0 along the rubber-to-plate line, 90 facing the plate.
    rise_deg : Array, shape (n,), deg
        Rise of the glove side above the level.

    Returns
    -------
    Array, shape (n, 3)
        Unit vectors.
    """
    turn, rise = np.radians(rotation_deg), np.radians(rise_deg)
    return np.stack([np.cos(rise) * np.cos(turn), np.cos(rise) * np.sin(turn), np.sin(rise)], -1)


def rise_square_to(axis: Array, rotation_deg: Array) -> Array:
    """Give the rise at which a line of known rotation stands square to an axis.

    Parameters
    ----------
    axis : Array, shape (n, 3)
    rotation_deg : Array, shape (n,), deg

    Returns
    -------
    Array, shape (n,), deg
    """
    turn = np.radians(rotation_deg)
    level = np.cos(turn) * axis[:, 0] + np.sin(turn) * axis[:, 1]
    return np.degrees(np.arctan2(-level, axis[:, 2]))


@dataclass(frozen=True)
class TrunkFrame:
    """Hold the trunk's own axes, each of shape (n, 3): up, to the glove side, to the front."""

    up: Array
    across: Array
    front: Array

    @staticmethod
    def of(up: Array, shoulder_line: Array) -> TrunkFrame:
        """Build the axes from the trunk's direction and the shoulder line.

        Parameters
        ----------
        up, shoulder_line : Array, shape (n, 3)

        Returns
        -------
        TrunkFrame
        """
        along = np.sum(shoulder_line * up, axis=-1, keepdims=True)
        across = unit(shoulder_line - along * up)
        return TrunkFrame(up=up, across=across, front=np.cross(across, up))


@dataclass(frozen=True)
class ArmAngles:
    """Hold an arm's angles, each of shape (n,), in degrees.

    ``abduction`` upper arm against the trunk (90 level with the shoulders); ``horizontal`` upper
    arm behind (+) or in front (-) of the shoulder line; ``rotation`` forearm about the upper arm
    (0 to the front, 90 up along the trunk, more = laid back); ``flexion`` 0 straight;
    ``wrist`` bent back (+) or forward (-).
    """

    abduction: Array
    horizontal: Array
    rotation: Array
    flexion: Array
    wrist: Array


def arm_directions(
    frame: TrunkFrame, angles: ArmAngles, *, is_throwing: bool
) -> tuple[Array, Array, Array, Array]:
    """Point the upper arm, forearm and hand.

    Parameters
    ----------
    frame : TrunkFrame
    angles : ArmAngles
    is_throwing : bool
        The throwing arm hangs on the far end of ``frame.across``, the glove arm on the near.

    Returns
    -------
    tuple of Array, each shape (n, 3)
        Upper arm, forearm, hand, and the direction of the back of the hand.
    """
    side = -1.0 if is_throwing else 1.0
    abd, hor, rot, flex, wrist = (
        np.radians(a)[:, None]
        for a in (
            angles.abduction,
            angles.horizontal,
            angles.rotation,
            angles.flexion,
            angles.wrist,
        )
    )
    level = side * frame.across * np.cos(hor) - frame.front * np.sin(hor)
    upper = -frame.up * np.cos(abd) + level * np.sin(abd)
    ahead = unit(frame.front - np.sum(frame.front * upper, -1, keepdims=True) * upper)
    raised = -side * np.cross(upper, ahead)
    swung = ahead * np.cos(rot) + raised * np.sin(rot)
    back = -ahead * np.sin(rot) + raised * np.cos(rot)
    fore = upper * np.cos(flex) + swung * np.sin(flex)
    hand = fore * np.cos(wrist) + back * np.sin(wrist)
    hand_back = -fore * np.sin(wrist) + back * np.cos(wrist)
    return upper, fore, hand, hand_back


def reach_m(thigh_m: float, shank_m: float, flexion_deg: float) -> float:
    """Give the hip-to-ankle distance of a knee flexed by a given angle (0 = straight).

    Parameters
    ----------
    thigh_m, shank_m : float, m
    flexion_deg : float, deg

    Returns
    -------
    float, m
    """
    cosine = np.cos(np.radians(flexion_deg))
    return float(np.sqrt(thigh_m**2 + shank_m**2 + 2 * thigh_m * shank_m * cosine))


def bend_knee(hip: Array, ankle: Array, thigh_m: float, shank_m: float, toward: Array) -> Array:
    """Place the knee between a hip and an ankle so that both bones keep their length.

    Parameters
    ----------
    hip, ankle : Array, shape (n, 3), m
    thigh_m, shank_m : float, m
    toward : Array, shape (n, 3)
        Direction into which the knee points.

    Returns
    -------
    Array, shape (n, 3), m

    Raises
    ------
    InputValueError
        Where the ankle is farther from the hip than a straight leg reaches.
    """
    span = ankle - hip
    distance = np.linalg.norm(span, axis=-1, keepdims=True)
    if np.any(distance > thigh_m + shank_m):
        excess = float(np.max(distance) - thigh_m - shank_m)
        raise InputValueError(
            f"a leg would have to be {1000 * excess:.0f} mm longer",
            where="figure",
            remedy="change the stride, the knee flexion or the forward speed",
        )
    axis = span / distance
    along = (thigh_m**2 - shank_m**2 + distance**2) / (2 * distance)
    out = unit(toward - np.sum(toward * axis, -1, keepdims=True) * axis)
    knee: Array = hip + along * axis + np.sqrt(np.maximum(thigh_m**2 - along**2, 0.0)) * out
    return knee


def pull_within_reach(hip: Array, ankle: Array, leg_m: float) -> Array:
    """Give the small shift that keeps a foot within reach of its hip between key poses.

    Nothing is shifted while the knee is flexed by some ten degrees or more; beyond that the foot
    is drawn along, smoothly, by up to 6 cm.

    Parameters
    ----------
    hip, ankle : Array, shape (n, 3), m
    leg_m : float, m
        Length of the straight leg.

    Returns
    -------
    Array, shape (n, 3), m

    Raises
    ------
    InputValueError
        Where the foot is farther away than that.
    """
    span = ankle - hip
    distance = np.linalg.norm(span, axis=-1, keepdims=True)
    if np.any(distance > leg_m + _MOST_PULLED_M):
        excess = float(np.max(distance) - leg_m)
        raise InputValueError(
            f"a leg would have to be {1000 * excess:.0f} mm longer",
            where="figure",
            remedy="change the stride, the knee flexion or the forward speed",
        )
    free, give = 0.9965 * leg_m, 0.0033 * leg_m
    beyond = np.maximum(distance - free, 0.0)
    shift: Array = span / distance * (give * np.tanh(beyond / give) - beyond)
    return shift


def foot_axes(azimuth_deg: Array, heel_lift_deg: Array, roll_deg: Array) -> tuple[Array, Array]:
    """Point a foot: heel to toe, and from the sole upward.

    Parameters
    ----------
    azimuth_deg : Array, shape (n,), deg
        Of the toes about the vertical, 0 = to the plate, positive to the glove side.
    heel_lift_deg : Array, shape (n,), deg
        Positive with the heel above the toe.
    roll_deg : Array, shape (n,), deg
        About heel-to-toe, positive tips the ankle to the foot's left.

    Returns
    -------
    tuple of Array, each shape (n, 3)
    """
    turn, lift, roll = (np.radians(a)[:, None] for a in (azimuth_deg, heel_lift_deg, roll_deg))
    level = np.concatenate([np.cos(turn), np.sin(turn), np.zeros_like(turn)], -1)
    vertical = np.array([0.0, 0.0, 1.0])
    forward = level * np.cos(lift) - vertical * np.sin(lift)
    upward = level * np.sin(lift) + vertical * np.cos(lift)
    return forward, upward * np.cos(roll) + np.cross(upward, forward) * np.sin(roll)
