from __future__ import annotations

import pytest
from PySide6.QtGui import QAction

from deliverylab.shell.panes.player import PlayerPane


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
