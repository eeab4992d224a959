"""``steady`` as a person types it."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.store.projectfile import load_project, save_project
from deliverylab.core.video.writer import write_clip
from tests.core.tracking.turned import filmed, turning
from tests.core.workflow.slid import PATH, N, colour_pictures, slid


@pytest.fixture
def saved(tmp_path):
    def make(pictures):
        clip = write_clip(tmp_path / "slid.mp4", pictures, rate=120)
        path = tmp_path / "a.delivery"
        made = Project(ProjectRecord())
        made.apply(SetDelivery(name="slid", delivery=slid(clip=clip_reference(clip, path))))
        save_project(made.record, path)
        return path

    return make


def test_a_still_camera_is_said_to_stand_still_and_nothing_is_changed(run, saved):
    path = saved(colour_pictures())
    before = path.read_bytes()
    status, said, errors = run("steady", path, "--delivery", "slid", "--frames", "0-9")
    assert status == 0, errors
    assert "slid, main: the camera stands still within 0." in said
    assert "film again" not in said + errors
    assert path.read_bytes() == before


PANNED = turning([(0.1 * frame, 0.0, 0.0) for frame in range(N)])


@pytest.fixture
def panned(saved):
    """A project whose clip was panned."""
    shown = filmed(PANNED, patch_xy_px=PATH - 45)
    return saved([np.repeat(shown(frame)[..., None], 3, axis=2) for frame in range(N)])


def camera_in(path):
    return load_project(path).deliveries[0].cameras[0]


def test_a_pan_is_taken_out_and_put_back(run, panned):
    before = camera_in(panned)
    how = ("steady", panned, "--delivery", "slid")
    status, said, errors = run(*how, "--frames", "0-9", "--reference", "4")
    assert status == 0, errors
    assert "the camera moves: the picture shifts by up to" in said
    assert "count as in frame 4" in errors
    moved = camera_in(panned)
    assert moved.motion.frames == tuple(range(10))
    assert moved.tracks == before.tracks
    status, _, errors = run(*how, "--off")
    assert status == 0, errors
    assert camera_in(panned) == before


def test_looking_changes_nothing(run, panned):
    before = panned.read_bytes()
    status, said, errors = run("steady", panned, "--delivery", "slid", "--frames", "0-9", "--look")
    assert status == 0, errors
    assert "the camera moves" in said
    assert panned.read_bytes() == before


def test_a_frame_that_is_not_there_is_refused(run, saved):
    path = saved(colour_pictures())
    status, _, errors = run("steady", path, "--delivery", "slid", "--reference", "900")
    assert status != 0
    assert "the reference frame cannot be read" in errors
