from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.model.field import ControlClick
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.space import SetUpFinding
from deliverylab.core.workflow.checklist import checklist
from deliverylab.core.workflow.health import project_health
from deliverylab.core.workflow.space_health import cameras_step, space_condition
from tests.core.workflow.two_phones import left_in_place, solved_two_phones

replace = msgspec.structs.replace
SAID = (
    "",
    "nothing is measured in space",
    "clicked, but the cameras are not solved",
    "before the field",
    "landmarks or marks changed",
    "doubtful: odd (rear)",
    "cannot be solved: wrong (rear)",
    "is gone",
)


def states():
    """Return deliveries, in the order of what is said of their cameras, with the level."""
    solved = solved_two_phones()
    good, phones = solved.delivery, solved.phones
    side, rear = good.cameras
    clicked = rear.control | {"cone_left": ControlClick(x_px=1.0, y_px=2.0)}
    finding = SetUpFinding(key="a", severity="doubtful", what="odd", where="rear", remedy="look")
    refused = replace(finding, severity="refused", what="wrong")
    return (
        (good, "ok"),
        (left_in_place(phones, ""), "note"),
        (phones.delivery, "note"),
        (
            replace(good, cameras=(side, replace(rear, control=clicked))),
            "problem",
        ),
        (
            replace(good, cameras=(side, replace(rear, marks={}))),
            "note",
        ),
        (
            replace(good, space=replace(good.space, findings=(finding,))),
            "note",
        ),
        (
            replace(good, space=replace(good.space, findings=(finding, refused))),
            "problem",
        ),
        (replace(good, cameras_from="Ben 1"), "problem"),
    )


@pytest.mark.parametrize("said", SAID)
def test_each_state_is_said_and_check_shows_it(said):
    delivery, level = states()[SAID.index(said)]
    record = ProjectRecord(deliveries=(delivery,))
    condition = space_condition(record, delivery)
    assert condition.level == level
    assert said in condition.what
    shown = [each.what for each in project_health(record, None)]
    assert (condition.what in shown) == (level != "ok")


def test_one_camera_has_no_such_state():
    delivery = solved_two_phones().delivery
    one = replace(delivery, cameras=delivery.cameras[:1])
    assert space_condition(ProjectRecord(deliveries=(one,)), one) is None


def test_the_list_of_steps_says_how_far_the_second_camera_has_come():
    solved = solved_two_phones()

    def scale_step(delivery):
        return next(step for step in checklist(delivery) if step.key == "scale")

    assert scale_step(solved.delivery).detail == "set, cameras solved"
    assert scale_step(solved.phones.delivery).detail == "comes with the cameras"
    unsolved = replace(solved.delivery, space=None)
    assert scale_step(unsolved).detail == "set, cameras not solved"
    refused = replace(solved.delivery.space, trust="refused")
    assert (
        scale_step(replace(solved.delivery, space=refused)).detail
        == "set, cameras cannot be solved"
    )


STEPS = (
    (True, "solved, directions unsure by 0."),
    (False, "click the field: open-side 0 of 6, rear 0 of 6"),
    (False, "solve them: open-side 6 of 6, rear 6 of 6 points clicked"),
    (False, "out of date"),
    (True, "solved"),
    (True, "solved"),
    (False, "refused"),
    (False, "is gone"),
)


@pytest.mark.parametrize("number", range(len(STEPS)))
def test_cameras_are_a_step_of_their_own(number):
    delivery, _ = states()[number]
    record = ProjectRecord(deliveries=(delivery,))
    is_done, said = cameras_step(record, delivery)
    assert is_done == STEPS[number][0]
    assert STEPS[number][1] in said
    step = next(step for step in checklist(delivery, None, record) if step.key == "cameras")
    assert step.detail == said
    assert (step.state == "done") == is_done


def test_one_clip_or_no_project_has_no_such_step():
    delivery = solved_two_phones().delivery
    one = replace(delivery, cameras=delivery.cameras[:1])
    assert cameras_step(ProjectRecord(deliveries=(one,)), one) == (True, "")
    for steps in (checklist(delivery), checklist(one, None, ProjectRecord(deliveries=(one,)))):
        assert "cameras" not in {step.key for step in steps}


def test_a_field_that_nobody_clicked_is_no_matter_where_each_camera_has_a_scale():
    solved = solved_two_phones().delivery
    cameras = tuple(replace(camera, control={}) for camera in solved.cameras)
    delivery = replace(solved, space=None, cameras=cameras)
    record = ProjectRecord(deliveries=(delivery,))
    assert cameras_step(record, delivery) == (True, "one at a time: no field clicked")
