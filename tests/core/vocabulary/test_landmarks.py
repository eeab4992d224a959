from __future__ import annotations

import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.vocabulary.landmarks import (
    ARM_PARTS,
    BY_KEY,
    LANDMARK_KEYS,
    LANDMARKS,
    LEG_PARTS,
    PLACING_ORDER,
    ROLE_KEYS,
    key_for_role,
    landmark,
    role_for_key,
    role_name,
)

HANDS = ("left", "right")


def test_keys_are_unique_and_say_their_side():
    assert len(BY_KEY) == len(LANDMARKS) == 21
    for entry in LANDMARKS:
        assert entry.key.startswith(f"{entry.side}_") == bool(entry.side)
        assert entry.name
        assert entry.hint
        assert 0.0 < entry.u_m < 0.05 < entry.depth_u_m < 0.5


@pytest.mark.parametrize("hand", HANDS)
def test_roles_and_keys_are_one_to_one(hand):
    keys = [key_for_role(role, hand) for role in ROLE_KEYS]
    assert sorted(keys) == sorted(LANDMARK_KEYS)
    assert [role_for_key(key, hand) for key in keys] == list(ROLE_KEYS)


@pytest.mark.parametrize(
    ("role", "right", "left"),
    [
        # a right-hander throws with the right arm, drives off the right leg, strides with the left
        ("throwing_elbow", "right_elbow", "left_elbow"),
        ("glove_wrist", "left_wrist", "right_wrist"),
        ("drive_knee", "right_knee", "left_knee"),
        ("lead_ankle", "left_ankle", "right_ankle"),
        ("head_top", "head_top", "head_top"),
        ("ball", "ball", "ball"),
        ("left_hip", "left_hip", "left_hip"),
    ],
)
def test_handedness_gives_the_roles(role, right, left):
    assert key_for_role(role, "right") == right
    assert key_for_role(role, "left") == left


def test_arms_have_arm_roles_and_legs_leg_roles():
    for part in ARM_PARTS:
        assert role_for_key(f"right_{part}", "right") == f"throwing_{part}"
        assert role_for_key(f"right_{part}", "left") == f"glove_{part}"
    for part in LEG_PARTS:
        assert role_for_key(f"right_{part}", "right") == f"drive_{part}"
        assert role_for_key(f"right_{part}", "left") == f"lead_{part}"


def test_the_placing_order_asks_for_every_body_point_once():
    assert sorted(PLACING_ORDER) == sorted(set(ROLE_KEYS) - {"ball"})
    assert len(PLACING_ORDER) == 20


@pytest.mark.parametrize("name", ["", "wing", "throwing_wing", "left", "throwing_", "glove_ball"])
def test_an_unknown_name_lists_the_known(name):
    with pytest.raises(NotFoundError, match="use one of head_top, neck"):
        key_for_role(name, "right")
    with pytest.raises(NotFoundError, match="left_shoulder"):
        landmark(name)


def test_roles_are_said_in_words():
    assert role_name("throwing_elbow") == "throwing elbow"
    assert role_name("head_top") == "top of head"
    assert role_name("left_knee") == "left knee"
