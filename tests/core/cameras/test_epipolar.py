from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.epipolar import (
    line_in_other_view,
    lines_of_sight,
    missing_distance,
    nearest_points,
    shift_slopes,
    shift_whitener,
    without_constant,
)
from deliverylab.core.cameras.pinhole import projection_jacobian
from deliverylab.core.synthetic.camera import camera_for_view

SIDE = camera_for_view("open-side", "right", distance_m=7.0, focal_px=1500.0)
REAR = camera_for_view("rear", "right", distance_m=6.0, focal_px=1400.0)
POINTS = np.random.default_rng(0).uniform([-0.2, -0.5, 0.0], [1.8, 0.5, 2.0], (40, 5, 3))
U = (np.ones(5), 2.0 * np.ones(5))


def sight(camera, places_px):
    return lines_of_sight(camera.parameters[None], camera.size_px, 0.0, places_px[None])


def test_lines_of_sight_meet_at_the_points():
    a, b = sight(SIDE, SIDE.project(POINTS)), sight(REAR, REAR.project(POINTS))
    distance, _ = missing_distance(a, b, U, U)
    assert distance == pytest.approx(np.zeros((1, 40, 5)), abs=1e-6)
    assert nearest_points(a, b)[0] == pytest.approx(POINTS)


def test_noise_of_one_u_misses_by_one_u():
    rng = np.random.default_rng(1)
    a = sight(SIDE, SIDE.project(POINTS) + rng.normal(size=(40, 5, 2)))
    b = sight(REAR, REAR.project(POINTS) + rng.normal(size=(40, 5, 2)))
    distance, ratio = missing_distance(a, b, U, U)
    # 200 values: their standard deviation is good to 5 %
    assert np.std(distance) == pytest.approx(1.0, abs=0.15)
    assert ratio == pytest.approx(np.full((1, 40, 5), 4.0))


def test_whitening_is_that_of_a_shared_constant():
    n, ratio = 6, 3.0
    covariance = np.eye(n) + ratio
    used = np.ones((n, 1), dtype=bool)
    columns = [
        without_constant(unit.reshape(1, n, 1), np.full((1, n, 1), ratio), used)[0, :, 0]
        for unit in np.eye(n)
    ]
    root = np.array(columns)
    assert root @ covariance @ root.T == pytest.approx(np.eye(n), abs=1e-12)


def test_whitening_of_shifts_is_that_of_their_covariance():
    slopes = np.random.default_rng(4).normal(size=(8, 3, 6))
    slopes[5, 1] = 0.0
    root = shift_whitener(slopes)
    for row in range(3):
        covariance = np.eye(8) + slopes[:, row] @ slopes[:, row].T
        assert root[row] @ covariance @ root[row].T == pytest.approx(np.eye(8), abs=1e-10)
    assert root[1, 5] == pytest.approx(np.eye(8)[5])


def test_slopes_of_shifts_are_those_of_moved_points():
    u = (np.ones(5), np.full(5, 2.5))
    by_point = tuple(projection_jacobian(camera, POINTS)[2] / 250.0 for camera in (SIDE, REAR))
    a, b = sight(SIDE, SIDE.project(POINTS)), sight(REAR, REAR.project(POINTS))
    slopes = shift_slopes(a, b, u, u, by_point)
    shift = np.array([0.01, -0.02, 0.015])
    moved = sight(SIDE, SIDE.project(POINTS + 1e-3 * shift))
    distance, _ = missing_distance(moved, b, u, u)
    # one u of the constant part is 2.5 px, 10 mm at 250 px a metre
    assert slopes[..., :3] @ shift / 0.01 == pytest.approx(distance[0] / 1e-3, rel=1e-2, abs=0.02)


def test_places_that_are_not_used_count_nothing():
    used = np.array([[True], [False], [True]])
    left = without_constant(np.array([[[1.0], [np.nan], [1.0]]]), np.zeros((1, 3, 1)), used)
    assert left[0, :, 0].tolist() == [1.0, 0.0, 1.0]


def test_the_line_in_the_other_picture_runs_through_the_point():
    point = POINTS[0, 0]
    a, b = line_in_other_view(SIDE, REAR, SIDE.project(point), (4.0, 9.0))
    along, there = b - a, REAR.project(point) - a
    across = (along[0] * there[1] - along[1] * there[0]) / np.hypot(*along)
    assert across == pytest.approx(0.0, abs=1e-6)
    assert 0.0 < there @ along < along @ along
