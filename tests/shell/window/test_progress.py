from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.shell.panes.progress import ProgressPane
from tests.shell.gestures import tap
from tests.shell.several import fill_several


@pytest.fixture
def window(open_window, session, tmp_path):
    fill_several(session)
    session.save_as(tmp_path / "a.delivery")
    return open_window(session)


def test_a_key_shows_progress_and_back_goes_to_the_stages(window, qtbot):
    tap(window.stages["athlete"].canvas, Qt.Key.Key_H, Qt.KeyboardModifier.ControlModifier)
    pane = window.centre.currentWidget()
    assert isinstance(pane, ProgressPane)
    assert not window.right.isVisible()
    qtbot.waitUntil(lambda: pane.metrics.count() > 1, timeout=10_000)
    pane.closed.emit()
    assert window.centre.currentWidget() is window._work
    assert window.right.isVisible()


def test_a_key_shows_the_differences_and_two_clicks_compare_all(window, qtbot):
    tap(window.stages["athlete"].canvas, Qt.Key.Key_D)
    assert window.comparison.isVisible()
    own = window.comparison.head.own
    qtbot.mouseClick(own, Qt.MouseButton.LeftButton)
    menu = own._menu
    assert menu.isVisible()
    all_of_bo = next(act for act in menu.actions() if act.text() == "all 4 of Bo")
    qtbot.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(all_of_bo).center())
    assert window.session.record.own_set == "all of Bo"


def test_what_cannot_be_compared_is_said_below_the_stages(window, qtbot):
    window.comparison.head.own.chosen.emit("all of Cy")
    assert "No such delivery" in window.message_line.notices.text
