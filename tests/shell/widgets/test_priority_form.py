from __future__ import annotations

import datetime as dt

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.library import Library
from deliverylab.core.model.plan import Priority
from deliverylab.shell.plan_content import priority_card
from deliverylab.shell.widgets.priority_form import PriorityForm
from tests.shell.gestures import tap

SPEED = Priority(
    metric="com_forward_speed", event="leg_lift", way="more",
    value=0.3, u=0.02, partner=0.6, target=0.45, cue="Go.", drill="Hip to the wall", how="Do it.",
    caution="Mind the wall.",
)  # fmt: skip


def card(priority):
    return priority_card(priority, Athlete(name="Ana"), Library(), "metric", dt.date(2026, 5, 14))


@pytest.fixture
def form(qtbot):
    made = PriorityForm(0)
    qtbot.addWidget(made)
    made.show_card(card(SPEED), 2, 0)
    made.show()
    return made


def test_it_shows_all_of_a_priority(form):
    assert form.title.text() == "Forward speed of the body at leg lift, faster"
    assert form.gap.text() == "Now 0.30 ± 0.04 m/s, partner 0.60 m/s"
    assert form.target.text() == "0.45"
    assert (form.cue.words(), form.drill.words(), form.how.words()) == (
        "Go.",
        "Hip to the wall",
        "Do it.",
    )
    assert form.caution.text() == "Mind the wall."
    assert form.load_words.text() == "Does not load the arm"
    assert not form.load.isVisible()
    assert (form.up.isEnabled(), form.down.isEnabled()) == (False, True)


def test_a_target_is_said_when_the_field_is_left(form):
    said = []
    form.target_edited.connect(said.append)
    form.target.setFocus()
    form.target.setText("0.5")
    tap(form.target, Qt.Key.Key_Return)
    assert said == ["0.5"]
    form.refuse_target()
    assert form.target.property("state") == "wrong"
    form.show_card(card(SPEED), 1, 0)
    assert form.target.property("state") == ""


def test_others_of_the_library_are_one_click_away(form):
    said = []
    form.drill_chosen.connect(said.append)
    assert form.other_drills.isVisible()
    form.other_drills.menu().actions()[0].trigger()
    assert said == ["Walk into the delivery"]
    form.cue_edited.connect(said.append)
    form.other_cues.menu().actions()[0].trigger()
    assert said[-1].startswith("Start moving")


def test_moving_and_taking_out_are_asked_for(form):
    said = []
    form.moved.connect(said.append)
    form.removed.connect(lambda: said.append("out"))
    form.down.click()
    form.out.click()
    assert said == [1, "out"]
    form.show_card(card(SPEED), 2, 1)
    form.up.click()
    assert said[-1] == -1


def test_what_is_typed_is_not_lost_when_the_card_moves(form):
    said = []
    form.cue_edited.connect(said.append)
    form.target_edited.connect(said.append)
    form.moved.connect(said.append)
    form.cue.setFocus()
    form.cue.setPlainText("Wait.")
    form.target.setText("0.5")
    form.down.click()
    assert said == ["Wait.", "0.5", 1]


def test_a_drill_of_ones_own_says_what_it_loads(form):
    said = []
    form.load_chosen.connect(said.append)
    form.show_card(card(replace(SPEED, drill="Mine", arm_load="throwing")), 1, 0)
    assert form.load.isVisible()
    assert form.load.currentData() == "throwing"
    form.load.setCurrentIndex(0)
    form.load.activated.emit(0)
    assert said == ["none"]


def test_what_has_no_target_says_why(form):
    form.show_card(card(Priority(metric="trunk_lateral_tilt", event="release", way="less")), 1, 0)
    assert not form.target.isVisible()
    assert form.no_target.text().startswith("No target: ")
    assert not form.how.isVisible()
