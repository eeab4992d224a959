from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.control import cone, pole, rubber
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.cameras.resection import clicked_points, known_places, solve_camera
from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.synthetic.field_filming import true_places
from deliverylab.core.vocabulary.field import BY_KEY

FIELD = BY_KEY["baseball"]
CONES = [("a", 2.0, 0.8), ("b", 2.0, -0.8), ("c", -0.8, 0.9), ("d", -0.8, -0.9)]
CONED = tuple(cone(key, x, y, FIELD) for key, x, y in CONES)
POINTS = (*rubber(FIELD), *CONED, *pole("pole", CONED[0], 2.0)[1:])
CAMERA = camera_for_view("open-side", "right", distance_m=6.5, focal_px=1400.0, yaw_deg=4.0)


def set_up(places, **changes):
    clicks = {k: tuple(CAMERA.project(v).tolist()) for k, v in places.items()}
    known = {"name": "side", "azimuth_deg": 90.0, "size_px": (1280, 720), "focal_px": 1300.0}
    return CameraSetUp(**{**known, "clicks_px": clicks, **changes})


def test_exact_clicks_give_the_camera():
    places = true_places(POINTS, 0.0, np.random.default_rng(0))
    found = solve_camera(set_up(places, focal_px=1400.0), POINTS)
    assert found.camera.parameters == pytest.approx(CAMERA.parameters, abs=1e-5)
    assert found.points_m["a"] == pytest.approx(places["a"], abs=1e-6)
    assert found.adjustment.chi_square == pytest.approx(0.0, abs=1e-4)


def test_stated_covariance_is_that_of_simulation():
    rng = np.random.default_rng(5)
    z, squares = [], []
    for _ in range(40):
        places = true_places(POINTS, 1.0, rng)
        clicks = {
            k: tuple((CAMERA.project(v) + rng.normal(size=2)).tolist()) for k, v in places.items()
        }
        focal = 1400.0 * np.exp(rng.normal(0.0, 0.1))
        # the camera is level: what is off is what the level said
        level = {"pitch_deg": rng.normal(), "roll_deg": rng.normal()}
        found = solve_camera(set_up(places, clicks_px=clicks, focal_px=focal, **level), POINTS)
        error = found.camera.parameters - CAMERA.parameters
        z.append(error / np.sqrt(np.diag(found.covariance)))
        squares.append(found.adjustment.chi_square_per_freedom)
    # 40 draws: a standard deviation is good to 11 %
    assert np.std(z, axis=0) == pytest.approx(np.ones(7), abs=0.35)
    assert np.mean(squares) == pytest.approx(1.0, abs=0.2)


def test_a_point_nobody_measured_is_left_out_and_strangers_are_named():
    points = (*POINTS, *pole("far", None, 1.5))
    places = true_places(points, 0.0, np.random.default_rng(0))
    assert "far_foot" not in known_places(points)
    assert "far_top" not in known_places(points)
    assert "far_top" not in solve_camera(set_up(places), points).points_m
    with pytest.raises(InputValueError, match="far_foot"):
        clicked_points(POINTS, [set_up(places)])


def test_a_top_brings_its_foot_along():
    places = true_places(POINTS, 0.0, np.random.default_rng(0))
    del places["a"]
    assert {"a", "pole_top"} <= {p.key for p in clicked_points(POINTS, [set_up(places)])}
