from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.shell.session_depth import DepthQuestion
from deliverylab.shell.widgets.depth_card import DepthCard

FOREARM = DepthQuestion(
    "release", "release", "throwing_forearm", "forearm",
    (("elbow", "farther"), ("wrist", "nearer")), None,
)  # fmt: skip


@pytest.fixture
def card(qtbot):
    made = DepthCard()
    qtbot.addWidget(made)
    made.show_questions([FOREARM])
    return made


def test_a_click_tells_and_another_takes_it_back(card, qtbot):
    button = card.buttons["release", "throwing_forearm", "nearer"]
    assert button.text() == "Wrist"
    assert button.accessibleName() == "forearm at release: wrist nearer to the camera"
    with qtbot.waitSignal(card.told) as said:
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert said.args == ["release", "throwing_forearm", "nearer"]
    card.show_questions([FOREARM._replace(choice="nearer")])
    assert button.isChecked()
    with qtbot.waitSignal(card.told) as said:
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert said.args == ["release", "throwing_forearm", None]


def test_it_follows_what_was_said_with_the_same_buttons(card):
    before = dict(card.buttons)
    card.show_questions([FOREARM._replace(choice="farther")])
    assert card.buttons == before
    checked = {key[2] for key, button in card.buttons.items() if button.isChecked()}
    assert checked == {"farther"}


def test_without_a_question_it_is_not_there(card):
    assert not card.isHidden()
    card.show_questions([])
    assert card.isHidden()
