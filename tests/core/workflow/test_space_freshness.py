from __future__ import annotations

import msgspec

from deliverylab.core.model.clip_changes import SetMark, SetPosition
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.project import Project
from deliverylab.core.model.space_changes import SetControlClick, SetSpace, SetStand
from deliverylab.core.model.track import Position
from deliverylab.core.store.projectfile import load_project, save_project
from deliverylab.core.workflow.space_freshness import is_out_of_date
from tests.core.workflow.two_phones import solved_two_phones


def state(project):
    return is_out_of_date(project, project.delivery("Ana 1"))


def test_each_edit_says_what_it_puts_out_of_date_and_undo_takes_it_back():
    project = Project(solved_two_phones().record)
    camera = project.camera("Ana 1", "rear")
    where = {"delivery": "Ana 1", "camera": "rear"}
    edits = (
        (SetControlClick(**where, point="cone_left", click=None), "field"),
        (
            SetStand(**where, stand=msgspec.structs.replace(camera.stand, zoom=2.0)),
            "field",
        ),
        (SetPosition(**where, landmark="neck", frame=3, position=Position(1.0, 2.0)), "body"),
        (SetMark(**where, event="release", mark=Mark(time_s=0.5)), "body"),
        (SetSpace(delivery="Ana 1", space=None), ""),
    )
    assert state(project) == ""
    for change, expected in edits:
        inverse = project.apply(change)
        assert state(project) == expected, change
        project.apply(inverse)
        assert state(project) == ""


def test_it_holds_after_a_save(tmp_path):
    path = tmp_path / "a.delivery"
    save_project(solved_two_phones().record, path)
    assert state(Project(load_project(path))) == ""
