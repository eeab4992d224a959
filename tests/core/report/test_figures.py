from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.model.track import Position, Track
from deliverylab.core.report.figures import (
    STRIP_EVENTS,
    Bone,
    Box,
    Figure,
    Joint,
    camera_pair,
    event_figure,
    event_figures,
    is_mirrored,
    points_at,
    skeleton,
    windows,
)

replace = msgspec.structs.replace


def _figure(left, top, right, bottom, size=(1280, 720)):
    joints = (Joint("throwing", left, top), Joint("glove", right, bottom))
    return Figure(picture=None, width_px=size[0], height_px=size[1], joints=joints)


def test_the_strip_has_the_marked_events_in_their_order(athlete, model, frame_source):
    strip = event_figures(athlete, model, frame_source)
    assert tuple(event.key for event in strip) == STRIP_EVENTS
    assert all(event.athlete.picture is not None for event in strip)
    assert all(len(event.model.joints) == 20 for event in strip)


def test_without_clips_the_skeletons_remain(athlete, model):
    strip = event_figures(athlete, model)
    assert all(event.athlete.picture is None and event.athlete.bones for event in strip)


def test_an_event_marked_in_neither_is_left_out(athlete, model):
    def without(delivery, *keys):
        camera = delivery.cameras[0]
        marks = {key: mark for key, mark in camera.marks.items() if key not in keys}
        return replace(delivery, cameras=(replace(camera, marks=marks),))

    strip = event_figures(
        without(athlete, "full_layback", "release"), without(model, "full_layback")
    )
    assert [event.key for event in strip] == ["leg_lift", "foot_contact", "release"]
    assert strip[-1].athlete is None
    assert strip[-1].model is not None


def test_an_event_with_neither_picture_nor_points_is_nothing(athlete):
    bare = replace(athlete.cameras[0], tracks={})
    assert event_figure(replace(athlete, cameras=(bare,)), bare, "release") is None


def test_sides_follow_the_throwing_hand():
    points = {
        "left_shoulder": (0.0, 0.0),
        "left_elbow": (1.0, 0.0),
        "right_shoulder": (0.0, 2.0),
        "neck": (5.0, 5.0),
    }
    bones, joints = skeleton(points, "left")
    assert Bone("throwing", 0.0, 0.0, 1.0, 0.0) in bones
    assert Bone("middle", 0.0, 0.0, 0.0, 2.0) in bones
    assert {joint.side for joint in joints} == {"throwing", "glove", "middle"}
    mirrored, _ = skeleton(points, "right")
    assert Bone("glove", 0.0, 0.0, 1.0, 0.0) in mirrored


def test_the_trunk_runs_between_the_midpoints():
    points = {
        "left_shoulder": (0.0, 0.0),
        "right_shoulder": (2.0, 0.0),
        "left_hip": (0.0, 4.0),
        "right_hip": (4.0, 4.0),
    }
    bones, _ = skeleton(points, "right")
    assert Bone("middle", 1.0, 0.0, 2.0, 4.0) in bones


def test_points_between_close_frames_are_interpolated(athlete):
    track = Track.of([(10, Position(0.0, 0.0)), (12, Position(4.0, 8.0)), (30, Position(9.0, 9.0))])
    camera = replace(athlete.cameras[0], tracks={"neck": track, "ball": track})
    assert points_at(camera, 10) == {"neck": (0.0, 0.0)}
    assert points_at(camera, 11) == {"neck": (2.0, 4.0)}
    assert points_at(camera, 20) == {}
    assert points_at(camera, 31) == {}


def test_opposite_hands_from_the_open_side_are_mirrored(athlete, model):
    (mine,), (other,) = athlete.cameras, model.cameras
    assert is_mirrored(athlete, mine, model, other)
    assert not is_mirrored(model, other, model, other)
    behind = replace(mine, view="rear"), replace(other, view="rear")
    assert is_mirrored(athlete, behind[0], model, behind[1])
    assert not is_mirrored(model, behind[1], model, behind[1])


def test_the_pair_of_cameras_shares_a_view(athlete, model):
    rear = replace(athlete.cameras[0], name="rear", view="rear")
    two = replace(athlete, cameras=(rear, athlete.cameras[0]))
    mine, other = camera_pair(two, model)
    assert (mine.view, other.view) == ("open-side", "open-side")
    mine, _ = camera_pair(replace(athlete, cameras=(rear,)), model)
    assert mine.view == "rear"


def test_a_mirrored_figure_keeps_points_on_their_pixels():
    picture = np.zeros((4, 10, 3), dtype=np.uint8)
    picture[2, 3] = 255
    figure = Figure(
        picture=picture, width_px=10, height_px=4, joints=(Joint("glove", 3.0, 2.0),)
    ).mirrored()
    (joint,) = figure.joints
    assert figure.picture[int(joint.y), int(joint.x)].tolist() == [255, 255, 255]
    assert figure.mirrored().joints == (Joint("glove", 3.0, 2.0),)


@pytest.mark.parametrize("aspect", [0.6, 1.0, 1.8])
def test_windows_hold_every_body_at_one_scale(aspect):
    figures = [_figure(500, 200, 600, 500), _figure(400, 300, 760, 520), None]
    boxes = windows(figures, aspect)
    assert len({round(box.width, 6) for box in boxes}) == 1
    assert all(box.width / box.height == pytest.approx(aspect) for box in boxes)
    for figure, box in zip(figures[:2], boxes[:2], strict=True):
        assert box.left < figure.focus.left
        assert box.right > figure.focus.right
        assert box.top < figure.focus.top
        assert box.bottom > figure.focus.bottom


def test_a_window_near_the_edge_stays_in_the_frame():
    (box,) = windows([_figure(2, 300, 60, 500)], 1.0)
    assert box.left == -0.5
    assert box.right < 1280


def test_a_window_larger_than_the_frame_is_centred_on_it():
    (box,) = windows([_figure(0, 0, 99, 199, size=(100, 200))], 3.0)
    assert box.left + box.right == pytest.approx(99.0)


def test_figures_without_points_show_the_whole_frame():
    figure = Figure(picture=None, width_px=200, height_px=100)
    assert windows([figure], 2.0) == [Box(-0.5, -0.5, 199.5, 99.5)]
    assert figure.focus is None
    assert len(windows([None], 1.0)) == 1
