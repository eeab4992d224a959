from __future__ import annotations

import pytest
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QMenuBar

from deliverylab.shell.actions import ACTIONS, GROUPS
from deliverylab.shell.menus import Actions


class Recorder(QObject):
    """Stands for the window: remembers what it is asked for."""

    def __init__(self):
        super().__init__()
        self.asked = []

    def __getattr__(self, name):
        return lambda *arguments: self.asked.append((name, *arguments))


@pytest.fixture
def recorder(qapp):
    return Recorder()


@pytest.fixture
def actions(session, recorder):
    return Actions(session, recorder, recorder.show_error)


def test_every_action_stands_in_the_menu_of_its_group(actions, qtbot):
    bar = QMenuBar()
    qtbot.addWidget(bar)
    menus = actions.fill(bar)
    assert tuple(menus) == GROUPS
    for spec in ACTIONS:
        assert actions[spec.key] in menus[spec.group].actions()
    assert len(actions.all()) == len(ACTIONS)


def test_actions_carry_their_argument_or_their_state(actions, recorder, session):
    actions["look_light"].trigger()
    actions["keys"].trigger()
    actions["full_screen"].trigger()
    assert recorder.asked == [("set_look", "light"), ("show_keys",), ("set_full_screen", True)]
    assert session.is_linked
    actions["linked"].trigger()
    assert not session.is_linked


def test_actions_wait_until_there_is_something_to_act_on(actions, session, pair):
    assert actions["page"].isEnabled()
    pair.select("model", None)
    assert not actions["page"].isEnabled()
    assert actions["skip"].isEnabled()
    pair.choose_partner("published college")  # compared with, but there is no clip of it
    for key, is_there in (("page", True), ("causes", True), ("walkthrough", False)):
        assert actions[key].isEnabled() is is_there
    pair.new_project()
    assert not actions["skip"].isEnabled()


def test_undo_says_what_it_takes_back(actions, pair):
    pair.place_landmark("athlete", "neck", 10, 10)
    assert actions["undo"].text() == "Undo: place neck"
    assert actions["undo"].isEnabled()
    actions["undo"].trigger()
    assert not actions["undo"].isEnabled()
    assert actions["redo"].text() == "Redo: place neck"
    actions["redo"].trigger()
    assert pair.camera("athlete").track("neck").at(0) is not None
