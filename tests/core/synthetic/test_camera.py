from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.synthetic.camera import camera_for_view


def test_plane_square_to_the_camera_is_a_pure_scale():
    camera = camera_for_view("open-side", "right", distance_m=10.0, focal_px=1000.0)
    points = np.array([[0.9, 0.0, 1.1], [1.9, 0.0, 1.1], [0.9, 0.0, 2.1]])
    # 1000 px at 10 m: 100 px a metre; the middle of 1280 x 720 with pixel centres at integers
    assert camera.project(points) == pytest.approx(
        np.array([[639.5, 359.5], [739.5, 359.5], [639.5, 259.5]])
    )


@pytest.mark.parametrize(
    ("view", "hand", "side"),
    [
        ("open-side", "right", 1),
        ("open-side", "left", -1),
        ("closed-side", "right", -1),
        ("closed-side", "left", 1),
    ],
)
def test_plate_lies_where_the_view_puts_it(view, hand, side):
    camera = camera_for_view(view, hand, distance_m=8.0)
    rubber, ahead = camera.project(np.array([[0.0, 0.0, 0.0], [1.5, 0.0, 0.0]]))
    assert np.sign(ahead[0] - rubber[0]) == side


@pytest.mark.parametrize(("view", "side"), [("rear", -1), ("front", 1)])
def test_pitcher_s_left_seen_from_behind_and_from_the_plate(view, side):
    camera = camera_for_view(view, "right", distance_m=12.0)
    middle, left = camera.project(np.array([[0.9, 0.0, 1.0], [0.9, 1.0, 1.0]]))
    assert np.sign(left[0] - middle[0]) == side


def test_yaw_turns_the_line_of_sight_anticlockwise_and_keeps_the_target():
    camera = camera_for_view("open-side", "right", distance_m=8.0, yaw_deg=10.0)
    sight = camera.axes[2]
    assert np.degrees(np.arctan2(sight[1], sight[0])) == pytest.approx(100.0)
    assert camera.project(np.array([0.9, 0.0, 1.1])) == pytest.approx([639.5, 359.5])


def test_top_view_looks_down_with_the_plate_to_the_right():
    camera = camera_for_view("top", "right", distance_m=5.0, target_m=(0.0, 0.0))
    ahead, left = camera.project(np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]))
    assert ahead == pytest.approx([639.5 + 400.0, 359.5])
    assert left == pytest.approx([639.5, 359.5 - 400.0])


def test_rays_lead_back_to_their_points():
    camera = camera_for_view("rear", "left", distance_m=9.0, yaw_deg=-4.0)
    point = np.array([1.3, 0.4, 0.7])
    x, y = camera.project(point)
    depth = camera.to_camera(point)[2]
    assert camera.position_m + depth * camera.rays(x, y) == pytest.approx(point)


def test_axes_are_a_right_handed_frame():
    for view in ("open-side", "rear", "front", "closed-side", "top"):
        axes = camera_for_view(view, "right", distance_m=8.0, yaw_deg=7.0).axes
        assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
        assert np.linalg.det(axes) == pytest.approx(1.0)


def test_points_behind_the_camera_and_nan_give_nan():
    camera = camera_for_view("rear", "right", distance_m=5.0)
    assert np.all(np.isnan(camera.project(np.array([[-20.0, 0.0, 1.0], [np.nan, 0.0, 0.0]]))))


def test_wrong_requests_are_refused():
    with pytest.raises(NotFoundError):
        camera_for_view("above", "right", distance_m=5.0)
    with pytest.raises(InputValueError):
        camera_for_view("rear", "right", distance_m=0.0)
