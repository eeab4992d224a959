from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.shell.remedy_acts import surest_ways
from deliverylab.shell.widgets.surer_card import SurerCard


@pytest.fixture
def asked():
    return []


@pytest.fixture
def card(placed_pair, qtbot, asked):
    def ask():
        asked.append(1)
        return surest_ways(placed_pair.results("athlete"), 3)

    made = SurerCard(ask)
    qtbot.addWidget(made)
    made._idle.setInterval(5)
    made.resize(300, 300)
    return made


def test_it_asks_only_when_seen_and_idle(card, qtbot, asked):
    card.set_due()
    qtbot.wait(25)
    assert not asked
    card.show()
    qtbot.waitUntil(lambda: len(card.ways) == 3)
    for _ in range(8):
        card.set_due()  # a drag: results come faster than the card becomes idle
    assert len(asked) == 1
    qtbot.waitUntil(lambda: len(asked) == 2)
    qtbot.wait(25)
    assert len(asked) == 2


def test_folded_it_neither_shows_nor_asks(card, qtbot, asked):
    card.show()
    qtbot.waitUntil(lambda: bool(card.ways))
    qtbot.mouseClick(card._head, Qt.MouseButton.LeftButton)
    assert all(text.isHidden() for text in card._texts)
    card.set_due()
    qtbot.wait(25)
    assert len(asked) == 1
    qtbot.mouseClick(card._head, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: len(asked) == 2)
    assert not any(text.isHidden() for text in card._texts)


def test_a_way_leads_there(card, qtbot):
    card.show()
    qtbot.waitUntil(lambda: bool(card.ways))
    number = next(n for n, way in enumerate(card.ways) if way.act is not None)
    with qtbot.waitSignal(card.act_wanted) as blocker:
        card._texts[number].linkActivated.emit(str(number))
    assert blocker.args == [card.ways[number].act]
    assert card.ways[number].act.text in card._texts[number].text()
