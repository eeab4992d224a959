"""Changed sides: repaired where the sequence makes it certain, else asked."""

from __future__ import annotations

import numpy as np

from deliverylab.core.tracking.pose_sides import is_other_way, side_changes, told_apart

TORSO_PX = 100.0
N = 40


def _limbs(apart_px=120.0):
    """Return a left and a right leg that swing, shape (40, 2 parts, 2)."""
    swing = 30.0 * np.sin(np.arange(N) / 6.0)
    left = np.stack([np.stack([swing + part, np.full(N, 80.0 * part)], -1) for part in (1, 2)], 1)
    return left, left + np.array([apart_px, 5.0])


def _with_changed(left, right, frames):
    left, right = left.copy(), right.copy()
    left[frames], right[frames] = right[frames], left[frames].copy()
    return left, right


def test_legs_that_keep_their_sides_are_left_alone():
    changed, uncertain = side_changes(*_limbs(), TORSO_PX)
    assert not changed.any()
    assert not uncertain.any()


def test_a_short_stretch_of_changed_sides_is_certain():
    frames = np.arange(12, 18)
    changed, uncertain = side_changes(*_with_changed(*_limbs(), frames), TORSO_PX)
    assert np.flatnonzero(changed).tolist() == frames.tolist()
    assert not uncertain.any()


def test_two_stretches_are_both_repaired():
    frames = np.r_[5:8, 20:24]
    changed, _ = side_changes(*_with_changed(*_limbs(), frames), TORSO_PX)
    assert np.flatnonzero(changed).tolist() == frames.tolist()


def test_a_change_that_lasts_to_the_end_is_asked_about():
    frames = np.arange(30, N)
    changed, uncertain = side_changes(*_with_changed(*_limbs(), frames), TORSO_PX)
    assert not changed.any()
    assert np.flatnonzero(uncertain).tolist() == frames.tolist()


def test_half_and_half_is_asked_about():
    frames = np.arange(10, 28)
    changed, uncertain = side_changes(*_with_changed(*_limbs(), frames), TORSO_PX)
    assert not changed.any()
    assert uncertain.sum() == len(frames)


def test_limbs_beside_each_other_say_nothing():
    left, right = _limbs(apart_px=10.0)
    assert not told_apart(left, right, TORSO_PX).any()
    changed, uncertain = side_changes(*_with_changed(left, right, np.arange(12, 18)), TORSO_PX)
    assert not changed.any()
    assert not uncertain.any()


def test_an_answer_with_the_sides_changed_is_known():
    left, right = _limbs()
    assert is_other_way(left, right, right + 3.0, left + 3.0).all()
    assert not is_other_way(left, right, left + 3.0, right + 3.0).any()
