from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from tests.shell.compared import compared
from tests.shell.gestures import tap

__all__ = ["compared"]


@pytest.fixture
def window(open_window, compared):
    made = open_window(compared)
    made.stages["athlete"].canvas.setFocus()
    return made


def escape(window):
    """Press Escape where the keyboard is."""
    tap(window.focusWidget() or window, Qt.Key.Key_Escape)


def test_escape_leaves_a_page_for_the_stages(window, monkeypatch):
    stages = window.centre.currentWidget()
    monkeypatch.setattr(window.page, "make", lambda: None)
    window.show_page()
    assert window.centre.currentWidget() is window.page
    escape(window)
    assert window.centre.currentWidget() is stages


def test_escape_leaves_the_tool_then_the_causes(window):
    window.show_causes()
    window.show_work_on()
    escape(window)
    assert window.tool is None
    assert window.causes.isVisible()
    escape(window)
    assert not window.causes.isVisible()
    assert window.scrub.isVisible()


def test_what_is_being_typed_is_left_first(window, qtbot):
    window.show_library()
    panel = window.tool
    panel.new_words.setFocus()
    panel.new_words.setPlainText("Half a cue")
    qtbot.waitUntil(panel.new_words.hasFocus)
    escape(window)
    assert window.tool is panel
    assert panel.new_words.words() == "Half a cue"
    escape(window)
    assert window.tool is None


def test_what_is_at_work_is_not_stopped(window, monkeypatch):
    window.show_work_on()
    monkeypatch.setattr(type(window.tool.working), "is_busy", property(lambda _: True))
    escape(window)
    assert window.tool is not None
