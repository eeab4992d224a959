from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.kinematics import (
    ArmAngles,
    TrunkFrame,
    arm_directions,
    bend_knee,
    foot_axes,
    pull_within_reach,
    reach_m,
    rise_square_to,
    trunk_direction,
    turned_line,
    unit,
)


def _one(*values):
    return tuple(np.array([float(v)]) for v in values)


def _upright():
    return TrunkFrame.of(np.array([[0.0, 0.0, 1.0]]), np.array([[1.0, 0.0, 0.0]]))


def test_unit_vectors_have_length_one_and_nothing_gives_nan():
    assert unit(np.array([3.0, 0.0, 4.0])) == pytest.approx([0.6, 0.0, 0.8])
    assert np.all(np.isnan(unit(np.zeros(3))))


def test_trunk_tilts_are_the_angles_seen_from_side_and_rear():
    d = trunk_direction(*_one(25.0, -12.0))[0]
    assert np.degrees(np.arctan2(d[0], d[2])) == pytest.approx(25.0)
    assert np.degrees(np.arctan2(d[1], d[2])) == pytest.approx(-12.0)


def test_turned_line_keeps_its_rotation_whatever_it_rises():
    line = turned_line(*_one(122.5, 20.0))[0]
    assert np.degrees(np.arctan2(line[1], line[0])) == pytest.approx(122.5)


def test_rise_makes_the_line_square_to_the_trunk():
    up = trunk_direction(*_one(25.0, 28.0))
    rise = rise_square_to(up, np.array([110.0]))
    assert np.sum(up * turned_line(np.array([110.0]), rise)) == pytest.approx(0.0, abs=1e-12)


def test_front_of_a_side_on_right_hander_is_the_open_side():
    assert _upright().front[0] == pytest.approx([0.0, -1.0, 0.0])


@pytest.mark.parametrize(
    ("rotation", "expected"), [(0.0, (0, -1, 0)), (90.0, (0, 0, 1)), (180.0, (0, 1, 0))]
)
@pytest.mark.parametrize("is_throwing", [True, False])
def test_forearm_points_ahead_up_and_back_as_it_is_laid_back(rotation, expected, is_throwing):
    angles = ArmAngles(*_one(90, 0, rotation, 90, 0))
    upper, fore, hand, _ = arm_directions(_upright(), angles, is_throwing=is_throwing)
    assert upper[0] == pytest.approx([-1.0 if is_throwing else 1.0, 0.0, 0.0])
    assert fore[0] == pytest.approx(expected, abs=1e-12)
    assert hand[0] == pytest.approx(fore[0])


def test_arm_behind_the_shoulder_line_is_positive():
    upper = arm_directions(_upright(), ArmAngles(*_one(90, 30, 0, 0, 0)), is_throwing=True)[0][0]
    assert upper[1] == pytest.approx(0.5)


def test_bent_wrist_turns_the_hand_back():
    _, _, hand, back = arm_directions(
        _upright(), ArmAngles(*_one(90, 0, 90, 90, 40)), is_throwing=True
    )
    assert np.degrees(np.arctan2(hand[0, 1], hand[0, 2])) == pytest.approx(40.0)
    assert hand[0] @ back[0] == pytest.approx(0.0, abs=1e-12)


def test_knee_keeps_bones_and_flexion():
    flexion, thigh, shank = 46.8, 0.43, 0.44
    hip, ankle = np.zeros((1, 3)), np.array([[0.6, 0.1, -0.8]])
    ankle *= reach_m(thigh, shank, flexion) / np.linalg.norm(ankle)
    knee = bend_knee(hip, ankle, thigh, shank, np.array([[1.0, 0.0, 0.0]]))
    assert np.linalg.norm(knee - hip) == pytest.approx(thigh)
    assert np.linalg.norm(knee - ankle) == pytest.approx(shank)
    u, v = (hip - knee)[0], (ankle - knee)[0]
    included = np.degrees(np.arctan2(np.linalg.norm(np.cross(u, v)), u @ v))
    assert 180.0 - included == pytest.approx(flexion)
    assert knee[0, 0] > 0.3


def test_a_leg_that_does_not_reach_is_refused():
    far = np.array([[2.0, 0.0, 0.0]])
    with pytest.raises(InputValueError, match="1130 mm longer"):
        bend_knee(np.zeros((1, 3)), far, 0.43, 0.44, np.array([[0.0, 0.0, 1.0]]))


def test_foot_axes_stay_square_with_heel_up_and_roll():
    forward, upward = foot_axes(*_one(-90.0, 30.0, 20.0))
    assert forward[0] @ upward[0] == pytest.approx(0.0, abs=1e-12)
    assert forward[0, 2] == pytest.approx(-0.5)
    # a right foot pointing to the open side tips its ankle toward the plate
    assert upward[0, 0] == pytest.approx(np.sin(np.radians(20.0)))


def test_foot_is_drawn_along_only_when_the_leg_is_nearly_straight():
    hip, leg = np.zeros((4, 3)), 0.88
    ankle = np.array([[0.0, 0.0, -z] for z in (0.5, 0.9964 * leg, leg, leg + 0.05)])
    reached = np.linalg.norm(ankle + pull_within_reach(hip, ankle, leg), axis=1)
    assert reached[:2] == pytest.approx([0.5, 0.9964 * leg], abs=1e-12)
    assert np.all(reached[2:] < leg)
    with pytest.raises(InputValueError, match="70 mm longer"):
        pull_within_reach(hip[:1], np.array([[0.0, 0.0, -leg - 0.07]]), leg)
