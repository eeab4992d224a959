"""Taking a camera's motion out is an edit like any other."""

from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.motion_changes import SetCameraMotion
from deliverylab.core.model.project import Project, ProjectRecord
from tests.core.model.test_camera_motion import motion
from tests.core.workflow.slid import slid


def change(value):
    return SetCameraMotion(delivery="slid", camera="main", motion=value)


def test_it_is_set_and_taken_back():
    project = Project(ProjectRecord(deliveries=(slid(),)))
    inverse = project.apply(change(motion()))
    assert project.camera("slid").motion == motion()
    assert inverse == change(None)
    assert change(motion()).label == "Take the camera's motion out"
    project.apply(inverse)
    assert project.record.deliveries[0] == slid()


@pytest.mark.parametrize("frames", [(), (0, 45)])
def test_the_motion_of_another_clip_is_refused(frames):
    project = Project(ProjectRecord(deliveries=(slid(),)))
    base = motion()
    other = type(base)(
        reference_frame=0, frames=frames, homographies=base.homographies[: len(frames)],
        u_px=base.u_px[: len(frames)],
    )  # fmt: skip
    with pytest.raises(InputValueError, match="another clip"):
        project.apply(change(other))
    assert project.camera("slid").motion is None
