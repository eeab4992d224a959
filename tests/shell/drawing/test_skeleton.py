from __future__ import annotations

from itertools import pairwise

import pytest
from PySide6.QtGui import QColor, QImage, QPainter

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.skeleton import (
    SkeletonLook,
    StagePoint,
    hidden_keys,
    marker_brush,
    paint_skeleton,
)
from deliverylab.shell.drawing.view_transform import ViewTransform

pytestmark = pytest.mark.usefixtures("qapp")
VIEW = ViewTransform(frame_width=400, frame_height=400, width=400.0, height=400.0).fitted()
SOLID = SkeletonLook()
ARM = {
    "right_shoulder": StagePoint(100, 100),
    "right_elbow": StagePoint(100, 300),
    "left_shoulder": StagePoint(300, 100),
    "left_elbow": StagePoint(300, 300),
}


def painted(points, hand="right", look=SOLID) -> QImage:
    image = QImage(400, 400, QImage.Format.Format_RGB32)
    image.fill(0)
    painter = QPainter(image)
    paint_skeleton(painter, points, VIEW, hand, look)
    painter.end()
    return image


def colour_at(image: QImage, x: float, y: float) -> QColor:
    place = VIEW.to_widget(x, y)
    return image.pixelColor(int(place.x()), int(place.y()))


def test_the_throwing_arm_is_amber_and_the_other_teal_whichever_hand_throws():
    for hand, throwing_x, glove_x in (("right", 100, 300), ("left", 300, 100)):
        image = painted(ARM, hand)
        assert colour_at(image, throwing_x, 200) == palette.THROWING
        assert colour_at(image, glove_x, 200) == palette.GLOVE


def test_legs_go_with_the_arm_of_their_side():
    assert palette.side_of("right_knee", "right") == "throwing"
    assert palette.side_of("left_knee", "right") == "glove"
    assert palette.side_of("head_top", "right") == "middle"


def test_sides_are_told_apart_by_shape_too():
    image = painted({"right_elbow": StagePoint(100, 300), "left_elbow": StagePoint(300, 300)})
    corner = 4.0 / VIEW.zoom
    assert colour_at(image, 100 + corner, 300 + corner) == palette.THROWING, "a square's corner"
    assert colour_at(image, 300 + corner, 300 + corner) != palette.GLOVE, "a circle has none"


def test_the_fill_tells_where_a_point_came_from():
    fills = {
        state: marker_brush(palette.GLOVE, state, is_open=False).getRgb()
        for state in ("placed", "tracked", "detected")
    }
    assert len(set(fills.values())) == 3
    assert fills["placed"][3] == 255
    for state in ("placed", "tracked", "detected", "filled"):
        assert marker_brush(palette.GLOVE, state, is_open=True).alpha() < 100, "the joint is seen"


def test_the_model_has_one_hue_and_gaps():
    image = painted(ARM, look=SkeletonLook(style="model", is_ghost=True))
    along = [colour_at(image, 100, y / 4) for y in range(440, 1160)]
    assert palette.MODEL in along
    assert palette.THROWING not in along
    # dashes: hue and gap alternate
    is_hue = [colour == palette.MODEL for colour in along]
    n_changes = sum(a != b for a, b in pairwise(is_hue))
    assert n_changes > 6


def test_hidden_landmarks_are_named_and_not_drawn():
    nan = float("nan")
    points = {**ARM, "left_elbow": StagePoint(nan, nan, "hidden")}
    assert hidden_keys(points) == ("left_elbow",)
    assert colour_at(painted(points), 300, 200) == QColor(0, 0, 0)


def test_a_lone_midpoint_needs_both_its_ends():
    spine = {
        "left_shoulder": StagePoint(190, 100),
        "right_shoulder": StagePoint(210, 100),
        "left_hip": StagePoint(190, 300),
        "right_hip": StagePoint(210, 300),
    }
    assert colour_at(painted(spine), 200, 200) == palette.MIDDLE
    del spine["left_hip"]
    assert colour_at(painted(spine), 200, 200) == QColor(0, 0, 0)
