from __future__ import annotations

import copy

import pytest

from deliverylab.core.errors import NewerVersionError, ProjectFileError
from deliverylab.core.store.migrate import STEPS, migrated, version_of
from deliverylab.core.store.schema import FORMAT, VERSION


def _from_first(document):
    """Lead from a made-up version 1, which called the title a name, to version 2."""
    project = dict(document["project"])
    project["title"] = project.pop("name")
    return document | {"project": project}


def _from_second(document):
    """Lead from a made-up version 2, which knew no units, to version 3."""
    return document | {"project": document["project"] | {"unit_system": "metric"}}


_MADE_UP = {1: _from_first, 2: _from_second}


def test_an_old_document_goes_through_every_step():
    old = {"format": FORMAT, "version": 1, "project": {"name": "May"}}
    before = copy.deepcopy(old)
    new = migrated(old, "a.delivery", steps=_MADE_UP, current=3)
    assert new == {
        "format": FORMAT,
        "version": 3,
        "project": {"title": "May", "unit_system": "metric"},
    }
    assert old == before


def test_a_document_in_between_skips_the_earlier_steps():
    document = {"format": FORMAT, "version": 2, "project": {"title": "May"}}
    assert migrated(document, "a", steps=_MADE_UP, current=3)["project"]["unit_system"] == "metric"


def test_the_present_version_is_left_as_it_is():
    document = {"format": FORMAT, "version": VERSION, "project": {}}
    assert migrated(document, "a") is document


def test_a_newer_version_names_the_release_to_open_it_with():
    document = {"format": FORMAT, "version": VERSION + 1, "written_by": "deliverylab 9.9.9"}
    with pytest.raises(NewerVersionError, match=r"deliverylab 9\.9\.9") as caught:
        migrated(document, "a.delivery")
    assert caught.value.where == "a.delivery"


def test_a_version_that_never_was_is_refused():
    with pytest.raises(ProjectFileError, match="no release has written"):
        migrated({"format": FORMAT, "version": 0}, "a.delivery")


def test_a_step_that_fails_is_a_damaged_file():
    with pytest.raises(ProjectFileError, match="version 1 is damaged"):
        migrated({"format": FORMAT, "version": 1}, "a", steps=_MADE_UP, current=3)


@pytest.mark.parametrize("document", [None, [], "text", {}, {"format": "another"}])
def test_what_is_no_project_is_said_to_be_none(document):
    with pytest.raises(ProjectFileError, match="not a deliverylab project"):
        version_of(document, "a.delivery")


@pytest.mark.parametrize("version", [None, "1", 1.0, True, -1])
def test_a_version_is_a_whole_number(version):
    with pytest.raises(ProjectFileError, match="does not say its version"):
        version_of({"format": FORMAT, "version": version}, "a.delivery")


def test_there_is_a_step_away_from_every_earlier_version():
    assert set(STEPS) == set(range(1, VERSION))
