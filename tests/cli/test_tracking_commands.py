"""``track`` as a person types it."""

from __future__ import annotations

import json

import pytest

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.clip_changes import SetOccluded, SetPositions
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.store.projectfile import load_project, save_project
from deliverylab.core.video.writer import write_clip
from tests.core.workflow.slid import OFFS, colour_pictures, slid


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    return write_clip(tmp_path_factory.mktemp("slid") / "slid.mp4", colour_pictures(), rate=120)


@pytest.fixture
def project(tmp_path, clip):
    path = tmp_path / "a.delivery"
    made = Project(ProjectRecord())
    made.apply(SetDelivery(name="slid", delivery=slid(clip=clip_reference(clip, path))))
    save_project(made.record, path)
    return path


def test_all_placed_landmarks_are_followed(run, project):
    status, said, errors = run("track", project, "--delivery", "slid")
    assert status == 0, errors
    assert "3 landmarks followed, 100% of their frames" in said
    camera = load_project(project).deliveries[0].cameras[0]
    assert {key: len(camera.track(key)) for key in OFFS} == dict.fromkeys(OFFS, 40)


def test_one_landmark_by_its_role_in_some_frames(run, project):
    status, said, errors = run(
        "track", project, "--delivery", "slid", "--landmark", "lead_knee", "--frames", "5-12"
    )
    assert status == 0, errors
    assert "1 landmark followed" in said
    camera = load_project(project).deliveries[0].cameras[0]
    assert len(camera.track("left_knee")) == 3 + 8
    assert len(camera.track("left_hip")) == 3


def test_what_was_lost_is_said_and_comes_as_json(run, project):
    status, said, errors = run(
        "track", project, "--delivery", "slid", "--landmark", "lead_knee", "drive_knee"
    )
    assert status == 0
    assert "0-39 nothing is placed to start from" in " ".join(said.split())
    assert "place a lost landmark once" in errors
    status, said, _ = run(
        *("track", project, "--delivery", "slid", "--landmark", "drive_knee", "lead_knee"),
        *("--json", "-"),
    )
    assert status == 0
    answer = json.loads(said)
    assert answer["tracked"]["left_knee"] == 37
    assert answer["lost"] == [
        {"landmark": "right_knee", "first_frame": 0, "last_frame": 39,
         "reason": "nothing is placed to start from"}
    ]  # fmt: skip


def test_no_such_landmark_changes_nothing(run, project):
    before = project.read_bytes()
    status, _, errors = run("track", project, "--delivery", "slid", "--landmark", "tail")
    assert status != 0
    assert "tail" in errors
    assert project.read_bytes() == before


def test_short_gaps_are_bridged_where_that_is_asked_for(run, project):
    run("track", project, "--delivery", "slid")
    made = Project(load_project(project))
    gap = {"left_knee": dict.fromkeys((10, 11))}
    made.apply(SetPositions(delivery="slid", camera="main", positions=gap))
    # said to be hidden, so that following leaves them empty
    for frame in (10, 11):
        hidden = SetOccluded(
            delivery="slid", camera="main", landmark="left_knee", frame=frame, is_occluded=True
        )
        made.apply(hidden)
    save_project(made.record, project)
    status, _, errors = run("track", project, "--delivery", "slid", "--fill")
    assert status == 0, errors
    assert "2 places bridged in short gaps" in errors
    track = load_project(project).deliveries[0].cameras[0].track("left_knee")
    assert [track.at(frame).origin for frame in (9, 10, 11)] == ["tracked", "filled", "filled"]
