from __future__ import annotations

import pytest
from PySide6.QtGui import QUndoStack

from deliverylab.core.model.clip_changes import SetPosition
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.track import Position
from deliverylab.shell.commands import ChangeCommand
from tests.shell.conftest import delivery_of


@pytest.fixture
def project():
    return Project(ProjectRecord(deliveries=(delivery_of("Bo 1"),)))


@pytest.fixture
def stack(qapp):
    return QUndoStack()


def _move(project, stack, x_px, *, gesture=None, landmark="neck"):
    change = SetPosition(
        delivery="Bo 1",
        camera="side",
        landmark=landmark,
        frame=3,
        position=None if x_px is None else Position(x_px, 7.0),
    )
    stack.push(ChangeCommand(project, change, project.apply(change), gesture))


def _x_px(project, landmark="neck"):
    position = project.camera("Bo 1").track(landmark).at(3)
    return None if position is None else position.x_px


def test_a_push_applies_once_and_undo_and_redo_go_back_and_forth(project, stack):
    applied = []
    project.observe(applied.append)
    _move(project, stack, 10.0)
    assert len(applied) == 1
    assert _x_px(project) == 10.0
    stack.undo()
    assert _x_px(project) is None
    stack.redo()
    assert _x_px(project) == 10.0
    assert stack.undoText() == "Place neck"


def test_moves_of_one_gesture_become_one_step(project, stack):
    _move(project, stack, 10.0)
    for x_px in (11.0, 12.0, 13.0):
        _move(project, stack, x_px, gesture="drag")
    assert stack.count() == 2
    stack.undo()
    assert _x_px(project) == 10.0
    stack.redo()
    assert _x_px(project) == 13.0


@pytest.mark.parametrize(
    "second", [{"gesture": "other"}, {"gesture": "drag", "landmark": "head_top"}, {}]
)
def test_another_gesture_another_landmark_or_none_is_another_step(project, stack, second):
    _move(project, stack, 10.0, gesture="drag")
    _move(project, stack, 20.0, **second)
    assert stack.count() == 2


def test_a_drag_that_ends_where_it_began_leaves_no_step(project, stack):
    _move(project, stack, 10.0)
    _move(project, stack, 12.0, gesture="drag")
    _move(project, stack, 10.0, gesture="drag")
    assert stack.count() == 1
    assert _x_px(project) == 10.0
    _move(project, stack, 14.0, gesture="drag")  # the same drag goes on
    assert stack.count() == 2
    stack.undo()
    assert _x_px(project) == 10.0


def test_a_step_after_saving_is_not_merged_into_what_was_saved(project, stack):
    _move(project, stack, 10.0, gesture="drag")
    stack.setClean()
    _move(project, stack, 11.0, gesture="drag")
    assert not stack.isClean()
    stack.undo()
    assert stack.isClean()
    assert _x_px(project) == 10.0
