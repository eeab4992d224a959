"""The voice of a walkthrough, as it is shown."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent

from deliverylab.shell.widgets.voice_form import LOST, NO_VOICE, VoiceForm
from tests.shell.gestures import tap


@pytest.fixture
def form(qtbot):
    made = VoiceForm()
    qtbot.addWidget(made)
    made.resize(280, 300)
    made.show()
    qtbot.waitExposed(made)
    return made


def test_without_a_voice_there_is_nothing_to_set(form):
    assert form.name.full_text == NO_VOICE
    assert form.remove.isHidden()
    assert form.offset.isHidden()


def test_a_lost_voice_is_said_until_it_is_found_or_removed(form, qtbot):
    with qtbot.assertNotEmitted(form.offset_edited):
        form.show_voice("said.wav", 2.0, is_lost=True)
    assert form.problem.text() == f"said.wav {LOST}"
    form.show_voice("said.wav", 2.0)
    assert form.problem.isHidden()
    form.say_problem("Something else.")
    form.show_voice("", 0.0)
    assert form.problem.text() == "Something else."


@pytest.mark.parametrize("key", [Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_Return])
def test_one_key_goes_on_while_it_waits(form, qtbot, key):
    form.show_take("Recording. Stop 1 of 3.", is_waiting=True)
    assert not form.record.isEnabled()
    with qtbot.waitSignal(form.go_on_wanted):
        tap(form.go_on, key)
    form.show_take("Recording. The movement runs.")
    with qtbot.assertNotEmitted(form.go_on_wanted):
        tap(form.go_on, key)
    form.show_take("")
    assert form.take.isHidden()
    assert form.record.isEnabled()


def test_a_key_held_down_leaves_one_stop_only(form, qtbot):
    form.show_take("Recording. Stop 1 of 3.", is_waiting=True)
    held = QKeyEvent(
        QEvent.Type.KeyPress, Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier, " ", True
    )
    with qtbot.assertNotEmitted(form.go_on_wanted):
        form.go_on.keyPressEvent(held)
