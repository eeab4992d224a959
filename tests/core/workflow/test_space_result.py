from __future__ import annotations

import pytest

from deliverylab.core.cameras.point_residuals import PointResidual
from deliverylab.core.workflow.space_result import kept_residual
from tests.core.workflow.two_phones import solved_two_phones


def test_a_project_keeps_all_clicks_with_what_is_left_of_them():
    solved = solved_two_phones()
    space = solved.delivery.space
    assert len(space.residuals) == sum(len(each.control) for each in solved.delivery.cameras)
    assert set(space.points_m) == {point.key for point in solved.delivery.field.points}
    for each in space.residuals:
        click = solved.delivery.camera(each.camera).control[each.point]
        assert each.clicked == (click.x_px, click.y_px)
        # 1 px of click at 1500 px focal length and 4.6 to 7 metres: 3.1 to 4.7 mm
        assert each.gap_mm == pytest.approx(4.0 * each.gap_px, rel=0.25)
    true_m = solved.phones.filmed.true_points_m
    for key, place in space.points_m.items():
        # a cone is the farthest off here, by 11 mm
        assert place == pytest.approx(true_m[key], abs=0.02)


def test_what_nothing_checks_is_none():
    residual = PointResidual(
        point="a",
        camera="b",
        clicked_px=(1.0, 2.0),
        projected_px=(1.0, 2.0),
        gap_px=0.0,
        gap_mm=0.0,
        studentised=float("nan"),
    )
    assert kept_residual(residual).studentised is None
