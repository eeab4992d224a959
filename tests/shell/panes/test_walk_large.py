"""A stop seen large."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.shell.panes.walk_large import WalkLargePane
from tests.shell.gestures import tap


@pytest.fixture
def pane(qtbot):
    made = WalkLargePane()
    qtbot.addWidget(made)
    made.show()
    return made


def test_buttons_and_keys_go_to_other_stops_and_back(pane, qtbot):
    steps: list[int] = []
    pane.stepped.connect(steps.append)
    pane.show_place("Foot contact", 1, 3)
    assert pane._name.text() == "2 of 3: Foot contact"
    pane.after.click()
    pane.before.click()
    tap(pane, Qt.Key.Key_Right)
    tap(pane, Qt.Key.Key_Up)
    assert steps == [1, -1, 1, -1]
    with qtbot.waitSignal(pane.closed):
        tap(pane, Qt.Key.Key_Escape)


def test_at_either_end_it_goes_one_way_only(pane):
    pane.show_place("Leg lift", 0, 3)
    assert not pane.before.isEnabled()
    pane.show_place("Release", 2, 3)
    assert not pane.after.isEnabled()
    pane.show_place("", -1, 0)
    assert pane._name.isHidden()
