from __future__ import annotations

import pytest

from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import SetProjectField
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.store.projectfile import load_project, save_project
from deliverylab.core.store.replacing import ChangedOnDiskError
from deliverylab.core.workflow.editing import edit_project_file


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "a.delivery"
    save_project(ProjectRecord(title="old"), path)
    return path


def _titled(title):
    return SetProjectField(field="title", value=title)


def test_a_change_is_saved(path):
    project = edit_project_file(path, lambda project: _titled(project.record.title + ", new"))
    assert project.record.title == load_project(path).title == "old, new"


def test_edits_of_two_programs_are_both_kept(path):
    n_calls = 0

    def change(project: Project):
        nonlocal n_calls
        n_calls += 1
        if n_calls == 1:
            save_project(ProjectRecord(title="theirs"), path)
        return _titled(f"{project.record.title} and ours")

    edit_project_file(path, change)
    assert load_project(path).title == "theirs and ours"
    assert n_calls == 2


def test_it_gives_up_where_somebody_never_stops(path):
    n_calls = 0

    def change(_):
        nonlocal n_calls
        n_calls += 1
        save_project(ProjectRecord(title=f"theirs {n_calls}"), path)
        return _titled("ours")

    with pytest.raises(ChangedOnDiskError):
        edit_project_file(path, change)
    assert load_project(path).title == f"theirs {n_calls}"


def test_a_change_that_does_not_fit_leaves_the_file(path):
    before = path.read_bytes()
    with pytest.raises(UsageError, match="no such field"):
        edit_project_file(path, lambda _: SetProjectField(field="colour", value="red"))
    assert path.read_bytes() == before
