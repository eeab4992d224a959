"""Measures against the figure they were not written for, and against simple bodies."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.metrics import measures
from deliverylab.core.metrics.pose import Pose

# The figure reaches the angles it is asked for by construction; only rounding is left.
TIGHT = pytest.approx


def test_the_figure_measures_as_it_was_asked_for(side):
    spec = side.truth.spec
    at = side.truth.events
    contact, release = side.true_pose(at["foot_contact"]), side.true_pose(at["release"])
    # Kageyama et al. 2015, J Sports Sci Med 14:246-255, collegiate column.
    assert measures.pelvis_rotation(contact)[0] == TIGHT(14.8, abs=1e-6)
    assert measures.shoulder_line_rotation(contact)[0] == TIGHT(-33.4, abs=1e-6)
    assert measures.pelvis_rotation(release)[0] == TIGHT(101.9, abs=1e-6)
    assert measures.lead_knee_flexion(contact)[0] == TIGHT(46.8, abs=1e-6)
    assert measures.lead_knee_flexion(release)[0] == TIGHT(38.0, abs=1e-6)
    assert measures.trunk_forward_tilt(release)[0] == TIGHT(25.4, abs=1e-6)
    # Twist of the table is upper torso - pelvis = -48.2, so separation is its opposite.
    assert measures.separation(contact)[0] == TIGHT(48.2, abs=1e-6)
    assert measures.trunk_lateral_tilt(release)[0] == TIGHT(spec.trunk_lateral_deg[-1], abs=1e-6)


def test_the_arm_measures_as_it_was_asked_for(side):
    spec, at = side.truth.spec, side.truth.events
    for number, event in enumerate(("foot_contact", "full_layback", "release")):
        pose = side.true_pose(at[event])
        assert measures.elbow_flexion(pose)[0] == TIGHT(spec.elbow_flexion_deg[number], abs=0.5)
        # The figure sets the arm about the trunk; abduction here is against mid-hip to
        # mid-shoulder, which is the same axis.
        assert measures.shoulder_abduction(pose)[0] == TIGHT(
            spec.shoulder_abduction_deg[number], abs=1.0
        )
        assert measures.external_rotation(pose)[0] == TIGHT(
            spec.external_rotation_deg[number], abs=1.5
        )
        assert measures.horizontal_abduction(pose)[0] == TIGHT(
            spec.horizontal_abduction_deg[number], abs=1.5
        )


def test_a_left_hander_measures_like_the_mirrored_right_hander(side, film):
    from dataclasses import replace

    left = film(replace(side.truth.spec, hand="left"))
    for event in ("leg_lift", "foot_contact", "release"):
        right_pose = side.true_pose(side.truth.events[event])
        left_pose = left.true_pose(left.truth.events[event])
        for measure in (
            measures.pelvis_rotation, measures.separation, measures.external_rotation,
            measures.trunk_lateral_tilt, measures.arm_slot, measures.horizontal_abduction,
        ):  # fmt: skip
            assert measure(left_pose)[0] == TIGHT(measure(right_pose)[0], abs=1e-6)


def _standing(**moved):
    """Return an upright body side-on: chest to -Y, lead side to the plate, arms level."""
    points = {
        "drive_hip": (-0.1, 0, 0.9), "lead_hip": (0.1, 0, 0.9),
        "throwing_shoulder": (-0.2, 0, 1.4), "glove_shoulder": (0.2, 0, 1.4),
        "throwing_elbow": (-0.5, 0, 1.4), "throwing_wrist": (-0.5, 0, 1.65),
        "throwing_hand": (-0.5, 0, 1.75), "lead_ankle": (0.1, 0, 0.1),
    } | moved  # fmt: skip
    return Pose({role: np.array([place], float) for role, place in points.items()}, np.array(1.8))


def test_signs_on_a_body_that_stands_side_on():
    pose = _standing()
    assert measures.pelvis_rotation(pose)[0] == TIGHT(0.0)
    assert measures.shoulder_abduction(pose)[0] == TIGHT(90.0)
    assert measures.horizontal_abduction(pose)[0] == TIGHT(0.0, abs=1e-9)
    # Forearm straight up along the trunk: square to the trunk's front.
    assert measures.external_rotation(pose)[0] == TIGHT(90.0)
    # Forearm pointing the way the chest faces (-Y when side-on): not laid back at all.
    assert measures.external_rotation(_standing(throwing_wrist=(-0.5, -0.25, 1.4)))[0] == TIGHT(
        0.0, abs=1e-9
    )
    # Elbow drawn behind the back (+Y): behind the shoulder line, positive.
    assert measures.horizontal_abduction(_standing(throwing_elbow=(-0.4, 0.2, 1.4)))[0] == TIGHT(
        45.0
    )


def test_opening_to_the_plate_is_positive():
    # Facing the plate, the lead (glove-side) hip is to the left, +Y.
    pose = _standing(drive_hip=(0, -0.1, 0.9), lead_hip=(0, 0.1, 0.9))
    assert measures.pelvis_rotation(pose)[0] == TIGHT(90.0)
    assert measures.separation(pose)[0] == TIGHT(90.0)


def test_arm_slot_is_zero_upward_and_ninety_level():
    up = _standing(throwing_hand=(-0.2, 0, 2.1))
    level = _standing(throwing_hand=(-0.2, -0.7, 1.4))
    assert measures.arm_slot(up)[0] == TIGHT(0.0, abs=1e-9)
    assert measures.arm_slot(level)[0] == TIGHT(90.0)


def test_stride_and_its_share_of_height():
    lift = Pose({"drive_ankle": np.array([[0.0, 0, 0.1]])}, np.array(1.8))
    plant = Pose({"lead_ankle": np.array([[1.5, -0.12, 0.0]])}, np.array(1.8))
    assert measures.stride_length_m(lift, plant)[0] == TIGHT(1.5)
    assert measures.stride_length(lift, plant)[0] == TIGHT(100 * 1.5 / 1.8)
    # Landing toward the throwing side (-Y) is closed, positive.
    assert measures.stride_offset(lift, plant)[0] == TIGHT(0.12)


def test_foot_direction_is_positive_when_closed():
    pose = Pose(
        {"lead_heel": np.array([[0.0, 0, 0]]), "lead_toe": np.array([[0.2, -0.2, 0]])},
        np.array(1.8),
    )
    assert measures.lead_foot_direction(pose)[0] == TIGHT(45.0)


def test_hands_and_feet_that_are_not_placed_hardly_move_the_mass_centre(side):
    pose = side.true_pose(side.truth.events["foot_contact"])
    ends = ("hand", "heel", "toe")
    without = Pose(
        {role: xyz for role, xyz in pose.points.items() if not role.endswith(ends)},
        pose.height_m, pose.female_share,
    )  # fmt: skip
    moved_m = np.linalg.norm(measures.mass_centre(without) - measures.mass_centre(pose))
    # 2 x 0.6 % + 2 x 1.4 % of the mass, each moved by less than 0.15 m.
    assert 0.0 < moved_m < 0.04 * 0.15
