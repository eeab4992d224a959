from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.shell.set_up_plan import Plan
from deliverylab.shell.widgets.plan_form import PlanForm

OTHER = Plan(
    view="rear", distance_m=12.5, yaw_deg=-8.0, rate_hz=120.0, field_of_view_deg=65.0,
    placing_m=0.006, u_yaw_deg=3.0, height_m=1.9, hand="left",
)  # fmt: skip


@pytest.fixture
def form(qtbot):
    made = PlanForm()
    qtbot.addWidget(made)
    made.show()
    return made


def test_a_plan_comes_back_as_it_was_filled_in(form, qtbot):
    with qtbot.assertNotEmitted(form.edited):
        form.show_plan(OTHER, "metric")
    assert form.plan == OTHER
    form.show_plan(Plan(rate_hz=238.0), "metric")
    assert form.plan.rate_hz == 238.0


def test_each_field_is_told(form, qtbot):
    changes = {
        "view": lambda: form.view.setCurrentIndex(2),
        "distance_m": lambda: qtbot.keyClick(form.distance, Qt.Key.Key_PageUp),
        "yaw_deg": lambda: qtbot.keyClick(form.yaw, Qt.Key.Key_Right),
        "u_yaw_deg": lambda: form.yaw_doubt.setCurrentIndex(2),
        "field_of_view_deg": lambda: form.lens.setCurrentIndex(1),
        "rate_hz": lambda: form.rate.setCurrentIndex(0),
        "placing_m": lambda: form.placing.setCurrentIndex(1),
        "hand": lambda: form.hand.setCurrentIndex(1),
        "height_m": lambda: form.height_edit.setText("1.95 m"),
    }
    for name, change in changes.items():
        before = getattr(form.plan, name)
        with qtbot.waitSignal(form.edited):
            change()
        assert getattr(form.plan, name) != before, name


def test_a_height_that_nobody_has_is_not_taken(form, qtbot):
    with qtbot.assertNotEmitted(form.edited):
        form.height_edit.setText("9 m")
        form.height_edit.setText("tall")
    assert form.plan.height_m == 1.80


def test_it_speaks_the_readers_units(form):
    form.show_plan(Plan(distance_m=8.0, height_m=1.8288), "imperial")
    assert form.height_edit.text() == "6 ft 0 in"
    assert form._metres.text().startswith("26 ft")
    assert form.plan.height_m == pytest.approx(1.8288)
