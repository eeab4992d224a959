from __future__ import annotations

import shutil

import numpy as np
import pytest

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.workflow.frames import ProjectFrames
from deliverylab.core.workflow.intake import camera_from_clip, camera_without_clip, replace
from tests.core.workflow.conftest import N_FRAMES, pictures


@pytest.fixture
def project_path(tmp_path):
    return tmp_path / "a.delivery"


@pytest.fixture
def delivery(clip, project_path):
    near = shutil.copy(clip, project_path.with_name("side.mp4"))
    camera, _ = camera_from_clip(near, project_path=project_path, view="rear")
    return Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(camera,))


def test_the_picture_of_a_frame_comes_back(delivery, project_path):
    with ProjectFrames(project_path) as frames:
        for number in (0, 17, 5, N_FRAMES - 1):
            picture = frames(delivery, delivery.cameras[0], number)
            assert picture.shape == (48, 64, 3)
            # coding shifts levels a little, so the nearest of all pictures must be the right one
            errors = [np.abs(picture.astype(float) - other).mean() for other in pictures()]
            assert int(np.argmin(errors)) == number
        assert frames.problems == {}


def test_there_is_none_without_a_clip_or_beyond_its_end(delivery, project_path):
    typed = camera_without_clip(width_px=9, height_px=9, n_frames=9, rate="60", view="rear")
    with ProjectFrames(project_path) as frames:
        assert frames(delivery, typed, 0) is None
        assert frames(delivery, delivery.cameras[0], N_FRAMES) is None
        assert frames(delivery, delivery.cameras[0], -1) is None
        assert frames.problems == {}


def test_a_missing_clip_is_told_once_and_gives_none(delivery, project_path):
    project_path.with_name("side.mp4").unlink()
    with ProjectFrames(project_path) as frames:
        assert frames(delivery, delivery.cameras[0], 0) is None
        assert frames.problems == {"side.mp4": "the clip cannot be found"}


def test_a_file_that_is_no_clip_is_told(delivery, project_path):
    from deliverylab.core.store.clips import clip_reference

    path = project_path.with_name("notes.mp4")
    path.write_bytes(b"no clip at all")
    camera = replace(delivery.cameras[0], clip=clip_reference(path, project_path))
    with ProjectFrames(project_path) as frames:
        assert frames(delivery, camera, 0) is None
        assert list(frames.problems) == ["notes.mp4"]


def test_after_closing_a_clip_is_opened_again(delivery, project_path):
    frames = ProjectFrames(project_path)
    first = frames(delivery, delivery.cameras[0], 3)
    frames.close()
    assert np.array_equal(frames(delivery, delivery.cameras[0], 3), first)
    frames.close()
