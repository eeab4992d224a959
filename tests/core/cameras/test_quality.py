from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.cameras.joint_solve import solve_cameras
from deliverylab.core.cameras.pinhole import camera_from
from deliverylab.core.cameras.quality import LIMB_M, PLACES_M, solution_quality
from deliverylab.core.cameras.triangulate import triangulate
from tests.core.cameras.filmed import solved, standard


def test_the_standard_field_is_good():
    quality = solution_quality(solved())
    assert quality.trust == "good"
    assert 0.05 < quality.worst_deg < 0.5
    assert quality.directions_deg.shape == (len(PLACES_M), 3)


def test_the_figure_is_what_cameras_drawn_by_their_covariance_do():
    solution = solved()
    rng = np.random.default_rng(0)
    covariance = solution.covariance[:14, :14]
    ends = PLACES_M[1] + 0.5 * LIMB_M * np.array([[0.0, 0.0, -1.0], [0.0, 0.0, 1.0]])
    seen = np.stack([camera.project(ends) for camera in solution.cameras])
    numbers = np.concatenate([camera.parameters for camera in solution.cameras])
    turns = []
    for draw in rng.multivariate_normal(numbers, covariance, 300):
        cameras = solution.unknowns.cameras(draw)
        a, b = triangulate(cameras, seen, np.array(1.0)).points_m
        turns.append((b - a)[:2] / np.linalg.norm(b - a))
    drawn_deg = np.degrees(np.sqrt(np.linalg.eigvalsh(np.cov(np.array(turns).T))[-1]))
    # a standard deviation from 300 draws is good to 4 %
    assert solution_quality(solution).directions_deg[1, 2] == pytest.approx(drawn_deg, rel=0.15)


def test_the_rubber_alone_without_a_body_is_refused():
    filmed = standard()
    rubber_only = [
        replace(each, clicks_px={k: v for k, v in each.clicks_px.items() if "rubber" in k})
        for each in filmed.set_ups
    ]
    assert solution_quality(solve_cameras(rubber_only, filmed.points)).trust == "refused"


def test_cameras_that_look_away_are_refused():
    solution = solved()
    numbers = solution.cameras[1].parameters
    numbers[0] += np.pi
    away = replace(
        solution, cameras=(solution.cameras[0], camera_from(numbers, solution.cameras[1].size_px))
    )
    quality = solution_quality(away)
    assert np.isinf(quality.worst_deg)
    assert quality.trust == "refused"
