from __future__ import annotations

import pytest
from PySide6.QtCore import QDate

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.plan import Plan
from deliverylab.shell.dialogs.work_on import (
    NO_DAY,
    NO_PARTNER,
    NOTHING_CLEAR,
    NOTHING_YET,
    WorkOnPanel,
)
from tests.shell.compared import compared
from tests.shell.conftest import MARKS_A, delivery_of

__all__ = ["compared"]


@pytest.fixture
def alike(session):
    """Two deliveries that differ in nothing."""
    for name in ("Bo 1", "Kim model"):
        delivery = delivery_of(name, marks=MARKS_A)
        session.project.apply(SetDelivery(name=name, delivery=delivery))
    session.set_pair("Bo 1", "Kim model")
    return session


def opened(qtbot, session):
    made = WorkOnPanel(session)
    qtbot.addWidget(made)
    made.resize(318, 700)
    made.show()
    return made


@pytest.fixture
def panel(qtbot, compared):
    return opened(qtbot, compared)


def test_a_plan_is_one_click_away(panel, compared):
    assert panel._empty.text() == NOTHING_YET
    assert panel.suggest.property("role") == "main"
    panel.suggest.click()
    plan = compared.work_plan()
    assert len(panel.forms) == len(plan.priorities) > 0
    assert panel.forms[0].cue.words() == plan.priorities[0].cue
    assert panel.day.date().toString("yyyy-MM-dd") == plan.recheck_date
    assert panel._cautions.text() == "\n".join(compared.plan_cautions())
    assert panel.suggest.property("role") != "main"
    compared.undo()
    assert panel.forms == []


def test_every_part_is_edited_in_its_card(panel, compared):
    panel.suggest.click()
    form = panel.forms[0]
    form.target_edited.emit("12.5")
    form.cue_edited.emit("Go.")
    form.how_edited.emit("Do it.")
    first = compared.work_plan().priorities[0]
    assert (first.target, first.cue, first.how) == (12.5, "Go.", "Do it.")
    form.target_edited.emit("far")
    assert form.target.property("state") == "wrong"
    assert compared.work_plan().priorities[0].target == 12.5
    form.drill_chosen.emit("Mine")
    form.load_chosen.emit("none")
    first = compared.work_plan().priorities[0]
    assert (first.drill, first.arm_load) == ("Mine", "none")


def test_a_clear_difference_is_added_and_moved_and_taken_out(panel, compared):
    actions = panel.add.menu().actions()
    assert len(actions) == len(compared.plan_choices())
    actions[1].trigger()
    panel.add.menu().actions()[0].trigger()
    keys = [one.key for one in compared.work_plan().priorities]
    assert len(keys) == 2
    panel.forms[0].moved.emit(1)
    assert [one.key for one in compared.work_plan().priorities] == keys[::-1]
    panel.forms[0].removed.emit()
    assert [one.key for one in compared.work_plan().priorities] == keys[:1]
    while panel.add.menu().actions() and len(panel.forms) < 3:
        panel.add.menu().actions()[0].trigger()
    assert not panel.add.isVisible()


def test_day_and_note_are_kept_and_the_plan_is_taken_away(panel, compared):
    panel.suggest.click()
    panel.day.setDate(QDate(2027, 1, 31))
    assert compared.work_plan().recheck_date == "2027-01-31"
    panel.day.setDate(NO_DAY)
    assert compared.work_plan().recheck_date == ""
    panel.note.edited.emit("Well done.")
    assert compared.work_plan().note == "Well done."
    panel.take_away.click()
    assert compared.work_plan() == Plan()


def test_a_suggestion_in_the_place_of_a_plan_says_so(panel, compared, qtbot):
    panel.suggest.click()
    panel.forms[0].removed.emit()
    panel.suggest.click()
    with qtbot.waitSignal(panel.said) as said:
        panel.suggest.click()
    assert "undo brings yours back" in said.args[0]


def test_nothing_clear_is_said(qtbot, alike):
    panel = opened(qtbot, alike)
    panel.suggest.click()
    assert panel._empty.text() == NOTHING_CLEAR


def test_without_a_partner_there_is_nothing_to_suggest(qtbot, pair):
    pair.select("model", None)
    panel = opened(qtbot, pair)
    assert not panel.suggest.isEnabled()
    assert panel._empty.text() == NO_PARTNER


def test_a_damaged_library_is_said_and_the_plan_stays(panel, compared):
    panel.suggest.click()
    plan = compared.work_plan()
    (compared.path.parent / "library.json").write_text("{")
    panel.refresh()
    assert "cannot be read" in panel.problem.text()
    assert compared.work_plan() == plan
