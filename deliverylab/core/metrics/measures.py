"""The measuring itself: postures in, numbers out.

Every function takes poses with any leading shape and returns an array of that shape; NaN where a
point is missing.  Signs: X to the plate, Y to the glove side, Z up.  Rotations about the vertical
are 0 side-on (line along rubber → plate) and positive when opening to the plate.
"""

from __future__ import annotations

import numpy as np

from deliverylab.core.metrics.body_mass import mass_centre
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.numerics.angles import (
    angle_between_deg,
    cross_product,
    flexion_deg,
    lean_deg,
    wrapped_deg,
)

X, Y, Z = 0, 1, 2


def _percent_of_height(length_m: FloatArray, pose: Pose) -> FloatArray:
    return 100.0 * length_m / pose.height_m


def ground_z(pose: Pose) -> FloatArray:
    """Return the height of the drive foot's middle, m: midway between heel and toe.

    The foot stands along the rubber, so its toe is nearer to or farther from a side camera than the
    plane of motion; the middle of the foot is not.
    """
    return 0.5 * (pose["drive_heel"][..., Z] + pose["drive_toe"][..., Z])


def lead_knee_height(pose: Pose) -> FloatArray:
    """Return the lead knee above the middle of the drive foot, % of height."""
    return _percent_of_height(pose["lead_knee"][..., Z] - ground_z(pose), pose)


def com_ahead_of_drive_ankle(pose: Pose) -> FloatArray:
    """Return how far the centre of mass is ahead of the drive ankle, % of height."""
    return _percent_of_height(mass_centre(pose)[..., X] - pose["drive_ankle"][..., X], pose)


def com_lean_from_drive_ankle(pose: Pose) -> FloatArray:
    """Return the lean of drive ankle → centre of mass toward the plate, degrees, 0 = upright."""
    line = mass_centre(pose) - pose["drive_ankle"]
    return lean_deg(line[..., X], line[..., Z])


def trunk_forward_tilt(pose: Pose) -> FloatArray:
    """Return the lean of mid-hip → mid-shoulder toward the plate, degrees."""
    trunk = pose["mid_shoulder"] - pose["mid_hip"]
    return lean_deg(trunk[..., X], trunk[..., Z])


def trunk_lateral_tilt(pose: Pose) -> FloatArray:
    """Return the lean of mid-hip → mid-shoulder to the glove side, degrees."""
    trunk = pose["mid_shoulder"] - pose["mid_hip"]
    return lean_deg(trunk[..., Y], trunk[..., Z])


def lead_knee_flexion(pose: Pose) -> FloatArray:
    """Return lead-knee flexion, degrees, 0 = straight."""
    return flexion_deg(pose["lead_hip"], pose["lead_knee"], pose["lead_ankle"])


def drive_knee_flexion(pose: Pose) -> FloatArray:
    """Return drive-knee flexion, degrees, 0 = straight."""
    return flexion_deg(pose["drive_hip"], pose["drive_knee"], pose["drive_ankle"])


def lead_knee_extension(contact: Pose, release: Pose) -> FloatArray:
    """Return how far the lead knee straightened from contact to release, degrees."""
    return lead_knee_flexion(contact) - lead_knee_flexion(release)


def stride_length_m(lift: Pose, plant: Pose) -> FloatArray:
    """Return drive ankle at leg lift → lead ankle at foot plant along X, m."""
    return plant["lead_ankle"][..., X] - lift["drive_ankle"][..., X]


def stride_length(lift: Pose, plant: Pose) -> FloatArray:
    """Return the stride in % of height."""
    return _percent_of_height(stride_length_m(lift, plant), plant)


def stride_offset(lift: Pose, plant: Pose) -> FloatArray:
    """Return how far the front foot lands across (closed, to the throwing side, positive), m."""
    return lift["drive_ankle"][..., Y] - plant["lead_ankle"][..., Y]


def lead_foot_direction(pose: Pose) -> FloatArray:
    """Return the lead foot's direction, degrees; 0 to the plate, closed positive."""
    foot = pose["lead_toe"] - pose["lead_heel"]
    return -np.degrees(np.arctan2(foot[..., Y], foot[..., X]))


def release_height(lift: Pose, release: Pose) -> FloatArray:
    """Return the throwing hand at release above the drive foot's middle at leg lift, m."""
    return release["throwing_hand"][..., Z] - ground_z(lift)


