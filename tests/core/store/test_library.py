from __future__ import annotations

import json

import pytest

from deliverylab.core.errors import NotFoundError, OutputError, ProjectFileError
from deliverylab.core.model.library import Cue, Drill, Library, Link, LinkEnd
from deliverylab.core.store import library as store
from deliverylab.core.store.library import (
    library_file,
    load_library,
    read_library,
    save_library,
)

STRIDE = LinkEnd("stride_length", "", "more")
OWN = Library(
    owner="Kim Doe",
    cues=(Cue(metric="stride_length", event="", way="more", text="Reach."),),
    drills=(Drill(name="Mine", serves=(STRIDE,), how="Do it. 2 × 5.", arm_load="light"),),
    links=(Link(cause=STRIDE, effect=LinkEnd("ball_speed", "", "more"), why="as I see it"),),
    without_links=(("a", "", "b", "release"),),
)


@pytest.fixture
def users(monkeypatch, tmp_path):
    folder = tmp_path / "user"
    monkeypatch.setattr(store.platformdirs, "user_data_path", lambda *_, **__: folder)
    return folder / "library.json"


def test_without_a_file_it_is_empty(users, tmp_path):
    assert library_file() == users
    assert load_library() == load_library(tmp_path / "a.delivery") == Library()
    with pytest.raises(NotFoundError, match=r"library\.json"):
        read_library(users)


def test_it_comes_back_as_it_was_kept(users):
    assert save_library(OWN, users) == users
    assert load_library() == OWN
    assert json.loads(users.read_text(encoding="utf-8"))["format"] == "deliverylab-library"


def test_that_beside_the_project_wins(users, tmp_path):
    project = tmp_path / "a.delivery"
    save_library(OWN, users)
    assert load_library(project) == OWN
    save_library(Library(owner="Sam"), tmp_path / "library.json")
    assert library_file(project) == tmp_path / "library.json"
    assert load_library(project).owner == "Sam"
    assert load_library().owner == "Kim Doe"


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "{}",
        '{"format": "other", "version": 1}',
        '{"format": "deliverylab-library", "version": 2}',
        '{"format": "deliverylab-library", "version": 1, "library": {"owner": 3}}',
    ],
)
def test_a_damaged_file_is_named_and_left_alone(users, text):
    users.parent.mkdir()
    users.write_text(text)
    with pytest.raises(ProjectFileError, match=r"cannot be read.*library\.json"):
        load_library()
    with pytest.raises(ProjectFileError):
        save_library(OWN, users)
    assert users.read_text() == text


def test_a_folder_that_cannot_be_made_is_named(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputError, match="the folder cannot be made"):
        save_library(OWN, tmp_path / "file" / "library.json")
