from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.dlt import fit_dlt, intersect_dlt, project_dlt
from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.errors import InputValueError

# README data of the package dltx 0.1.1 (PyPI): places in mm, and in two pictures in px
POINTS_MM = np.array(
    [[0, 0, 2550], [0, 0, 0], [0, 2632, 0], [4500, 0, 2550], [5000, 0, 0], [5660, 2620, 0]], float
)
FIRST_PX = np.array(
    [[1810, 885], [1353, 786], [1362, 301], [455, 1010], [329, 832], [183, 180]], float
)
SECOND_PX = np.array(
    [[1734, 952], [1528, 768], [1546, 135], [115, 834], [459, 719], [358, 202]], float
)


def rms_px(coefficients, places_px):
    gap = project_dlt(coefficients, POINTS_MM) - places_px
    return np.sqrt(np.mean(np.sum(gap**2, axis=1)))


@pytest.mark.parametrize(
    ("places_px", "leading", "rms"),
    [
        (FIRST_PX, [-0.22075, 0.012359, -0.062275], 0.7419),
        (SECOND_PX, [-0.195024, 0.006245, -0.221719], 0.0654),
    ],
)
def test_printed_coefficients_and_residuals_are_met(places_px, leading, rms):
    # what dltx 0.1.1 gives for its own data; to the digits quoted
    coefficients = fit_dlt(POINTS_MM, places_px)
    assert coefficients[:3] == pytest.approx(leading, abs=2e-6)
    assert rms_px(coefficients, places_px) == pytest.approx(rms, abs=1e-4)


def test_printed_points_are_found_again():
    both = np.stack([fit_dlt(POINTS_MM, FIRST_PX), fit_dlt(POINTS_MM, SECOND_PX)])
    # the unweighted equations can be written in several ways: they part by 6 µm here
    first = intersect_dlt(both, np.stack([FIRST_PX[0], SECOND_PX[0]]))
    sixth = intersect_dlt(both, np.stack([FIRST_PX[5], SECOND_PX[5]]))
    assert first == pytest.approx([-0.132, 0.872, 2549.753], abs=1e-2)
    assert sixth == pytest.approx([5660.015, 2619.788, -0.042], abs=1e-2)


def test_coefficients_of_a_camera_worked_out_on_paper():
    # f 1000 px, middle (960, 540), 10 m in front of the plane Y = 0 and 1.5 m up, looking along Y
    camera = PinholeCamera(
        position_m=np.array([0.0, -10.0, 1.5]),
        axes=np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]]),
        focal_px=1000.0,
        size_px=(1921, 1081),
    )
    points = np.array([[x, y, z] for x in (-2.0, 2.0) for y in (0.0, 3.0) for z in (0.0, 2.0)])
    coefficients = fit_dlt(points, camera.project(points))
    paper = [100.0, 96.0, 0.0, 960.0, 0.0, 54.0, -100.0, 690.0, 0.0, 0.1, 0.0]
    assert coefficients == pytest.approx(paper, abs=1e-8)
    seen = project_dlt(coefficients, np.array([[2.0, 1.0, 2.0], [0.0, 0.0, 0.0]]))
    assert seen == pytest.approx(np.array([[1141.8182, 494.5455], [960.0, 690.0]]), abs=1e-4)


def test_too_few_and_flat_points_are_refused():
    with pytest.raises(InputValueError, match="six points"):
        fit_dlt(POINTS_MM[:5], FIRST_PX[:5])
    flat = POINTS_MM * [1.0, 1.0, 0.0] + [
        [0, 7, 0],
        [3, 0, 0],
        [0, 2, 0],
        [5, 1, 0],
        [0] * 3,
        [9, 9, 0],
    ]
    with pytest.raises(InputValueError, match="no camera"):
        fit_dlt(flat, FIRST_PX)
