"""``steady`` as a person types it."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.store.projectfile import save_project
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


def test_a_pan_is_said_with_what_to_do(run, saved):
    shown = filmed(turning([(0.1 * frame, 0.0, 0.0) for frame in range(N)]), patch_xy_px=PATH - 45)
    path = saved([np.repeat(shown(frame)[..., None], 3, axis=2) for frame in range(N)])
    status, said, errors = run(
        "steady", path, "--delivery", "slid", "--frames", "0-9", "--reference", "4"
    )
    assert status == 0, errors
    assert "the camera moves: the picture shifts by up to" in said
    assert "tripod" in said + errors


def test_a_frame_that_is_not_there_is_refused(run, saved):
    path = saved(colour_pictures())
    status, _, errors = run("steady", path, "--delivery", "slid", "--reference", "900")
    assert status != 0
    assert "the reference frame cannot be read" in errors
