from __future__ import annotations

import pytest

from deliverylab.core.compare.drills import DRILLS
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.library import Library
from deliverylab.core.model.plan import Plan
from deliverylab.core.store.library import save_library
from deliverylab.core.workflow.planning import PAIN_CAUTION, THROWS_CAUTION
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


@pytest.fixture
def planned(compared):
    assert compared.suggest_plan()
    return compared


def test_a_suggestion_becomes_the_plan_in_one_step(compared):
    assert compared.work_plan() == Plan()
    assert compared.priority_cards() == ()
    n_steps = compared.undo_stack.count()
    assert compared.suggest_plan()
    plan = compared.work_plan()
    assert plan.priorities
    assert plan.recheck_date
    assert len(compared.priority_cards()) == len(plan.priorities)
    assert compared.undo_stack.count() == n_steps + 1
    compared.undo()
    assert compared.work_plan() == Plan()


def test_a_new_suggestion_keeps_the_note(planned):
    planned.change_plan(note="Well done.")
    planned.remove_priority(0)
    planned.suggest_plan()
    assert planned.work_plan().note == "Well done."


def test_nothing_clear_suggests_nothing_and_changes_nothing(alike):
    assert not alike.suggest_plan()
    assert alike.work_plan() == Plan()
    assert alike.plan_choices() == ()


def test_clear_differences_are_added_up_to_three(compared):
    n_choices = len(compared.plan_choices())
    while compared.has_room_in_plan:
        compared.add_priority(compared.plan_choices()[0])
    assert len(compared.work_plan().priorities) == 3
    assert len(compared.plan_choices()) == n_choices - 3
    assert compared.work_plan().recheck_date
    with pytest.raises(InputValueError, match="at most 3"):
        compared.add_priority(compared.plan_choices()[0])
    assert len(compared.work_plan().priorities) == 3


def test_priorities_are_changed_moved_and_taken_out(compared):
    for _ in range(2):
        compared.add_priority(compared.plan_choices()[0])
    first, second = compared.work_plan().priorities
    compared.move_priority(0, 1)
    assert compared.work_plan().priorities == (second, first)
    n_steps = compared.undo_stack.count()
    compared.move_priority(0, -1)
    assert compared.undo_stack.count() == n_steps
    compared.change_priority(1, cue="Go.", target=1.0)
    assert compared.work_plan().priorities[1].cue == "Go."
    compared.remove_priority(0)
    assert [one.cue for one in compared.work_plan().priorities] == ["Go."]
    compared.set_plan(None)
    assert compared.work_plan() == Plan()


def test_a_drill_of_the_library_brings_how_it_is_done_one_of_ones_own_does_not(planned):
    planned.choose_drill(0, DRILLS[0].name)
    assert planned.work_plan().priorities[0].how == DRILLS[0].how
    planned.choose_drill(0, "Mine")
    mine = planned.work_plan().priorities[0]
    assert (mine.drill, mine.how, mine.arm_load) == ("Mine", DRILLS[0].how, "throwing")
    assert THROWS_CAUTION in planned.plan_cautions()


def test_cautions_come_with_something_to_do(compared):
    assert compared.plan_cautions() == ()
    compared.suggest_plan()
    assert PAIN_CAUTION in compared.plan_cautions()


def test_without_a_delivery_there_is_no_plan(session):
    assert session.work_plan() == Plan()
    assert session.plan_cautions() == ()
    with pytest.raises(InputValueError, match="no delivery"):
        session.set_plan(Plan(note="x"))


def test_where_the_library_is_kept_is_said(compared):
    beside = compared.path.parent / "library.json"
    if not beside.exists():
        assert compared.library_place() == "Kept for all your projects"
        save_library(Library(), beside)
    assert compared.library_place() == "Kept for the projects of this folder"
