"""What happens at a stop: pause, caption, numbers."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest

from deliverylab.core.model.walkthrough import Stop
from deliverylab.core.report.walkthrough_words import MOST_NUMBERS
from deliverylab.shell.walk_content import NumberChoice
from deliverylab.shell.widgets.stop_form import StopForm
from tests.shell.gestures import click

STOP = Stop(event="release", pause_s=2.5, caption="Look.")


def choices(n, n_chosen):
    return tuple(
        NumberChoice((f"metric {at}", "release"), f"Metric {at}: more", at < n_chosen)
        for at in range(n)
    )


@pytest.fixture
def form(qtbot):
    made = StopForm()
    qtbot.addWidget(made)
    made.resize(280, 500)
    made.show()
    qtbot.waitExposed(made)
    return made


def test_showing_a_stop_edits_nothing(form, qtbot):
    with (
        qtbot.assertNotEmitted(form.pause_edited),
        qtbot.assertNotEmitted(form.caption_edited),
        qtbot.assertNotEmitted(form.numbers_edited),
    ):
        form.show_stop(STOP, "", choices(3, 1))
    assert form.pause.value() == 2.5
    assert form.caption.toPlainText() == "Look."
    assert form.suggestion.isHidden()
    assert form.usual.isHidden()


def test_a_suggestion_is_offered_where_it_is_another_one(form, qtbot):
    form.show_stop(STOP, "Trunk: more upright.", ())
    assert form.suggestion.isVisible()
    with qtbot.waitSignal(form.caption_edited) as caught:
        form.suggestion.click()
    assert caught.args == ["Trunk: more upright."]
    form.show_stop(
        Stop(event="release", caption="Trunk: more upright."), "Trunk: more upright.", ()
    )
    assert form.suggestion.isHidden()


def test_numbers_are_ticked_by_box_or_words_and_four_are_the_most(form, qtbot):
    form.show_stop(STOP, "", choices(6, MOST_NUMBERS))
    boxes = list(form.boxes.values())
    assert [box.isEnabled() for box in boxes] == [True] * 4 + [False] * 2
    assert boxes[4].toolTip() == "4 at most can be read"
    with qtbot.waitSignal(form.numbers_edited) as caught:
        boxes[0].click()
    assert caught.args == [tuple((f"metric {at}", "release") for at in (1, 2, 3))]
    form.show_stop(STOP, "", choices(6, 1))
    words = boxes[2].parentWidget()
    with qtbot.waitSignal(form.numbers_edited) as caught:
        click(words, QPointF(words.width() - 10.0, words.height() / 2))
    assert caught.args == [(("metric 0", "release"), ("metric 2", "release"))]


def test_chosen_numbers_can_be_given_back(form, qtbot):
    form.show_stop(Stop(event="release", metrics=()), "", choices(2, 0))
    with qtbot.waitSignal(form.numbers_edited) as caught:
        form.usual.click()
    assert caught.args == [None]


def test_writing_begins_a_step_and_undo_is_left_to_the_window(form, qtbot):
    form.show_stop(STOP, "", ())
    with qtbot.waitSignal(form.caption_begun):
        form.activateWindow()
        form.caption.setFocus()
    with qtbot.waitSignal(form.caption_edited) as caught:
        QTest.keyClick(form.caption, "!")
    assert "!" in caught.args[0]
    before = form.caption.toPlainText()
    QTest.keyClick(form.caption, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert form.caption.toPlainText() == before
