from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.model.track import Position, Track
from deliverylab.shell import stage_content
from tests.shell.conftest import SCALE, camera_of, delivery_of, figure_tracks


def test_points_carry_their_origin_and_hidden_ones_no_place():
    tracks = {"left_knee": Track.of([(5, Position(10.5, 20.25, None, "tracked"))])}
    camera = camera_of(tracks=tracks, occluded={"left_toe": (5,)})
    points = stage_content.frame_points(camera, 5)
    assert points["left_knee"] == (10.5, 20.25, "tracked")
    assert points["left_toe"][2] == "hidden"
    assert set(points) == {"left_knee", "left_toe"}
    assert stage_content.frame_points(camera, 6) == {}


def test_the_ground_is_where_the_feet_are():
    camera = camera_of(tracks=figure_tracks([3, 9]), scale=SCALE)
    assert stage_content.ground_y_px(camera) == 620.0
    assert stage_content.ground_y_px(camera_of()) is None


def test_the_scale_is_shown_in_the_readers_unit():
    camera = camera_of(scale=SCALE)
    assert stage_content.scale_line(camera, 0, "metric")[0].text == "1.50 m"
    assert stage_content.scale_line(camera, 0, "imperial")[0].text.endswith("in")
    assert stage_content.scale_line(camera_of(), 0, "metric") == ()


def test_a_scale_that_follows_from_solved_cameras_is_no_line_that_somebody_clicked():
    solved = msgspec.structs.replace(SCALE, is_solved=True)
    assert stage_content.scale_line(camera_of(scale=solved), 0, "metric") == ()


def test_the_body_is_framed_with_room_around_it_and_without_the_ball():
    tracks = figure_tracks([3, 9])
    tracks["ball"] = Track.of([(9, Position(1270.0, 30.0))])
    area = stage_content.body_area(camera_of(tracks=tracks))
    assert area.right() < 1000
    for key, track in tracks.items():
        if key != "ball":
            for x_px, y_px in track.xy_px:
                assert area.left() < x_px < area.right()
                assert area.top() < y_px < area.bottom()
    assert stage_content.body_area(camera_of()) is None


def test_the_facts_say_who_and_how_it_was_filmed():
    delivery = delivery_of("Kim 2", hand="left", scale=SCALE)
    text = stage_content.facts_text(delivery, delivery.camera(), is_mirrored=True, system="metric")
    assert text == "left-handed, drawn mirrored · open side · 240 a second · from 10.0 m"
    renamed = msgspec.structs.replace(delivery, name="third visit")
    text = stage_content.facts_text(renamed, delivery.camera(), is_mirrored=False, system="metric")
    assert text.endswith(" · Kim")
    slow = msgspec.structs.replace(delivery.camera().timing, capture_rate_hz=480.0)
    camera = msgspec.structs.replace(delivery.camera(), timing=slow, scale=None)
    text = stage_content.facts_text(delivery, camera, is_mirrored=False, system="metric")
    assert text == "left-handed · open side · 480 a second"


@pytest.mark.parametrize(("key", "name"), [("foot_contact", "foot contact"), ("", "")])
def test_events_have_names(key, name):
    assert stage_content.event_name(key) == name
