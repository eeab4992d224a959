from __future__ import annotations

import pytest
from PySide6.QtCore import Qt


@pytest.fixture
def planning(window):
    """The window while a set-up is tried, without a simulation."""

    def plan():
        window.plan_set_up()
        window.set_up._settle.stop()
        return window.set_up

    return plan


def test_from_the_welcome_and_back_in_two_clicks(window, qtbot):
    qtbot.mouseClick(window.welcome._plan, Qt.MouseButton.LeftButton)
    window.set_up._settle.stop()
    assert window.centre.currentWidget() is window.set_up
    assert window.right.isHidden()
    qtbot.mouseClick(window.set_up._back, Qt.MouseButton.LeftButton)
    assert window.centre.currentWidget() is window.welcome
    assert not window.right.isHidden()


def test_by_key_it_begins_with_how_the_delivery_was_filmed(open_window, placed_pair):
    window = open_window(placed_pair)
    window.actions_by_key["plan"].trigger()
    window.set_up._settle.stop()
    assert window.set_up.plan.distance_m == 10.0
    assert window.set_up.plan.height_m == 1.86
    window.set_up.closed.emit()
    assert window.centre.currentWidget() is window._work


def test_a_remedy_leads_there_and_a_landmark_leads_back(open_window, placed_pair):
    window = open_window(placed_pair)
    window.readings.action_wanted.emit("athlete", "plan")
    window.set_up._settle.stop()
    assert window.centre.currentWidget() is window.set_up
    window.readings.stage_wanted.emit()
    assert window.centre.currentWidget() is window._work
    assert window.focusWidget() is window.stages["athlete"].canvas


def test_other_tools_find_their_place_again(open_window, placed_pair):
    window = open_window(placed_pair)
    window.plan_set_up()
    window.set_up._settle.stop()
    window.set_scale("athlete")
    assert not window.right.isHidden()
    assert window.right.currentWidget() is window.scale_panel
    window.plan_set_up()
    window.set_up._settle.stop()
    assert window.scale_panel is None
    window.do_step("events")
    assert window.centre.currentWidget() is window._work


def test_what_was_written_is_said(planning, window, tmp_path):
    pane = planning()
    pane.saved.emit(str(tmp_path / "plan.csv"))
    assert "Wrote plan.csv" in window.notices.text
