from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QToolButton, QVBoxLayout, QWidget

from deliverylab.shell.panes.space_points import NONE_LEFT, SpacePointsPane
from deliverylab.shell.space_watch import SpaceWatch
from tests.shell.filmed_twice import WRONG, filmed_twice
from tests.shell.gestures import click, tap

__all__ = ["filmed_twice"]


@pytest.fixture
def pane(filmed_twice, qtbot):
    """The pane as it stands in a column, so that it may come and go by itself."""
    column = QWidget()
    qtbot.addWidget(column)
    made = SpacePointsPane(filmed_twice, SpaceWatch(filmed_twice))
    QVBoxLayout(column).addWidget(made)
    column.resize(300, 320)
    column.show()
    made._watch.want(column, is_wanted=True)
    qtbot.waitUntil(lambda: len(made.cards) == len(WRONG), timeout=10_000)
    return made


def test_the_worst_stands_first_in_words(pane):
    said = [card.accessibleName() for card in pane.cards]
    assert said[0].startswith("Throwing wrist, rear. Frame 240")
    assert said[1].startswith("Lead knee, rear. Frame 200")
    assert pane.head == "Points to look at: 2"
    assert pane.limbs.startswith("Least even length over the throw: ")


def test_a_click_shows_the_point_with_its_clip_and_frame(pane, filmed_twice, qtbot):
    with qtbot.waitSignal(pane.stage_wanted) as caught:
        click(pane.cards[1], QPointF(20, 10))
    assert caught.args == ["athlete"]
    state = filmed_twice.state("athlete")
    assert (state.camera, state.frame) == ("rear", 200)
    assert filmed_twice.current_landmark("athlete") == "right_knee"
    assert pane.head == "Points to look at: 2 of 2"
    assert not filmed_twice.undo_stack.count()


def test_enter_does_the_same(pane, filmed_twice):
    tap(pane.cards[0], Qt.Key.Key_Return)
    assert filmed_twice.state("athlete").frame == 240


def test_next_and_previous_go_round(pane, filmed_twice):
    pane.step(1)
    assert filmed_twice.state("athlete").frame == 240
    pane.step(1)
    assert filmed_twice.state("athlete").frame == 200
    pane.step(1)
    assert filmed_twice.state("athlete").frame == 240
    before = next(
        one
        for one in pane.findChildren(QToolButton)
        if one.accessibleName() == "Previous point to look at"
    )
    before.click()
    assert filmed_twice.state("athlete").frame == 200


def test_after_a_correction_the_list_is_shorter_and_in_the_end_empty(pane, filmed_twice, qtbot):
    for left, (key, frame, dy_px) in zip((1, 0), WRONG, strict=True):
        filmed_twice.look_at_point("Ana 3", "rear", frame, key)
        at = filmed_twice.camera("athlete").track(key).at(frame)
        filmed_twice.place_landmark("athlete", key, at.x_px, at.y_px - dy_px)
        qtbot.waitUntil(lambda left=left: len(pane.cards) == left, timeout=10_000)
    assert pane.head == "Points to look at"
    assert pane._none.text() == NONE_LEFT
    assert len(pane.limbs.splitlines()) == 9, "there is room for all limbs now"


def test_a_step_right_after_a_correction_goes_by_what_is_left(pane, filmed_twice, qtbot):
    key, frame, dy_px = WRONG[1]
    pane.step(1)
    assert filmed_twice.state("athlete").frame == frame
    at = filmed_twice.camera("athlete").track(key).at(frame)
    filmed_twice.place_landmark("athlete", key, at.x_px, at.y_px - dy_px)
    pane.step(1)
    qtbot.waitUntil(lambda: filmed_twice.state("athlete").frame == WRONG[0][1], timeout=10_000)


def test_without_a_solve_there_is_no_list(placed_pair, qtbot):
    pane = SpacePointsPane(placed_pair, SpaceWatch(placed_pair))
    qtbot.addWidget(pane)
    pane.show()
    assert pane.isHidden()
