from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from deliverylab.core.cameras.pinhole import (
    axes_of,
    camera_facts,
    camera_from,
    point_jacobian,
    projection_jacobian,
)
from deliverylab.core.synthetic.camera import camera_for_view

NUMBERS = np.array([1.5, -0.07, 0.03, 0.8, -6.0, 1.2, np.log(1300.0)])
POINTS = np.array([[0.0, 0.3, 0.0], [2.0, -0.8, -0.1], [1.0, 0.0, 1.7], [0.4, 0.6, 2.2]])


def test_numbers_give_the_camera_and_the_camera_its_numbers():
    camera = camera_from(NUMBERS, (1280, 720))
    assert camera.parameters == pytest.approx(NUMBERS)
    assert np.linalg.det(camera.axes) == pytest.approx(1.0)


def test_turns_are_those_of_an_independent_library():
    # level camera looking along X: right = -Y, down = -Z; then roll, pitch and azimuth in turn
    start = np.array([[0.0, -1.0, 0.0], [0.0, 0.0, -1.0], [1.0, 0.0, 0.0]])
    turn = Rotation.from_euler("ZYX", [40.0, -10.0, 5.0], degrees=True)
    axes = axes_of(*np.radians([40.0, 10.0, 5.0]))
    assert axes == pytest.approx(turn.apply(start))


def test_positive_roll_lowers_the_right_and_positive_pitch_lifts_the_sight():
    axes = axes_of(0.3, 0.1, 0.05)
    assert axes[0, 2] < 0.0
    assert axes[2, 2] > 0.0


@pytest.mark.parametrize("radial", [0.0, 0.08])
def test_slopes_are_those_of_small_steps(radial):
    camera = camera_from(NUMBERS, (1280, 720), radial)
    places, by_camera, by_point = projection_jacobian(camera, POINTS)
    assert places == pytest.approx(camera.project(POINTS))
    step = 1e-6
    for column in range(7):
        moved = NUMBERS + step * (np.arange(7) == column)
        there = camera_from(moved, (1280, 720), radial).project(POINTS)
        back = camera_from(2 * NUMBERS - moved, (1280, 720), radial).project(POINTS)
        # central differences: exact to about the square of the step, times 1e3 px
        assert by_camera[..., column] == pytest.approx((there - back) / (2 * step), abs=1e-4)
    for axis in range(3):
        shift = step * (np.arange(3) == axis)
        slope = (camera.project(POINTS + shift) - camera.project(POINTS - shift)) / (2 * step)
        assert by_point[..., axis] == pytest.approx(slope, abs=1e-4)
    for alone, together in zip(point_jacobian(camera, POINTS), (places, by_point), strict=True):
        np.testing.assert_array_equal(alone, together)


@pytest.mark.parametrize("radial", [0.0, 0.1, -0.1])
def test_rays_lead_back_through_the_radial_term(radial):
    camera = camera_from(NUMBERS, (1280, 720), radial)
    x, y = camera.project(POINTS).T
    depth = camera.to_camera(POINTS)[:, 2:]
    assert camera.position_m + depth * camera.rays(x, y) == pytest.approx(POINTS, abs=1e-8)


def test_points_behind_the_camera_and_nan_have_no_place():
    camera = camera_from(NUMBERS, (1280, 720))
    assert np.isnan(camera.project(np.array([[0.8, -9.0, 1.2], [np.nan, 0.0, 0.0]]))).all()


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("view", ["open-side", "closed-side", "rear", "front"])
def test_facts_are_how_the_camera_was_stood(view, hand):
    camera = camera_for_view(view, hand, distance_m=7.0, yaw_deg=-6.0, height_m=1.3)
    facts = camera_facts(camera, view, hand, (0.9, 0.0))
    assert facts.distance_m == pytest.approx(7.0)
    assert facts.yaw_deg == pytest.approx(-6.0)
    assert (facts.height_m, facts.pitch_deg, facts.roll_deg) == pytest.approx((1.3, 0.0, 0.0))
