from __future__ import annotations

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QMessageBox

from deliverylab.core.errors import ClipError
from deliverylab.shell.messages import (
    NoticeBar,
    ask_about_changes,
    ask_about_conflict,
    error_text,
    show_error,
    unexpected_text,
)

ERROR = ClipError("the clip cannot be read", where="a.mp4", remedy="copy it again")


def _in_the_box(react):
    """Answer the message box that is about to open."""

    def answer():
        box = QApplication.activeModalWidget()
        assert isinstance(box, QMessageBox)
        react(box)

    QTimer.singleShot(50, answer)


def test_an_error_becomes_sentences():
    assert error_text(ERROR) == "The clip cannot be read (a.mp4). Copy it again."
    assert error_text(ClipError("it failed")) == "It failed."


def test_notes_go_by_themselves_and_problems_stay(qtbot):
    bar = NoticeBar()
    qtbot.addWidget(bar)
    assert bar.text == ""
    bar.say("Saved.", "good")
    assert bar.text == "Saved."
    assert bar._timer.isActive()
    bar.say("No.", "problem")
    assert not bar._timer.isActive()
    bar.dismiss()
    assert bar.text == ""


def test_a_notice_can_offer_one_thing_to_do(qtbot):
    bar = NoticeBar()
    qtbot.addWidget(bar)
    bar.say("Slow motion?", "caution", action="Set 240 a second")
    with qtbot.waitSignal(bar.action_chosen):
        bar._button.click()
    assert bar.isHidden()


def test_the_box_shows_all_three_parts(qtbot):
    seen = []

    def react(box):
        seen.append((box.text(), box.informativeText()))
        box.close()

    _in_the_box(react)
    show_error(None, ERROR)
    assert seen == [("The clip cannot be read.", "a.mp4\n\nCopy it again")]


@pytest.mark.parametrize(
    ("button", "answer"), [("Save", "save"), ("Discard", "discard"), ("Cancel", "cancel")]
)
def test_unsaved_edits_are_asked_about(qtbot, button, answer):
    bar = NoticeBar()
    qtbot.addWidget(bar)
    _in_the_box(lambda box: box.button(getattr(QMessageBox.StandardButton, button)).click())
    assert ask_about_changes(bar, "Visit") == answer


def test_a_fault_of_the_program_says_where_the_copy_lies():
    text = unexpected_text(KeyError("x"), "/copies/a", "/logs/b")
    assert "/copies/a" in text
    assert "/logs/b" in text
    assert "no unsaved work" in unexpected_text(KeyError("x"), "", "/logs/b")


@pytest.mark.parametrize(
    ("button", "answer"),
    [("Save under", "other name"), ("Open what", "theirs"), ("Cancel", "cancel")],
)
def test_two_versions_of_one_file_are_asked_about(qtbot, button, answer):
    bar = NoticeBar()
    qtbot.addWidget(bar)

    def react(box):
        (chosen,) = (one for one in box.buttons() if one.text().strip("&").startswith(button))
        chosen.click()

    _in_the_box(react)
    assert ask_about_conflict(bar, "visit.delivery") == answer
