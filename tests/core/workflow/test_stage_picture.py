from __future__ import annotations

import cv2
import msgspec
import numpy as np
import pytest

from deliverylab.core.errors import ClipError, InputValueError, NotFoundError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.timing import Timing
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.workflow.stage_picture import frame_named, write_stage_picture
from tests.core.workflow.conftest import N_FRAMES, pictures

replace = msgspec.structs.replace


@pytest.fixture
def camera(clip):
    return Camera(
        name="main", view="open-side", width_px=64, height_px=48,
        timing=Timing(n_frames=N_FRAMES, stored_rate="30000/1001"), clip=clip_reference(clip, None),
        marks={"release": Mark(time_s=5 * 1001 / 30000)},
    )  # fmt: skip


def test_a_frame_is_named_by_event_or_number(camera):
    assert frame_named(camera, "release") == 5
    assert frame_named(camera, "7") == frame_named(camera, 7) == 7
    for at, kind in (
        ("finish", NotFoundError), ("nothing", NotFoundError), ("-1", NotFoundError),
        ("24", InputValueError),
    ):  # fmt: skip
        with pytest.raises(kind):
            frame_named(camera, at)


def test_the_picture_is_the_frame_in_its_own_size(camera, tmp_path):
    delivery = Delivery(name="Ana 1", athlete=Athlete(name="Ana"), cameras=(camera,))
    path = write_stage_picture(None, delivery, camera, 3, tmp_path / "p.png")
    read = cv2.cvtColor(cv2.imread(str(path)), cv2.COLOR_BGR2RGB)
    assert read.shape == (48, 64, 3)
    # below the label the pixels are the clip's, as its codec keeps them
    difference = np.abs(read[40:].astype(int) - pictures()[3][40:])
    assert difference.mean() < 12.0


def test_a_clip_that_is_gone_is_said(camera, tmp_path):
    gone = replace(camera, clip=replace(camera.clip, path="gone.mp4"))
    delivery = Delivery(name="Ana 1", athlete=Athlete(name="Ana"), cameras=(gone,))
    with pytest.raises(ClipError, match="gives no picture"):
        write_stage_picture(tmp_path / "p.delivery", delivery, gone, 3, tmp_path / "p.png")
    assert not (tmp_path / "p.png").exists()
