from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QPushButton

from deliverylab.shell.look_watch import LookWatch
from deliverylab.shell.panes.to_look_at import NOTHING, ToLookAtPane
from tests.shell.filmed_twice import WRONG, filmed_twice
from tests.shell.gestures import click, tap

__all__ = ["filmed_twice"]


@pytest.fixture
def pane(filmed_twice, qtbot):
    made = ToLookAtPane(filmed_twice, LookWatch(filmed_twice))
    qtbot.addWidget(made)
    made.resize(300, 500)
    made.show()
    qtbot.waitUntil(lambda: len(made.cards) >= len(WRONG), timeout=10_000)
    return made


def test_each_entry_says_what_where_and_why(pane):
    said = [card.accessibleName() for card in pane.cards]
    assert any(
        one.startswith("Throwing wrist, rear, frame 240") and " px off, " in one for one in said
    )
    assert pane.head == f"To look at: {len(said)}"


def test_a_click_enter_or_step_leads_there(pane, filmed_twice, qtbot):
    first, second = pane._watch.looks[:2]
    with qtbot.waitSignal(pane.stage_wanted) as caught:
        click(pane.cards[1], QPointF(20, 10))
    assert caught.args == ["athlete"]
    assert filmed_twice.state("athlete").frame == second.frame
    assert filmed_twice.current_landmark("athlete") == second.landmark
    tap(pane.cards[0], Qt.Key.Key_Return)
    assert filmed_twice.state("athlete").frame == first.frame
    pane.step(1)
    assert filmed_twice.state("athlete").frame == second.frame
    pane.step(-1)
    assert filmed_twice.state("athlete").frame == first.frame
    assert not filmed_twice.undo_stack.count()


def test_it_is_right_takes_one_off(pane, qtbot):
    n = len(pane.cards)
    with qtbot.waitSignal(pane.counted) as caught:
        click(pane.cards[0].findChild(QPushButton), QPointF(10, 8))
    assert caught.args == [n - 1]
    assert len(pane.cards) == n - 1


def test_what_is_shown_is_right_and_the_next_takes_its_place(pane, filmed_twice, qtbot):
    first, second = pane._watch.looks[:2]
    pane.say_right()
    assert not filmed_twice.undo_stack.count(), "nothing is shown yet"
    pane.step(1)
    filmed_twice.show_frame("athlete", first.frame + 1)
    pane.say_right()
    assert not filmed_twice.undo_stack.count(), "another frame is shown"
    filmed_twice.show_frame("athlete", first.frame)
    pane.say_right()
    assert filmed_twice.undo_stack.undoText() == "Say that it is right"
    qtbot.waitUntil(lambda: not pane._watch.is_due, timeout=10_000)
    assert first not in pane._watch.looks
    pane.step(1)
    state = filmed_twice.state("athlete")
    assert (state.camera, state.frame) == (second.camera, second.frame)


def test_after_a_correction_the_list_is_shorter(pane, filmed_twice, qtbot):
    key, frame, dy_px = WRONG[0]
    filmed_twice.look_at_point("Ana 3", "rear", frame, key)
    at = filmed_twice.camera("athlete").track(key).at(frame)
    filmed_twice.place_landmark("athlete", key, at.x_px, at.y_px - dy_px)

    def is_gone():
        return all((each.landmark, each.frame) != (key, frame) for each in pane._watch.looks)

    qtbot.waitUntil(lambda: not pane._watch.is_due and is_gone(), timeout=10_000)


def test_nothing_to_check_is_said(session, qtbot):
    pane = ToLookAtPane(session, LookWatch(session))
    qtbot.addWidget(pane)
    pane.show()
    assert pane._hint.text() == NOTHING
    pane.step(1)
    assert pane.head == "To look at"
