from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.body_tracks import smooth_tracks
from deliverylab.core.cameras.pinhole import camera_from
from deliverylab.core.cameras.triangulate import in_space, triangulate
from deliverylab.core.synthetic.camera import camera_for_view
from tests.core.cameras.filmed import solved, standard

CAMERAS = (
    camera_for_view("open-side", "right", distance_m=6.0, focal_px=1500.0),
    camera_for_view("rear", "right", distance_m=7.0, focal_px=1400.0, yaw_deg=5.0),
    camera_for_view("front", "right", distance_m=9.0, focal_px=1800.0, yaw_deg=-20.0),
)
POINTS = np.random.default_rng(0).uniform([-0.2, -0.5, 0.0], [1.8, 0.5, 2.0], (6, 4, 3))


def places(n_views):
    return np.stack([camera.project(POINTS) for camera in CAMERAS[:n_views]])


@pytest.mark.parametrize("n_views", [2, 3])
def test_exact_places_give_the_points(n_views):
    found = triangulate(CAMERAS[:n_views], places(n_views), np.array(1.0))
    assert found.points_m == pytest.approx(POINTS, abs=1e-8)
    assert found.residuals_px == pytest.approx(np.zeros_like(found.residuals_px), abs=1e-6)
    assert not found.is_suspect.any()


@pytest.mark.parametrize("n_views", [2, 3])
def test_stated_covariance_is_that_of_simulation(n_views):
    rng = np.random.default_rng(1)
    u = np.array([1.0, 2.0, 1.5])[:n_views, None, None]
    many = np.stack(
        [
            triangulate(
                CAMERAS[:n_views],
                places(n_views) + u[..., None] * rng.normal(size=(n_views, 6, 4, 2)),
                u,
            ).points_m
            for _ in range(300)
        ]
    )
    stated = triangulate(CAMERAS[:n_views], places(n_views), u).covariance_m2
    spread = many - many.mean(axis=0)
    seen = np.einsum("tnki,tnkj->nkij", spread, spread) / 299
    ratio = np.einsum("nkii->nk", seen) / np.einsum("nkii->nk", stated)
    # a variance from 300 draws of three coordinates is good to 5 to 8 %
    assert ratio == pytest.approx(np.ones((6, 4)), abs=0.3)
    assert np.mean(ratio) == pytest.approx(1.0, abs=0.05)


def test_slopes_by_cameras_and_clocks_are_those_of_small_steps():
    speeds = np.random.default_rng(2).normal(0.0, 500.0, (2, 6, 4, 2))
    noisy = places(2) + np.random.default_rng(3).normal(size=(2, 6, 4, 2))
    found = triangulate(CAMERAS[:2], noisy, np.array(1.0), speeds)
    assert found.by_calibration.shape == (6, 4, 3, 15)
    for column in range(14):
        cameras = list(CAMERAS[:2])
        numbers = cameras[column // 7].parameters
        numbers[column % 7] += 1e-6
        cameras[column // 7] = camera_from(numbers, (1280, 720))
        moved = triangulate(tuple(cameras), noisy, np.array(1.0)).points_m - found.points_m
        # residuals of a pixel in some thousand: slopes of a fit are good to about as much
        assert moved / 1e-6 == pytest.approx(found.by_calibration[..., column], abs=0.02)
    later = noisy - 1e-6 * speeds * np.array([0.0, 1.0])[:, None, None, None]
    moved = triangulate(CAMERAS[:2], later, np.array(1.0)).points_m - found.points_m
    assert moved / 1e-6 == pytest.approx(found.by_calibration[..., 14], abs=0.02)


def test_one_wrong_view_of_three_is_left_out_and_of_two_is_told():
    wrong = places(3)
    wrong[1, 2, 3] += [60.0, -40.0]
    found = triangulate(CAMERAS, wrong, np.array(1.0))
    assert found.points_m[2, 3] == pytest.approx(POINTS[2, 3], abs=1e-6)
    assert found.is_used[:, 2, 3].tolist() == [True, False, True]
    assert found.is_used.sum() == 3 * 24 - 1
    two = triangulate(CAMERAS[:2], wrong[:2], np.array(1.0))
    assert np.argwhere(two.is_suspect).tolist() == [[2, 3]]


def test_no_view_is_left_out_that_the_place_hangs_on():
    # seen from behind and from the plate on one line, the point's distance hangs on the side view
    rear = camera_for_view("rear", "right", distance_m=7.0, target_m=(0.0, 0.0))
    front = camera_for_view("front", "right", distance_m=7.0, target_m=(0.0, 0.0))
    point = np.array([[0.3, 0.02, 1.1]])
    cameras = (CAMERAS[0], rear, front)
    seen = np.stack([camera.project(point) for camera in cameras])
    seen[0, 0, 1] += 30.0
    found = triangulate(cameras, seen, np.array(1.0))
    assert found.is_used[0, 0]
    assert found.is_suspect[0]


def test_a_point_seen_once_has_no_place_and_a_gap_uses_the_rest():
    gaps = places(3)
    gaps[0, 0, 0] = np.nan
    gaps[:2, 1, 1] = np.nan
    found = triangulate(CAMERAS, gaps, np.array(1.0))
    assert found.points_m[0, 0] == pytest.approx(POINTS[0, 0], abs=1e-8)
    assert np.isnan(found.points_m[1, 1]).all()
    assert np.isnan(found.covariance_m2[1, 1]).all()
    assert np.isfinite(found.points_m).all(axis=-1).sum() == 23


def test_variance_of_a_length_adds_placing_and_shared_cameras():
    found = triangulate(CAMERAS[:2], places(2)[:, 0], np.array(1.0), np.zeros((2, 4, 2)))
    calibration = np.diag(np.full(15, 1e-6))
    gradient = np.zeros((4, 3))
    gradient[0], gradient[1] = [1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]
    shared = found.by_calibration[0, 0] - found.by_calibration[1, 0]
    by_hand = found.covariance_m2[0, 0, 0] + found.covariance_m2[1, 0, 0] + 1e-6 * shared @ shared
    assert found.variance_of(gradient, calibration) == pytest.approx(by_hand)
    two_rows = triangulate(
        CAMERAS[:2], places(2)[:, 0].reshape(2, 2, 2, 2), np.array(1.0), np.zeros((2, 2, 2, 2))
    )
    assert two_rows.as_one_set().variance_of(gradient, calibration) == pytest.approx(by_hand)
    total = found.total_covariance_m2(calibration)
    assert np.all(np.linalg.eigvalsh(total - found.covariance_m2) >= -1e-15)


def test_a_solved_delivery_lies_where_the_figure_was():
    filmed, solution = standard(), solved()
    tracks = tuple(smooth_tracks(each, 20.0) for each in filmed.delivery.tracks)
    times = np.linspace(0.5, 0.9, 9)
    space = in_space(solution, 0, tracks, times)
    assert space.points_m.shape == (9, 21, 3)
    gap = space.residuals_px[np.isfinite(space.residuals_px)]
    # 2 px of placing smoothed, 2.5 px of constant part, half of it taken by the point
    assert 1.0 < np.sqrt(np.mean(gap**2)) < 3.0
