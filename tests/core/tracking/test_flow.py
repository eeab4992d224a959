"""Points followed through pictures whose motion is known."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.tracking.flow import LOST_REASONS, MOST_U_SHARE, Anchors, follow
from tests.core.tracking.sliding import SIZE_PX, curved, sliding

N = 40
PATH = curved(N)


def anchors(rows, path=PATH, *, u_px=0.5, off=0.0):
    rows = np.asarray(rows)
    return Anchors(frames=rows, xy_px=path[rows] + off, u_px=np.full(len(rows), u_px))


def followed(points, pictures=None, frames=None, **how):
    shown = sliding(PATH, noise_levels=2.0) if pictures is None else pictures
    return follow(shown, points, range(N) if frames is None else frames, size_px=SIZE_PX, **how)


def test_a_printed_patch_is_followed_between_two_places():
    course = followed({"knee": anchors([0, N - 1])})["knee"]
    assert course.frames.tolist() == list(range(N))
    assert not course.lost.any()
    assert np.abs(course.xy_px - PATH).max() < 0.5
    # anchors come back as they are, and u is largest far from them
    assert course.xy_px[[0, -1]].tolist() == PATH[[0, -1]].tolist()
    assert course.u_px[[0, -1]].tolist() == [0.5, 0.5]
    assert course.u_px.argmax() in range(12, 28)


def test_any_point_of_the_patch_keeps_its_place_on_it():
    off = np.array([18.0, -12.0])
    course = followed({"a": anchors([5, 30], off=off)})["a"]
    seen = course.lost == 0
    assert seen[5:31].all()
    assert np.abs(course.xy_px[seen] - (PATH + off)[seen]).max() < 0.8


def test_beyond_the_last_place_u_grows_until_it_is_lost():
    long = np.repeat(curved(30), 8, axis=0)[:200]
    pictures = sliding(long, noise_levels=6.0)
    course = follow(pictures, {"a": anchors([20], long)}, range(200), size_px=40.0)["a"]
    after = course.u_px[20:]
    known = np.isfinite(after)
    assert np.all(np.diff(after[known]) > 0.0)
    assert np.nanmax(after) <= MOST_U_SHARE * 40.0
    lost = course.lost[20:]
    assert LOST_REASONS[lost[-1]] == "far"
    assert np.isnan(course.xy_px[20:][lost > 0]).all()


def test_places_that_the_pictures_contradict_are_not_followed_between():
    # the second place lies on the still ground: nothing in the pictures leads there
    wrong = Anchors(
        frames=np.array([0, N - 1]), xy_px=np.array([PATH[0], [90.0, 60.0]]), u_px=np.full(2, 0.5)
    )
    course = followed({"a": wrong})["a"]
    middle = course.lost[10:30]
    assert {LOST_REASONS[number] for number in middle} == {"disagrees"}


def test_where_nothing_is_printed_it_says_that_the_picture_is_faint():
    flat = np.full((360, 480), 120, np.uint8)
    course = followed({"a": anchors([0, N - 1])}, pictures=lambda _frame: flat)["a"]
    assert LOST_REASONS[course.lost[20]] == "faint"


def test_a_frame_that_cannot_be_read_is_lost_alone():
    shown = sliding(PATH)
    course = followed(
        {"a": anchors([0, N - 1])}, pictures=lambda frame: None if frame == 17 else shown(frame)
    )["a"]
    assert LOST_REASONS[course.lost[17]] == "no picture"
    assert not course.lost[[15, 19]].any()
    assert np.nanmax(np.abs(course.xy_px - PATH)) < 1.0


def test_frames_are_those_given_and_anchors_outside_do_not_count():
    frames = [frame for frame in range(5, 35) if frame not in (9, 20)]
    found = followed({"a": anchors([0, 12, 30]), "b": anchors([0, 39])}, frames=frames)
    assert set(found) == {"a"}
    assert found["a"].frames.tolist() == frames
    assert np.nanmax(np.abs(found["a"].xy_px - PATH[frames])) < 0.8


@pytest.mark.parametrize("frames", [[], [3]])
def test_nothing_to_go_through_gives_nothing(frames):
    assert followed({"a": anchors([3])}, frames=frames) == {}


def test_stopping_gives_nothing_and_progress_ends_at_one():
    asked = iter([False] * 30 + [True] * 500)
    assert followed({"a": anchors([0, 39])}, is_cancelled=lambda: next(asked)) == {}
    shares = []
    followed({"a": anchors([0, 39])}, progress=shares.append)
    assert shares[-1] == pytest.approx(1.0)


def test_u_is_honest_on_a_sliding_patch():
    rng = np.random.default_rng(4)
    squares = []
    for seed in range(4):
        shown = sliding(PATH, noise_levels=4.0, seed=10 + seed)
        scattered = Anchors(
            frames=np.array([0, 20, 39]),
            xy_px=PATH[[0, 20, 39]] + rng.normal(0.0, 1.2, (3, 2)),
            u_px=np.full(3, 1.2),
        )
        course = followed({"a": scattered}, pictures=shown)["a"]
        squares.append(np.nanmean((course.xy_px - PATH) ** 2, axis=1) / course.u_px**2)
    # an easy case: what may slide or turn is in u, and does not happen here
    assert 0.3 < np.nanmean(squares) < 1.3
