from __future__ import annotations

import pytest

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import Project
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.workflow.placing_guess import (
    frames_to_next_placed,
    guess,
    mirrored,
    swap_change,
)


def _track(*places, origin="placed", u_px=None):
    return Track.of((frame, Position(x, y, u_px, origin)) for frame, x, y in places)


def _camera(tracks=None, **parts):
    timing = Timing(n_frames=100, stored_rate="100")
    usual = {"name": "main", "view": "open-side", "width_px": 640, "height_px": 480}
    return Camera(**usual, timing=timing, tracks=tracks or {}, **parts)


def test_between_two_frames_it_lies_on_the_line():
    camera = _camera({"neck": _track((10, 100.0, 50.0), (20, 200.0, 70.0), (90, 0.0, 0.0))})
    assert guess(camera, "neck", 12) == (120.0, 54.0, "between")


def test_its_own_position_in_the_frame_is_not_asked():
    camera = _camera({"neck": _track((10, 100.0, 50.0), (15, 600.0, 400.0), (20, 200.0, 70.0))})
    assert guess(camera, "neck", 15) == (150.0, 60.0, "between")


@pytest.mark.parametrize(("frame", "x_px"), [(3, 100.0), (60, 200.0)])
def test_beyond_them_it_is_copied_from_the_nearest(frame, x_px):
    camera = _camera({"neck": _track((10, 100.0, 50.0), (20, 200.0, 50.0))})
    assert guess(camera, "neck", frame) == (x_px, 50.0, "copied")


def test_what_is_placed_in_the_frame_already_takes_it_along():
    tracks = {
        "neck": _track((10, 100.0, 50.0)),
        "head_top": _track((10, 100.0, 20.0), (30, 180.0, 30.0)),
        "left_shoulder": _track((10, 110.0, 60.0), (30, 194.0, 74.0)),
        "ball": _track((10, 100.0, 50.0), (30, 600.0, 400.0)),
    }
    # moved by (80, 10) and (84, 14), the ball aside
    assert guess(_camera(tracks), "neck", 30) == (182.0, 62.0, "copied")


def test_it_stays_in_the_picture():
    tracks = {
        "neck": _track((10, 600.0, 470.0)),
        "head_top": _track((10, 100.0, 20.0), (30, 300.0, 200.0)),
    }
    x_px, y_px, _ = guess(_camera(tracks), "neck", 30)
    assert (x_px, y_px) == (639.5, 479.5)


def test_without_any_other_frame_it_is_a_place_to_begin_at():
    assert guess(_camera(), "left_knee", 5) == (320.0, 240.0, "start")
    elsewhere = _camera({"head_top": _track((5, 11.0, 12.0))})
    assert guess(elsewhere, "left_knee", 5) == (11.0, 12.0, "start")
    beside = {"head_top": _track((5, 11.0, 12.0)), "left_hip": _track((5, 70.0, 80.0))}
    assert guess(_camera(beside), "left_knee", 5) == (70.0, 80.0, "start")
    pair = {**beside, "right_knee": _track((5, 90.0, 99.0))}
    assert guess(_camera(pair), "left_knee", 5) == (90.0, 99.0, "start")


def test_a_landmark_of_one_side_has_another():
    assert mirrored("left_knee") == "right_knee"
    assert mirrored("right_hand") == "left_hand"
    assert mirrored("neck") == mirrored("ball") == ""


@pytest.fixture
def swapped():
    """A function that swaps in a project and returns the camera before, after and undone."""

    def swap(camera, key, frames):
        project = Project()
        owner = Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(camera,))
        project.apply(SetDelivery(name="one", delivery=owner))
        change = swap_change(owner, camera, key, frames)
        inverse = project.apply(change)
        after = project.camera("one", "main")
        project.apply(inverse)
        assert project.camera("one", "main") == camera
        return after

    return swap


def test_a_pair_is_exchanged_with_its_u_and_origin(swapped):
    left = _track((5, 1.0, 2.0), (6, 3.0, 4.0), origin="tracked", u_px=0.7)
    right = _track((5, 9.0, 8.0), (7, 6.0, 6.0))
    after = swapped(_camera({"left_knee": left, "right_knee": right}), "right_knee", [5, 6])
    assert after.track("left_knee").at(5) == Position(9.0, 8.0)
    assert after.track("right_knee").at(5) == Position(1.0, 2.0, 0.7, "tracked")
    assert after.track("left_knee").at(6) is None
    assert after.track("right_knee").at(6) == Position(3.0, 4.0, 0.7, "tracked")
    assert after.track("right_knee").at(7) == Position(6.0, 6.0)


def test_what_is_hidden_goes_along(swapped):
    camera = _camera({"left_knee": _track((5, 1.0, 2.0))}, occluded={"right_knee": (5,)})
    after = swapped(camera, "left_knee", [5])
    assert after.track("right_knee").at(5) == Position(1.0, 2.0)
    assert after.track("left_knee").at(5) is None
    assert after.is_occluded("left_knee", 5)
    assert not after.is_occluded("right_knee", 5)


def test_nothing_is_exchanged_where_nothing_is_there():
    owner = Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(_camera(),))
    assert swap_change(owner, _camera(), "left_knee", [5]) is None
    assert swap_change(owner, _camera({"neck": _track((5, 1.0, 2.0))}), "neck", [5]) is None


def test_a_stretch_ends_before_the_next_placed_by_hand():
    tracks = {
        "left_knee": _track(*((frame, 1.0, 2.0) for frame in range(30)), origin="tracked"),
        "right_knee": _track((0, 1.0, 2.0), (8, 1.0, 2.0), (20, 1.0, 2.0)),
    }
    assert frames_to_next_placed(_camera(tracks), "left_knee", 3) == (3, 4, 5, 6, 7)
    assert frames_to_next_placed(_camera(tracks), "left_knee", 8) == tuple(range(8, 20))
    assert frames_to_next_placed(_camera(tracks), "left_knee", 20)[-1] == 99
