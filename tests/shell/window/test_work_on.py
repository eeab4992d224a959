from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.core.model.library import Library
from deliverylab.shell.dialogs.library import LibraryPanel
from deliverylab.shell.dialogs.work_on import WorkOnPanel
from tests.shell.compared import compared
from tests.shell.gestures import CTRL, SHIFT, tap

__all__ = ["compared"]


@pytest.fixture
def window(open_window, compared):
    made = open_window(compared)
    made.stages["athlete"].canvas.setFocus()
    return made


def test_ctrl_k_and_return_make_a_plan(window, compared):
    tap(window.stages["athlete"].canvas, Qt.Key.Key_K, CTRL)
    assert isinstance(window.tool, WorkOnPanel)
    assert window.right.currentWidget() is window.tool
    panel = window.tool
    panel.suggest.click()
    assert compared.work_plan().priorities
    window.actions_by_key["work_on"].trigger()
    assert window.tool is panel
    panel.done.click()
    assert window.tool is None


def test_the_library_opens_for_what_is_worked_on_and_leads_back(window, compared):
    window.show_work_on()
    window.tool.suggest.click()
    window.tool.library.click()
    assert isinstance(window.tool, LibraryPanel)
    first = compared.work_plan().priorities[0]
    assert (window.tool.what.end().metric, window.tool.what.end().way) == (first.metric, first.way)
    window.tool.done.click()
    assert isinstance(window.tool, WorkOnPanel)


def test_the_library_has_a_key_of_its_own_and_what_was_kept_is_taken_back(window, compared):
    tap(window.stages["athlete"].canvas, Qt.Key.Key_K, CTRL | SHIFT)
    panel = window.tool
    assert isinstance(panel, LibraryPanel)
    window.show_library()
    assert window.tool is panel
    panel.new_words.setPlainText("Reach.")
    panel.add.click()
    assert compared.library().cues
    assert "The cue is added." in window.notices.text
    window._on_notice_chosen()
    assert compared.library() == Library()
    panel.done.click()
    assert window.tool is None
