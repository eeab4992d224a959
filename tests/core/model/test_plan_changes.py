from __future__ import annotations

import pytest

from deliverylab.core.errors import NotFoundError, UsageError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.plan import Plan, Priority
from deliverylab.core.model.plan_changes import SetPlan, SetWalkthrough, scripts_following
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.walkthrough import Stop, Walkthrough

PAIR = ("Ana 1", "Model")


@pytest.fixture
def project():
    deliveries = tuple(Delivery(name=n, athlete=Athlete(name="Ana"), cameras=()) for n in PAIR)
    return Project(ProjectRecord(deliveries=deliveries))


def test_a_plan_is_set_and_taken_back(project):
    plan = Plan(priorities=(Priority(metric="stride_length", way="more", target=85.0),))
    undo = project.apply(SetPlan(delivery="Ana 1", plan=plan))
    assert project.delivery("Ana 1").plan == plan
    project.apply(undo)
    assert project.delivery("Ana 1").plan is None
    with pytest.raises(NotFoundError):
        project.apply(SetPlan(delivery="Ben", plan=plan))


def test_each_pair_has_one_script(project):
    first = Walkthrough(pair=PAIR, stops=(Stop(event="release"),))
    project.apply(SetWalkthrough(pair=PAIR, walkthrough=first))
    second = Walkthrough(pair=PAIR, speed=0.5)
    undo = project.apply(SetWalkthrough(pair=PAIR, walkthrough=second))
    assert project.record.walkthroughs == (second,)
    project.apply(undo)
    assert project.record.walkthrough(PAIR) == first
    project.apply(SetWalkthrough(pair=PAIR, walkthrough=None))
    assert project.record.walkthrough(PAIR) is None


def test_a_script_stays_with_its_pair(project):
    other = Walkthrough(pair=("Model", "Ana 1"))
    with pytest.raises(UsageError, match="another pair"):
        project.apply(SetWalkthrough(pair=PAIR, walkthrough=other))


@pytest.mark.parametrize(("new_name", "pairs"), [("Ana 2", [("Ana 2", "Model")]), (None, [])])
def test_scripts_follow_a_delivery_that_is_renamed_and_go_with_it(project, new_name, pairs):
    for pair in (PAIR, ("Cy", "Model")):
        script = Walkthrough(pair=pair, stops=(Stop(event="release", caption="Here."),))
        project.apply(SetWalkthrough(pair=pair, walkthrough=script))
    before = project.record
    changes = scripts_following(project.record, "Ana 1", new_name)
    inverses = [project.apply(change) for change in changes]
    assert [each.pair for each in project.record.walkthroughs] == [*pairs, ("Cy", "Model")]
    assert all(each.stops[0].caption == "Here." for each in project.record.walkthroughs)
    for inverse in reversed(inverses):
        project.apply(inverse)
    assert project.record == before


def test_scripts_of_others_are_left_alone(project):
    project.apply(SetWalkthrough(pair=PAIR, walkthrough=Walkthrough(pair=PAIR)))
    assert scripts_following(project.record, "Cy", None) == ()
    assert scripts_following(project.record, "Ana 1", "Ana 1") == ()
