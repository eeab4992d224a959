from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction

from deliverylab.shell.panes.player import PlayerPane
from deliverylab.shell.theme import theme


@pytest.fixture
def player(pair, qtbot):
    action = QAction("Play, or stop")
    action.triggered.connect(pair.toggle_play)
    made = PlayerPane(pair, action)
    made.kept = action
    qtbot.addWidget(made)
    made.show()
    return made


def choose(button, text):
    next(one for one in button.menu().actions() if one.text() == text).trigger()


def test_the_button_plays_and_stops_and_says_which(player, pair):
    assert player.play.accessibleName() == "Play"
    player.play.click()
    assert pair.is_playing
    assert player.play.accessibleName() == "Stop"
    player.play.click()
    assert not pair.is_playing
    assert player.play.accessibleName() == "Play"


def test_speed_and_part_are_chosen_and_shown(player, pair):
    choose(player.speed, "A quarter")
    assert pair.speed == 0.25
    assert player.speed.text() == "¼×"
    choose(player.loop, "Contact to release")
    assert pair.loop == "contact_release"
    assert player.loop.text() == "contact to release"
    checked = [one.text() for one in player.loop.menu().actions() if one.isChecked()]
    assert checked == ["Contact to release"]


def test_a_part_that_is_not_marked_says_why_it_cannot_be_played(player, pair):
    pair.remove_mark("athlete", "release")
    heard = []
    player.failed.connect(heard.append)
    choose(player.loop, "Lift to release")
    assert "release is not marked" in str(heard[0])
    checked = [one.text() for one in player.loop.menu().actions() if one.isChecked()]
    assert checked == ["No loop"]


def test_in_large_type_the_part_that_repeats_is_lit_and_told_by_the_tool_tip(player, pair, qapp):
    theme().apply(qapp, "dark", 1.5)
    try:
        choose(player.loop, "Contact to release")
        assert player.loop.toolButtonStyle() == Qt.ToolButtonStyle.ToolButtonIconOnly
        assert player.loop.isChecked()
        assert "contact to release" in player.loop.toolTip()
        choose(player.loop, "No loop")
        assert not player.loop.isChecked()
    finally:
        theme().apply(qapp, "dark", 1.0)
