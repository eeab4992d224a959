from __future__ import annotations

import math

import msgspec
import numpy as np
import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import EMPTY_TRACK, Position, Track


def _camera(**parts):
    usual = {
        "name": "main",
        "view": "open-side",
        "width_px": 640,
        "height_px": 480,
        "timing": Timing(n_frames=100, stored_rate="100"),
    }
    return Camera(**(usual | parts))


def _delivery(*cameras, hand="right"):
    return Delivery(name="one", athlete=Athlete(name="Ana", hand=hand), cameras=cameras)


def test_a_mark_is_uncertain_by_an_interval_over_root_twelve():
    camera = _camera(marks={"release": Mark(time_s=0.5)})
    # a rectangular distribution of width T has the standard deviation T/√12 (JCGM 100, 4.3.7)
    assert camera.u_mark_s("release") == pytest.approx(0.01 / math.sqrt(12))
    spread = np.random.default_rng(1).uniform(0.0, 0.01, 200_000).std()
    # four standard errors of a simulated standard deviation are half a per cent of it
    assert camera.u_mark_s("release") == pytest.approx(spread, rel=0.005)


def test_a_mark_said_to_be_vaguer_is_and_repeats_double_the_interval():
    vague = _camera(marks={"release": Mark(time_s=0.5, u_s=0.02)})
    assert vague.u_mark_s("release") == 0.02
    repeats = _camera(marks={"release": Mark(time_s=0.5)}, duplicate_frames=(7,))
    assert repeats.u_mark_s("release") == pytest.approx(0.02 / math.sqrt(12))


def test_the_uncertainty_of_a_mark_is_on_the_clips_own_clock():
    timing = Timing(n_frames=100, stored_rate="30", capture_rate_hz=240.0)
    camera = _camera(timing=timing, marks={"release": Mark(time_s=0.5)})
    assert camera.u_mark_s("release") == pytest.approx(1 / 30 / math.sqrt(12))


@pytest.mark.parametrize(("last_frame", "end"), [(None, 99), (50, 50), (500, 99)])
def test_the_trim_ends_within_the_clip(last_frame, end):
    assert _camera(last_frame=last_frame).end_frame == end


def test_tracks_and_hidden_frames_are_found():
    track = Track.of([(3, Position(1.0, 2.0))])
    camera = _camera(tracks={"ball": track}, occluded={"left_knee": (4,)})
    assert camera.track("ball") is track
    assert camera.track("neck") is EMPTY_TRACK
    assert camera.is_occluded("left_knee", 4)
    assert not camera.is_occluded("left_knee", 5)
    assert not camera.is_occluded("ball", 4)


def test_a_camera_is_found_by_name_or_the_first_is_taken():
    delivery = _delivery(_camera(), _camera(name="rear", view="rear"))
    assert delivery.camera().name == "main"
    assert delivery.camera("rear").view == "rear"
    with pytest.raises(NotFoundError, match="the cameras are: main, rear"):
        delivery.camera("top")
    with pytest.raises(NotFoundError, match="none yet"):
        _delivery().camera()


@pytest.mark.parametrize(
    ("view", "hand", "chosen", "side"),
    [
        ("open-side", "right", None, "right"),
        ("open-side", "left", None, "left"),
        ("closed-side", "right", None, "left"),
        ("open-side", "right", "left", "left"),
        ("rear", "right", None, None),
        ("rear", "right", "left", None),
    ],
)
def test_the_plate_lies_where_the_user_says_or_view_and_hand_put_it(view, hand, chosen, side):
    scale = PlanarScale(a=Point(0.0, 0.0), b=Point(100.0, 0.0), length_m=1.0, toward_plate=chosen)
    camera = _camera(view=view, scale=scale)
    assert _delivery(camera, hand=hand).plate_side(camera) == side
    without = msgspec.structs.replace(camera, scale=None)
    if chosen is None:
        assert _delivery(without, hand=hand).plate_side(without) == side


def test_values_are_frozen():
    camera = _camera()
    with pytest.raises(AttributeError):
        camera.view = "rear"
    with pytest.raises(AttributeError):
        _delivery(camera).name = "two"