def release_extension(lift: Pose, release: Pose) -> FloatArray:
    """Return the throwing hand at release ahead of the rubber, m; of the drive ankle without it."""
    start = lift["rubber"] if "rubber" in lift else lift["drive_ankle"]
    return release["throwing_hand"][..., X] - start[..., X]


def release_ahead_of_lead_foot(pose: Pose) -> FloatArray:
    """Return the throwing hand ahead of the lead ankle, m."""
    return pose["throwing_hand"][..., X] - pose["lead_ankle"][..., X]


def arm_slot(pose: Pose) -> FloatArray:
    """Return throwing shoulder → hand against the vertical seen from behind, degrees; 90 level."""
    arm = pose["throwing_hand"] - pose["throwing_shoulder"]
    return lean_deg(-arm[..., Y], arm[..., Z])


def _line_rotation(far: FloatArray, near: FloatArray) -> FloatArray:
    return np.degrees(np.arctan2(near[..., Y] - far[..., Y], near[..., X] - far[..., X]))


def pelvis_rotation(pose: Pose) -> FloatArray:
    """Return the hip line's rotation about the vertical, degrees."""
    return _line_rotation(pose["drive_hip"], pose["lead_hip"])


def shoulder_line_rotation(pose: Pose) -> FloatArray:
    """Return the shoulder line's rotation about the vertical, degrees."""
    return _line_rotation(pose["throwing_shoulder"], pose["glove_shoulder"])


def separation(pose: Pose) -> FloatArray:
    """Return pelvis rotation less shoulder-line rotation, degrees, −180 to 180."""
    difference = pelvis_rotation(pose) - shoulder_line_rotation(pose)
    return wrapped_deg(difference, -180.0)


def elbow_flexion(pose: Pose) -> FloatArray:
    """Return throwing-elbow flexion, degrees, 0 = straight."""
    return flexion_deg(pose["throwing_shoulder"], pose["throwing_elbow"], pose["throwing_wrist"])


def shoulder_abduction(pose: Pose) -> FloatArray:
    """Return the throwing upper arm against the trunk, degrees; 90 level with the shoulders."""
    arm = pose["throwing_elbow"] - pose["throwing_shoulder"]
    return angle_between_deg(arm, pose["mid_hip"] - pose["mid_shoulder"])


def _trunk_axes(pose: Pose) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the trunk's unit axes: forward, to the glove side, up the spine."""
    up = _unit(pose["mid_shoulder"] - pose["mid_hip"])
    across = pose["glove_shoulder"] - pose["throwing_shoulder"]
    across = _unit(across - np.sum(across * up, axis=-1, keepdims=True) * up)
    return cross_product(across, up), across, up


def _unit(vector: FloatArray) -> FloatArray:
    length = np.sqrt(np.sum(vector**2, axis=-1, keepdims=True))
    unit: FloatArray = np.full_like(vector, np.nan)
    np.divide(vector, length, out=unit, where=length > 0.0)
    return unit


def horizontal_abduction(pose: Pose) -> FloatArray:
    """Return the upper arm behind (+) or ahead (−) of the shoulder line, along the trunk, degrees."""
    forward, across, _ = _trunk_axes(pose)
    arm = pose["throwing_elbow"] - pose["throwing_shoulder"]
    ahead, outward = np.sum(arm * forward, axis=-1), -np.sum(arm * across, axis=-1)
    angle: FloatArray = np.degrees(np.arctan2(-ahead, outward))
    return angle


def external_rotation(pose: Pose) -> FloatArray:
    """Return the forearm's turn about the upper arm, degrees; 90 square to the trunk's front.

    0 = forearm pointing forward, 90 = up along the trunk, 180 = laid back behind; −90 to 270.
    """
    forward, _, _ = _trunk_axes(pose)
    arm = _unit(pose["throwing_elbow"] - pose["throwing_shoulder"])
    forearm = pose["throwing_wrist"] - pose["throwing_elbow"]
    zero = _unit(forward - np.sum(forward * arm, axis=-1, keepdims=True) * arm)
    quarter = cross_product(arm, zero)
    turn = np.arctan2(np.sum(forearm * quarter, axis=-1), np.sum(forearm * zero, axis=-1))
    return wrapped_deg(np.degrees(turn), -90.0)


def glove_distance(pose: Pose) -> FloatArray:
    """Return the glove hand's distance from the middle of the shoulders, % of height."""
    reach = pose["glove_hand"] - pose["mid_shoulder"]
    return _percent_of_height(np.sqrt(np.sum(reach**2, axis=-1)), pose)
