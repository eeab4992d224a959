from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.shell.drawing.set_up_field import FieldView
from deliverylab.shell.set_up_plan import Plan, plan_scene
from tests.shell import gestures


def view_of(qtbot, plan) -> FieldView:
    view = FieldView()
    qtbot.addWidget(view)
    view.resize(400, 300)
    view.show()
    view.show_scene(plan_scene(plan), plan.hand, plan.yaw_deg, "metric")
    return view


def test_places_go_there_and_back_and_left_of_the_pitcher_is_up(qtbot):
    view = view_of(qtbot, Plan())
    at = view.to_widget(2.0, -3.0)
    assert view.to_field(at) == pytest.approx((2.0, -3.0))
    assert view.to_widget(0.0, 1.0).y() < view.to_widget(0.0, 0.0).y()
    assert view.to_widget(1.0, 0.0).x() > view.to_widget(0.0, 0.0).x()


@pytest.mark.parametrize("view_key", ["open-side", "closed-side", "rear", "front"])
@pytest.mark.parametrize("yaw_deg", [0.0, -25.0])
def test_the_camera_is_always_in_sight(qtbot, view_key, yaw_deg):
    plan = Plan(view=view_key, distance_m=25.0, yaw_deg=yaw_deg)
    view = view_of(qtbot, plan)
    assert view.rect().contains(view.to_widget(*plan_scene(plan).camera_m).toPoint())


def test_the_camera_is_dragged_and_the_scale_stays_meanwhile(qtbot):
    view = view_of(qtbot, Plan())
    camera = view.to_widget(*plan_scene(Plan()).camera_m)
    aim = camera + QPointF(60.0, -20.0)
    wanted = view.to_field(aim - gestures.HALF)
    moved = []
    view.camera_moved.connect(lambda x, y: moved.append((x, y)))
    gestures.press(view, camera)
    gestures.move(view, aim, buttons=Qt.MouseButton.LeftButton)
    assert moved == [pytest.approx(wanted)]
    before = view.to_widget(1.0, 1.0)
    far = Plan(distance_m=20.0)
    view.show_scene(plan_scene(far), "right", 0.0, "metric")
    assert view.to_widget(1.0, 1.0) == before
    gestures.release(view, aim)
    assert view.to_widget(1.0, 1.0) != before


def test_a_press_beside_the_camera_moves_nothing(qtbot):
    view = view_of(qtbot, Plan())
    moved = []
    view.camera_moved.connect(lambda x, y: moved.append((x, y)))
    gestures.drag(view, [QPointF(20.0, 20.0), QPointF(90.0, 90.0)])
    assert moved == []


def test_another_yaw_is_another_picture_and_is_said(qtbot):
    view = view_of(qtbot, Plan())
    square = view.grab().toImage()
    turned = Plan(yaw_deg=15.0)
    view.show_scene(plan_scene(turned), "right", 15.0, "imperial")
    assert view.grab().toImage() != square
    assert view.accessibleName().endswith("15° off square")
    assert "ft" in view.accessibleName()
