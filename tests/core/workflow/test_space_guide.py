from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.model.track import Position, Track
from deliverylab.core.workflow.space_guide import BEYOND_CHANCE, guides
from tests.core.metrics.solved import solved_delivery


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(3)


def _with_track(delivery, camera, landmark, track):
    """Return the delivery with another track of a landmark in one clip."""
    cameras = tuple(
        msgspec.structs.replace(each, tracks=each.tracks | {landmark: track})
        if each.name == camera
        else each
        for each in delivery.cameras
    )
    return msgspec.structs.replace(delivery, cameras=cameras)


def _moved(delivery, camera, landmark, frame, dy_px):
    track = delivery.camera(camera).track(landmark)
    places = [
        (int(each), Position(float(x), float(y) + (dy_px if each == frame else 0.0)))
        for each, (x, y) in zip(track.frames, track.xy_px, strict=True)
    ]
    return _with_track(delivery, camera, landmark, Track.of(places))


@pytest.mark.parametrize("camera", ["open-side", "rear"])
def test_what_is_placed_lies_on_the_line_within_its_u(solved, camera):
    ratios = []
    for frame in range(40, 320, 20):
        for landmark in ("left_hand", "right_knee", "left_hip", "right_toe"):
            (guide,) = guides(solved.delivery, camera, frame, landmark)
            assert guide.other != camera
            ratios.append(guide.gap_px / guide.u_gap_px)
    # the solve has fitted the cameras to these very lines of sight, so they lie nearer than their u
    # (0.71 and 0.64 of it)
    assert 0.4 < np.sqrt(np.mean(np.square(ratios))) < 1.0
    assert np.mean(np.array(ratios) > BEYOND_CHANCE) < 0.02


def test_the_true_place_lies_within_the_band(solved):
    """At the joint's true place in this picture the line passes by no farther than it says."""
    ratios = []
    for frame in range(60, 300, 30):
        for landmark in ("left_hand", "right_knee", "left_shoulder", "right_hip"):
            (guide,) = guides(solved.delivery, "rear", frame, landmark)
            start_s = solved.starts_s[1] + solved.filmed.offsets_s[1]
            place = solved.truth.motion.positions_at(np.array([start_s + frame / 240]))[landmark]
            seen = solved.filmed.cameras[1].project(place[0])
            along = guide.ends_px[1] - guide.ends_px[0]
            normal = np.array([-along[1], along[0]]) / np.hypot(*along)
            ratios.append(float((seen - guide.ends_px[0]) @ normal / guide.u_px.mean()))
    # one solve is one draw of its cameras, and a landmark one of its constant part: 0.57 to 1.16 over
    # seven deliveries
    assert 0.4 < np.sqrt(np.mean(np.square(ratios))) < 1.3


def test_a_wrong_click_is_beyond_chance_in_both_clips(solved):
    wrong = _moved(solved.delivery, "rear", "right_knee", 200, 40.0)
    (guide,) = guides(wrong, "rear", 200, "right_knee")
    assert guide.is_beyond_chance
    # it lay 3 px above the line, which is 10° off level, before it was moved down
    assert guide.gap_px == pytest.approx(40.0, abs=5.0)
    assert guide.placed_px - guide.foot_px == pytest.approx([0.0, guide.gap_px], abs=8.0)


def test_before_it_is_placed_there_is_the_line_alone(solved):
    bare = _with_track(solved.delivery, "rear", "right_knee", Track.of([]))
    (guide,) = guides(bare, "rear", 200, "right_knee")
    assert guide.placed_px is None
    assert np.isnan(guide.gap_px)
    assert not guide.is_beyond_chance
    assert not guides(bare, "open-side", 200, "right_knee"), "the other clip shows nothing now"


def test_a_less_sure_clock_makes_the_line_of_a_fast_hand_less_sure(solved):
    space = solved.delivery.space
    covariance = np.array(space.covariance)
    covariance[-1, -1] += 0.005**2
    late = msgspec.structs.replace(
        solved.delivery,
        space=msgspec.structs.replace(space, covariance=tuple(map(tuple, covariance.tolist()))),
    )
    release = round(solved.delivery.cameras[0].marks["release"].time_s * 240) - 4

    def widened(landmark):
        (before,) = guides(solved.delivery, "open-side", release, landmark)
        (after,) = guides(late, "open-side", release, landmark)
        return float(np.sqrt(np.mean(after.u_px**2 - before.u_px**2)))

    assert widened("left_hand") > 5.0
    assert widened("left_hand") > 5.0 * widened("right_ankle")


def test_there_is_no_line_without_a_solve_or_for_the_ball(solved):
    unsolved = msgspec.structs.replace(solved.delivery, space=None)
    assert guides(unsolved, "rear", 200, "right_knee") == ()
    assert guides(solved.delivery, "rear", 200, "ball") == ()
    assert guides(solved.delivery, "rear", 200, "") == ()
