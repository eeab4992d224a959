"""Landmarks out of the network's points."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.tracking.pose import MIRRORED, N_POINTS
from deliverylab.core.tracking.pose_landmarks import (
    KEYS,
    LIMBS,
    PART,
    ROW,
    landmark_peaks,
    landmarks_of,
    pair_rows,
)
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from tests.core.tracking.posed import template


def test_every_landmark_of_the_body_is_suggested_and_nothing_else():
    assert sorted(KEYS) == sorted(key for key in LANDMARK_KEYS if key != "ball")
    assert set(PART.values()) >= {part for parts in LIMBS.values() for part in parts}


def test_points_of_their_own_and_those_made_of_several():
    made = landmarks_of(template())
    assert made[ROW["left_wrist"]] == pytest.approx([0.60, 0.0])
    assert made[ROW["right_toe"]] == pytest.approx([-0.62, 1.75])
    # two thirds of the way from the little finger's knuckle to the index finger's
    assert made[ROW["left_hand"]] == pytest.approx([0.58 + 0.04 * 2 / 3, 0.12])
    # shoulders at -1, ears at -1.45
    assert made[ROW["neck"]] == pytest.approx([0.0, -1.0 - 0.4 * 0.45])
    assert made[ROW["head_top"]] == pytest.approx([0.0, -1.0 - 1.6 * 0.45])


def test_moving_turning_and_scaling_the_body_does_so_with_its_landmarks():
    turn = np.array([[0.8, -0.6], [0.6, 0.8]])
    moved = 37.0 * template() @ turn.T + [100.0, 50.0]
    assert np.allclose(landmarks_of(moved), 37.0 * landmarks_of(template()) @ turn.T + [100, 50])


def test_a_mirrored_body_has_its_sides_changed():
    flipped = (template() * [-1.0, 1.0])[MIRRORED]
    assert np.allclose(landmarks_of(flipped), landmarks_of(template()))


def test_a_landmark_is_seen_as_clearly_as_its_poorest_point():
    peaks = np.full(N_POINTS, 0.9)
    peaks[12] = 0.3  # the right shoulder
    seen = landmark_peaks(peaks)
    assert seen[ROW["right_shoulder"]] == 0.3
    assert seen[ROW["neck"]] == 0.3
    assert seen[ROW["left_shoulder"]] == 0.9
    peaks[:] = 0.9
    peaks[17] = 0.1  # a knuckle does not count
    assert landmark_peaks(peaks)[ROW["left_hand"]] == 0.9


def test_the_rows_of_a_limb_match_left_to_right():
    left, right = pair_rows("leg")
    assert [KEYS[row] for row in left] == ["left_knee", "left_ankle", "left_heel", "left_toe"]
    assert [PART[KEYS[row]] for row in left] == [PART[KEYS[row]] for row in right]
