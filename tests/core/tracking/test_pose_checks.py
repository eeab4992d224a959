"""What is believed of the network's answers, each check on its own."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.tracking.pose import N_POINTS
from deliverylab.core.tracking.pose_checks import (
    REASONS,
    U_INPUT_PX,
    RawPoses,
    check_poses,
)
from deliverylab.core.tracking.pose_landmarks import KEYS, ROW, landmarks_of
from deliverylab.core.tracking.pose_sides import SideAnswer, SideQuestion
from tests.core.tracking.posed import body

SIZE_PX = (640, 480)
N, TORSO_PX, PIXEL_PX = 30, 80.0, 1.5


def _raw(n=N):
    """Return answers about somebody who walks through the picture; writable."""
    points = np.array([body(200.0 + 3.0 * frame, 200.0, TORSO_PX) for frame in range(n)])
    return RawPoses(
        frames=np.arange(n), points_px=points, mirrored_px=points.copy(), peaks=np.full((n, N_POINTS), 0.9),
        pixel_px=np.full(n, PIXEL_PX),
    )  # fmt: skip


def _reason(found, frame, key):
    return REASONS[found.reasons[frame, ROW[key]]]


def _others_are_believed(found, frame, keys):
    rest = [row for row, key in enumerate(KEYS) if key not in keys]
    return bool(found.is_believed[frame, rest].all()) and bool(
        np.delete(found.is_believed, frame, axis=0).all()
    )


def test_answers_without_fault_are_all_believed():
    raw = _raw()
    found = check_poses(raw, SIZE_PX)
    assert found.is_believed.all()
    assert np.allclose(found.xy_px, landmarks_of(raw.points_px))
    assert found.torso_px == pytest.approx(TORSO_PX)


def test_the_mean_of_both_answers_is_taken_and_u_grows_with_their_distance():
    raw = _raw()
    raw.mirrored_px[:, 27] += [6.0, 8.0]  # the left ankle, by 10 px
    found = check_poses(raw, SIZE_PX)
    ankle, other = ROW["left_ankle"], ROW["right_ankle"]
    assert found.is_believed.all()
    assert np.allclose(found.xy_px[:, ankle], raw.points_px[:, 27] + [3.0, 4.0])
    shared = U_INPUT_PX["ankle"] * PIXEL_PX
    assert np.allclose(found.u_px[:, other], shared)
    assert np.allclose(found.u_px[:, ankle], np.hypot(10.0 / np.sqrt(8.0), shared))


def test_a_point_that_the_mirrored_picture_puts_elsewhere_waits():
    raw = _raw()
    raw.mirrored_px[10, 27] -= [0.25 * TORSO_PX, 0.0]
    found = check_poses(raw, SIZE_PX)
    assert _reason(found, 10, "left_ankle") == "mirror"
    assert _others_are_believed(found, 10, {"left_ankle"})


def test_a_forearm_that_collapsed_takes_the_elbow_and_the_hand_with_it():
    raw = _raw()
    for answer in (raw.points_px, raw.mirrored_px):
        elbow = answer[10, 13].copy()
        answer[10, [15, 17, 19]] = elbow + 2.0
    found = check_poses(raw, SIZE_PX)
    gone = {"left_elbow", "left_wrist", "left_hand"}
    assert {_reason(found, 10, key) for key in gone} == {"length"}
    assert _others_are_believed(found, 10, gone)


def test_a_segment_longer_than_it_can_be_is_not_believed():
    raw = _raw()
    # a knee pulled down a little in every frame: a course of its own, but no thigh is so long
    raw.points_px[:, 25, 1] += 0.45 * TORSO_PX
    raw.mirrored_px[:, 25, 1] += 0.45 * TORSO_PX
    found = check_poses(raw, SIZE_PX)
    assert {_reason(found, frame, "left_knee") for frame in range(N)} == {"length"}
    assert found.is_believed[:, ROW["right_knee"]].all()


def test_an_arm_that_hangs_on_the_other_shoulder_falls_as_a_whole():
    raw = _raw()
    arm = [13, 15, 17, 19]
    for answer in (raw.points_px, raw.mirrored_px):
        answer[10, arm] += [0.4 * TORSO_PX, 0.0]
    found = check_poses(raw, SIZE_PX)
    gone = {"left_shoulder", "left_elbow", "left_wrist", "left_hand"}
    assert {_reason(found, 10, key) for key in gone} == {"length"}
    assert found.is_believed[10, ROW["right_wrist"]]


def test_a_foot_that_points_at_the_camera_takes_the_toe_only():
    raw = _raw()
    for answer in (raw.points_px, raw.mirrored_px):
        answer[:, 31] = answer[:, 27] + [0.1 * TORSO_PX, 0.1 * TORSO_PX]
    found = check_poses(raw, SIZE_PX)
    assert {_reason(found, frame, "left_toe") for frame in range(N)} == {"length"}
    assert found.is_believed[:, [ROW["left_heel"], ROW["left_ankle"]]].all()


def test_the_athletes_height_stands_in_for_a_trunk_that_is_never_seen_long():
    raw = _raw()
    found = check_poses(raw, SIZE_PX, stature_px=1.4 * TORSO_PX / 0.288)
    assert found.torso_px == pytest.approx(1.4 * TORSO_PX)
    # against a body as large as that, legs and feet are too short
    assert not found.is_believed[:, ROW["left_toe"]].any()


def test_a_point_that_no_map_shows_waits():
    raw = _raw()
    raw.peaks[10, 16] = 0.2
    found = check_poses(raw, SIZE_PX)
    gone = {"right_wrist", "right_hand"}
    assert {_reason(found, 10, key) for key in gone} == {"peak"}
    assert _others_are_believed(found, 10, gone)


def test_a_point_that_leaves_its_course_for_a_frame_waits_and_so_do_its_neighbours():
    raw = _raw()
    for answer in (raw.points_px, raw.mirrored_px):
        answer[10, 27] += [0.5 * TORSO_PX, 0.0]
    found = check_poses(raw, SIZE_PX)
    # nothing tells which of the three is wrong
    assert {_reason(found, frame, "left_ankle") for frame in (9, 10, 11)} == {"course"}
    assert found.is_believed[8, ROW["left_ankle"]]


def test_a_believed_point_between_two_that_are_not_waits_too():
    raw = _raw()
    raw.peaks[[9, 11], 27] = 0.1
    found = check_poses(raw, SIZE_PX)
    assert _reason(found, 10, "left_ankle") == "alone"


def test_what_lies_outside_the_picture_waits():
    found = check_poses(_raw(), (640, 300))
    assert _reason(found, 0, "left_ankle") == "outside"
    assert found.is_believed[0, ROW["left_hip"]]


def test_frames_without_anybody_say_so_and_carry_no_numbers():
    raw = _raw()
    raw.points_px[10], raw.mirrored_px[10] = np.nan, np.nan
    found = check_poses(raw, SIZE_PX)
    assert {_reason(found, 10, key) for key in KEYS} == {"nobody"}
    assert np.isnan(found.xy_px[10]).all()
    assert np.delete(found.is_believed, 10, axis=0).all()
    nobody = RawPoses(
        frames=np.arange(2),
        points_px=np.full((2, N_POINTS, 2), np.nan),
        mirrored_px=np.full((2, N_POINTS, 2), np.nan),
        peaks=np.full((2, N_POINTS), np.nan),
        pixel_px=np.full(2, np.nan),
    )
    assert not check_poses(nobody, SIZE_PX).is_believed.any()


LEGS = [25, 27, 29, 31]


def _changed(points, frames):
    left, right = np.array(LEGS), np.array(LEGS) + 1
    rows = np.asarray(frames)[:, None]
    points[rows, left], points[rows, right] = points[rows, right], points[rows, left].copy()


def test_legs_that_change_sides_for_some_frames_are_put_right():
    truth, raw = _raw(), _raw()
    for answer in (raw.points_px, raw.mirrored_px):
        _changed(answer, range(12, 16))
    found = check_poses(raw, SIZE_PX)
    assert found.is_believed.all()
    assert np.allclose(found.xy_px, landmarks_of(truth.points_px))


def test_legs_that_change_sides_and_stay_so_are_asked_about():
    raw = _raw()
    for answer in (raw.points_px, raw.mirrored_px):
        _changed(answer, range(20, N))
    found = check_poses(raw, SIZE_PX)
    assert {_reason(found, frame, "left_knee") for frame in range(20, N)} == {"sides"}
    assert found.is_believed[:20].all()
    assert found.is_believed[:, ROW["left_wrist"]].all()


@pytest.mark.parametrize("is_swapped", [False, True])
def test_a_question_of_sides_is_one_stretch_and_what_was_answered_is_believed(is_swapped):
    truth, raw = _raw(), _raw()
    for answer in (raw.points_px, raw.mirrored_px):
        _changed(answer, range(20, N))
    # frames of a clip of which every second was looked at
    raw = replace(raw, frames=100 + 2 * np.arange(N))
    (question,) = check_poses(raw, SIZE_PX).side_questions
    assert question == SideQuestion(limb="leg", first_frame=140, last_frame=158)
    said = SideAnswer(question=question, is_swapped=is_swapped)
    found = check_poses(raw, SIZE_PX, side_answers=[said])
    assert found.side_questions == ()
    # taken as it was, it jumps where the stretch begins
    assert found.is_believed[21:, ROW["left_knee"]].all()
    assert found.is_believed[20, ROW["left_knee"]] == is_swapped
    right = landmarks_of((truth if is_swapped else raw).points_px)
    assert np.allclose(found.xy_px[20:], right[20:])


def test_a_course_is_held_against_the_frames_own_distances():
    raw = _raw()
    # left out frames beside one: that one lies nearer to the one before
    keep = np.delete(np.arange(N), [11, 12, 13, 14, 15, 16, 17, 18])
    thinned = RawPoses(
        frames=keep, points_px=5.0 * raw.points_px[keep], mirrored_px=5.0 * raw.mirrored_px[keep],
        peaks=raw.peaks[keep], pixel_px=raw.pixel_px[keep],
    )  # fmt: skip
    assert check_poses(thinned, (5 * SIZE_PX[0], 5 * SIZE_PX[1])).is_believed.all()


def test_a_mirrored_picture_with_the_legs_the_other_way_round_is_asked_about():
    raw = _raw()
    _changed(raw.mirrored_px, [10])
    found = check_poses(raw, SIZE_PX)
    assert {_reason(found, 10, f"{side}_ankle") for side in ("left", "right")} == {"sides"}
    assert found.is_believed[10, ROW["left_wrist"]]


def test_where_arms_may_have_changed_sides_the_shoulders_wait_too():
    raw = _raw()
    arms = np.array([13, 15, 17, 19])
    for answer in (raw.points_px, raw.mirrored_px):
        rows = np.arange(20, N)[:, None]
        answer[rows, arms], answer[rows, arms + 1] = (
            answer[rows, arms + 1],
            answer[rows, arms].copy(),
        )
    found = check_poses(raw, SIZE_PX)
    for key in ("left_wrist", "right_elbow", "left_shoulder", "right_shoulder"):
        assert {_reason(found, frame, key) for frame in range(20, N)} == {"sides"}
    assert found.is_believed[:, ROW["left_hip"]].all()


def test_a_hip_waits_where_its_thigh_points_at_the_camera():
    raw = _raw()
    for answer in (raw.points_px, raw.mirrored_px):
        answer[:, 25] = answer[:, 23] + [0.0, 0.4 * TORSO_PX]
    found = check_poses(raw, SIZE_PX)
    assert {_reason(found, frame, "left_hip") for frame in range(N)} == {"length"}
    assert found.is_believed[:, ROW["right_hip"]].all()


@pytest.mark.parametrize("seed", [1, 2, 5])
def test_hands_that_change_sides_are_seen_also_where_the_elbows_tell_nothing(seed):
    raw = _raw()
    hands = np.array([15, 17, 19])
    turns = -np.pi / 2 + np.random.default_rng(seed).uniform(-0.7, 0.7, (N, 2))
    away = 0.5 * TORSO_PX * np.stack([np.cos(turns), np.sin(turns)], axis=-1)
    for answer in (raw.points_px, raw.mirrored_px):
        # in front of the body, so near to each other that the elbows outweigh them
        answer[:, hands, 0] -= 0.35 * TORSO_PX
        answer[:, hands + 1, 0] += 0.35 * TORSO_PX
        rows = np.arange(22, N)[:, None]
        answer[rows, hands], answer[rows, hands + 1] = (
            answer[rows, hands + 1],
            answer[rows, hands].copy(),
        )
        # elbows anywhere above the wrists that arms reach; no map shows them
        answer[:, [13, 14]] = answer[:, [15, 16]] + away
    raw.peaks[:, [13, 14]] = 0.1
    found = check_poses(raw, SIZE_PX)
    assert all(_reason(found, frame, "left_wrist") != "sides" for frame in range(20))
    assert {_reason(found, frame, "left_wrist") for frame in range(22, N)} == {"sides"}
