from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.ground import ground_height_m
from deliverylab.core.synthetic.backdrop import draw_backdrop, ground_hits
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.synthetic.scene import rubber_corners_m


def _camera(view):
    return camera_for_view(
        view, "right", distance_m=8.0, focal_px=270.0, size_px=(160, 90), height_m=1.1
    )


@pytest.mark.parametrize("view", ["open-side", "rear", "top"])
def test_lines_of_sight_end_on_the_ground(view):
    camera = _camera(view)
    rays = camera.rays(*np.meshgrid(np.arange(160.0), np.arange(90.0)))
    depth = ground_hits(camera, rays)
    below = rays[..., 2] < -1e-9
    assert np.all(np.isinf(depth[~below]))
    point = camera.position_m + rays[below] * depth[below][:, None]
    near = np.abs(point[:, 0]) < 6.0
    error = point[near, 2] - ground_height_m(point[near, 0], point[near, 1])
    # marched in 72 steps over the mound: within a millimetre but for the edge of its circle
    assert np.quantile(np.abs(error), 0.98) < 0.001
    assert np.max(np.abs(error)) < 0.03


def test_rubber_is_white_where_it_is_projected_and_sky_is_above():
    camera = camera_for_view(
        "rear", "right", distance_m=7.0, focal_px=250.0, size_px=(240, 160), height_m=1.6
    )
    picture = draw_backdrop(camera, screen_m=19.0)
    assert picture.shape == (160, 240, 3)
    middle = camera.project(rubber_corners_m().mean(axis=0))
    x, y = np.rint(middle).astype(int)
    assert picture[y, x].min() > 180
    assert picture[y, x + 25, 2] < 130  # dirt beside it is brown
    assert np.all(picture[2] > 140)


def test_the_same_camera_gives_the_same_backdrop():
    camera = _camera("open-side")
    assert np.array_equal(draw_backdrop(camera), draw_backdrop(camera))
