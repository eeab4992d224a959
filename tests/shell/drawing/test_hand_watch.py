from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from deliverylab.shell.drawing import hand_watch
from deliverylab.shell.drawing.hand_watch import HandWatch
from tests.shell.gestures import click


@pytest.fixture
def watched(qtbot):
    widget = QWidget()
    qtbot.addWidget(widget)
    widget.show()
    watch = HandWatch(widget)
    heard = []
    watch.tapped.connect(lambda: heard.append("tapped"))
    watch.pressed.connect(lambda: heard.append("pressed"))
    return widget, heard


def test_a_tap_is_heard_and_other_keys_are_not(watched):
    widget, heard = watched
    QTest.keyClick(widget, Qt.Key.Key_A)
    assert heard == []
    QTest.keyClick(widget, Qt.Key.Key_Space)
    assert heard == ["tapped"]


def test_a_button_pressed_meanwhile_makes_it_no_tap(watched):
    widget, heard = watched
    QTest.keyPress(widget, Qt.Key.Key_Space)
    click(widget, QPointF(10.0, 10.0))
    QTest.keyRelease(widget, Qt.Key.Key_Space)
    assert heard == ["pressed"]


def test_one_that_is_held_is_no_tap(watched, monkeypatch):
    widget, heard = watched
    monkeypatch.setattr(hand_watch, "TAP_MS", -1)
    QTest.keyClick(widget, Qt.Key.Key_Space)
    assert heard == []
