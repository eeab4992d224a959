from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError, OutputError
from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.changes import replace as with_fields
from deliverylab.shell.set_up_plan import (
    SIZE_PX,
    Plan,
    plan_of,
    plan_scene,
    save_expectations,
    standing_at,
    trust_work,
)
from tests.shell.conftest import MARKS_A, SCALE, delivery_of


def test_a_square_camera_stands_on_its_side_of_the_line():
    for view, hand, side in (
        ("open-side", "right", -1.0),
        ("closed-side", "right", 1.0),
        ("open-side", "left", 1.0),
    ):
        scene = plan_scene(Plan(view=view, hand=hand, distance_m=9.0))
        assert scene.camera_m == pytest.approx((scene.target_m[0], side * 9.0))
        assert scene.camera_m == pytest.approx(scene.square_m)
    assert plan_scene(Plan(view="rear")).camera_m[0] < 0.0


def test_a_turned_camera_keeps_its_distance_and_a_place_is_read_back():
    plan = Plan(view="closed-side", distance_m=7.0, yaw_deg=12.0, hand="left")
    scene = plan_scene(plan)
    assert math.dist(scene.camera_m, scene.target_m) == pytest.approx(7.0)
    assert standing_at(scene, *scene.camera_m) == pytest.approx((7.0, 12.0))
    square = plan_scene(replace(plan, yaw_deg=0.0))
    assert standing_at(square, *scene.camera_m) == pytest.approx((7.0, 12.0))
    beyond = standing_at(square, scene.target_m[0] + 200.0, scene.target_m[1] + 1.0)
    assert beyond[0] == 30.0
    assert abs(beyond[1]) == 30.0


def test_zoomed_to_the_delivery_all_of_it_is_inside_and_a_long_lens_cuts_it_off():
    assert plan_scene(Plan()).cut_off == ()
    near = plan_scene(Plan(distance_m=3.0, field_of_view_deg=24.0))
    assert "release" in near.cut_off
    assert near.half_angle_deg == pytest.approx(12.0)
    assert near.metres_per_px < plan_scene(Plan()).metres_per_px


def test_the_ground_is_seen_below_the_horizon_and_not_behind_the_camera():
    scene = plan_scene(Plan(view="front", distance_m=12.0, field_of_view_deg=65.0))
    seen = scene.ground_px[np.isfinite(scene.ground_px).all(axis=2)]
    assert (seen[:, 1] > scene.horizon_px).all()
    assert np.isnan(scene.ground_px).any()
    assert scene.horizon_px == pytest.approx(0.5 * (SIZE_PX[1] - 1))


def test_what_no_phone_can_do_is_refused():
    with pytest.raises(InputValueError):
        plan_scene(Plan(rate_hz=1.0))


def test_the_active_delivery_gives_the_first_plan(session):
    assert plan_of(session, Plan(distance_m=11.0)) == Plan(distance_m=11.0)
    delivery = delivery_of("Kim", hand="left", marks=MARKS_A, view="rear")
    camera = with_fields(delivery.cameras[0], scale=with_fields(SCALE, yaw_deg=4.0))
    delivery = with_fields(delivery, cameras=(camera,))
    session.project.apply(SetDelivery(name="Kim", delivery=delivery))
    plan = plan_of(session, Plan(placing_m=0.006))
    assert plan == Plan(
        view="rear", distance_m=10.0, yaw_deg=4.0, rate_hz=240.0, height_m=1.86, hand="left",
        placing_m=0.006,
    )  # fmt: skip


def test_a_few_deliveries_give_expectations_that_can_be_saved(tmp_path):
    shares = []
    rows = trust_work(Plan(), 2)(shares.append)
    assert shares[0] == 0.0
    assert shares[-1] == 1.0
    by_name = {(row.name, row.when): row for row in rows}
    knee = by_name["Lead knee flexion", "at release"]
    assert knee.is_shown
    assert 0.0 < knee.margin < knee.limit == 24.0
    hidden = next(row for row in rows if not row.is_shown)
    assert hidden.reason
    path = tmp_path / "plan.csv"
    save_expectations(rows, path)
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("metric,event,name,unit")
    assert len(lines) == 1 + len(rows)
    with pytest.raises(OutputError):
        save_expectations(rows, tmp_path / "nowhere" / "plan.csv")
