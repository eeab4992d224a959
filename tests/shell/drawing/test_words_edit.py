from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from deliverylab.shell.drawing.words_edit import WordsEdit
from deliverylab.shell.theme import theme
from tests.shell.gestures import tap

LONG = "Keep the front shoulder pointing at the plate until the front foot is down. " * 3


@pytest.fixture
def shown(qtbot):
    holder = QWidget()
    qtbot.addWidget(holder)
    column = QVBoxLayout(holder)
    made, other = WordsEdit("Cue", "What is said"), WordsEdit("Other")
    column.addWidget(made)
    column.addWidget(other)
    holder.resize(280, 400)
    holder.show()
    made.show_words("Go.")
    # whoever holds it keeps both alive
    made.holder, made.other = holder, other
    return made


@pytest.fixture(params=[1.0, 1.5])
def type_size(qapp, request):
    theme().apply(qapp, "dark", request.param)
    yield
    theme().apply(qapp, "dark", 1.0)


@pytest.mark.usefixtures("type_size")
def test_it_is_as_high_as_its_words_at_any_width(shown, qtbot):
    one_line = shown.height()
    shown.show_words(LONG)
    qtbot.waitUntil(lambda: shown.height() > 4 * one_line // 2)
    high = shown.height()
    # the last line can be seen without scrolling
    qtbot.waitUntil(lambda: shown.verticalScrollBar().maximum() == 0)
    shown.window().resize(560, 400)
    qtbot.waitUntil(lambda: shown.height() < high)
    shown.show_words("")
    qtbot.waitUntil(lambda: shown.height() == one_line)


def test_words_that_are_typed_are_seen_from_the_first_when_there_is_room(shown, qtbot):
    shown.setFocus()
    one_line = shown.height()
    shown.insertPlainText(LONG)
    qtbot.waitUntil(lambda: shown.height() > 2 * one_line)
    assert shown.verticalScrollBar().value() == 0


def test_return_and_leaving_say_what_was_changed_once(shown, qtbot):
    said = []
    shown.edited.connect(said.append)
    shown.setFocus()
    shown.setPlainText("Go  now.")
    tap(shown, Qt.Key.Key_Return)
    assert said == ["Go now."]
    assert shown.toPlainText() == "Go  now."
    shown.other.setFocus()
    assert said == ["Go now."]
    shown.setFocus()
    shown.setPlainText("Wait.")
    shown.other.setFocus()
    assert said == ["Go now.", "Wait."]


def test_words_that_are_shown_again_do_not_take_what_is_typed(shown):
    shown.setFocus()
    shown.setPlainText("Half a sen")
    shown.show_words("Go.")
    assert shown.toPlainText() == "Half a sen"
    shown.show_words("Another.")
    assert shown.toPlainText() == "Another."
