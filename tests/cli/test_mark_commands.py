from __future__ import annotations

import pytest

from deliverylab.core.store.projectfile import load_project

TARGET = ("--delivery", "Ana 1")


def marks_of(project):
    return load_project(project).deliveries[0].cameras[0].marks


def test_suggestions_are_printed_and_nothing_is_changed(run, project):
    before = project.read_bytes()
    status, out, _ = run("mark", project, *TARGET, "--suggest")
    assert status == 0
    assert "the lead knee is highest; marked at" in out
    assert "finish        –  " in out
    assert project.read_bytes() == before


def test_only_what_is_not_marked_is_accepted_unless_named(run, project):
    release = marks_of(project)["release"]
    run("mark", project, *TARGET, "leg_lift=none", "foot_contact=none")
    status, out, _ = run("mark", project, *TARGET, "--suggest", "--accept")
    assert status == 0
    assert "marked: leg lift, hand break, foot contact" in out
    marks = marks_of(project)
    assert marks["release"] == release
    assert marks["leg_lift"].u_s > 0.0
    status, out, _ = run("mark", project, *TARGET, "--accept")
    assert "all that is suggested is marked already" in out
    status, out, _ = run("mark", project, *TARGET, "--accept", "Release")
    assert (status, "marked: release" in out) == (0, True)
    assert marks_of(project)["release"].u_s is not None
    assert "leg lift" not in out


@pytest.mark.parametrize(
    ("options", "status", "said"),
    [
        (("--suggest", "release=1"), 2, "not told its time"),
        (("--accept", "jump"), 6, "unknown event"),
        (("--accept", "finish"), 2, "this event is not suggested (finish)"),
        (("--suggest", "--u", "0.01"), 2, "has its own u"),
        ((), 2, "there is nothing to mark"),
    ],
)
def test_what_cannot_be_suggested_is_said(run, project, options, status, said):
    before = project.read_bytes()
    found, _, err = run("mark", project, *TARGET, *options)
    assert (found, said in err) == (status, True), err
    assert project.read_bytes() == before


def test_marks_out_of_order_are_noted_with_the_suggestions(run, project):
    run("mark", project, *TARGET, "release=0.1")
    _, _, err = run("mark", project, *TARGET, "--suggest")
    assert "release is marked before" in err
