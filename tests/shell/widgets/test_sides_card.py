from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.shell.widgets.sides_card import SidesCard


@pytest.fixture
def card(qtbot):
    card = SidesCard()
    qtbot.addWidget(card)
    return card


def test_it_is_there_only_while_something_is_asked(card):
    assert card.isHidden()
    card.ask("Is the left foot in front?")
    assert card.text == "Is the left foot in front?"
    card.ask("Is the left foot in front?", 3)
    assert card.text.endswith("(1 of 3 such questions)")
    card.ask("")
    assert card.isHidden()
    assert card.text == ""


def test_each_answer_says_whether_sides_are_swapped(card, qtbot):
    card.ask("Left?")
    card.show()
    for button, is_swapped in ((card.as_shown, False), (card.swapped, True)):
        with qtbot.waitSignal(card.answered) as answer:
            qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
        assert answer.args == [is_swapped]
    with qtbot.waitSignal(card.shown):
        qtbot.mouseClick(card.show_frame, Qt.MouseButton.LeftButton)
