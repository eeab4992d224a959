from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.cameras.joint_solve import solve_cameras
from deliverylab.core.cameras.point_residuals import click_residuals, place_residuals
from tests.core.cameras.filmed import solved, standard


def listed(set_ups, solution):
    return click_residuals(set_ups, solution.cameras, solution.points_m, solution.adjustment)


def test_every_click_is_listed_with_its_gap():
    filmed, solution = standard(), solved()
    found = listed(filmed.set_ups, solution)
    assert len(found) == 12
    first = found[0]
    gap = np.subtract(first.projected_px, first.clicked_px)
    assert first.gap_px == pytest.approx(np.hypot(*gap))
    # 1500 px at 6 m: 4 mm a pixel
    assert first.gap_mm == pytest.approx(4.0 * first.gap_px, rel=0.3)
    assert max(each.studentised for each in found if np.isfinite(each.studentised)) < 4.0


def test_a_click_far_off_has_the_largest_of_all():
    filmed = standard()
    clicks = dict(filmed.set_ups[1].clicks_px)
    x, y = clicks["cone_left"]
    clicks["cone_left"] = (x + 60.0, y)
    set_ups = (filmed.set_ups[0], replace(filmed.set_ups[1], clicks_px=clicks))
    found = listed(set_ups, solve_cameras(set_ups, filmed.points))
    worst = max(found, key=lambda each: np.nan_to_num(each.studentised))
    assert worst.point == "cone_left"
    assert worst.studentised > 3.5


def test_measured_places_are_listed_once_each():
    found = place_residuals(solved().adjustment)
    assert [each.point for each in found] == [point.key for point in standard().points]
    assert all(each.studentised < 4.0 for each in found)
