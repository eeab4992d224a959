from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from deliverylab.shell.widgets.look_card import LookCard


def test_a_card_leads_somewhere_and_offers_something(qtbot):
    card = LookCard("Bo 1", "slow motion?", level="caution", action="Set 240 a second")
    qtbot.addWidget(card)
    card.show()
    assert card.accessibleName() == "Bo 1. slow motion?"
    with qtbot.waitSignal(card.pressed):
        qtbot.mouseClick(card, Qt.MouseButton.LeftButton)
    with qtbot.waitSignal(card.pressed):
        qtbot.keyClick(card, Qt.Key.Key_Return)
    with qtbot.waitSignal(card.action_chosen):
        card.findChild(QPushButton).click()


def test_without_an_action_there_is_no_button(qtbot):
    card = LookCard("Bo 1")
    qtbot.addWidget(card)
    assert card.findChild(QPushButton) is None


def test_levels_differ_by_shape(qtbot):
    shapes = []
    for level in ("note", "caution", "problem"):
        card = LookCard("Bo 1", level=level)
        qtbot.addWidget(card)
        shapes.append(card._shape.pixmap().toImage())
    assert shapes[0] != shapes[1] != shapes[2] != shapes[0]
