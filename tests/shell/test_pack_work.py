from __future__ import annotations

import zipfile

import numpy as np
import pytest

from deliverylab.core.errors import ClipError, UsageError
from deliverylab.core.model.changes import replace
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.workflow import packing_blur
from deliverylab.shell.pack_work import (
    Choices,
    pack_work,
    preview_work,
    save_stage_picture,
    unlocated,
)
from tests.shell.conftest import camera_of, delivery_of, figure_tracks

ALL = Choices(
    blurs_faces=False, leaves_names_out=False, is_whole=False, has_sound=False, deliveries=("Bo 1",)
)


@pytest.fixture
def filmed(session, clip, monkeypatch):
    """A session whose delivery has a small clip, with a head in its frames 0 to 10."""
    monkeypatch.setattr(packing_blur, "detector_weights", lambda: None)
    tracks = figure_tracks(list(range(11)))
    camera = replace(
        camera_of(n_frames=24, tracks=tracks), width_px=320, height_px=240,
        clip=clip_reference(clip, None),
    )  # fmt: skip
    session.add_delivery(delivery_of("Bo 1", cameras=(camera,)))
    session.select("athlete", "Bo 1")
    return session


def test_what_is_ticked_is_packed(filmed, tmp_path):
    shares = []
    made = pack_work(filmed, ALL, tmp_path / "o.zip")(shares.append)
    assert made.path == tmp_path / "o.zip"
    assert shares[-1] == 1.0
    assert "clips/small.mp4" in zipfile.ZipFile(made.path).namelist()


def test_nothing_ticked_is_said(filmed, tmp_path):
    with pytest.raises(UsageError, match="no delivery is chosen"):
        pack_work(filmed, ALL._replace(deliveries=()), tmp_path / "o.zip")


def test_a_preview_shows_the_blurred_frame(filmed):
    filmed.show_frame("athlete", 23)
    shown = preview_work(filmed, "athlete")(lambda _share: None)
    assert not shown.is_located
    assert shown.picture.shape == (240, 320, 3)
    filmed.show_frame("athlete", 3)
    shown = preview_work(filmed, "athlete")(lambda _share: None)
    assert shown.is_located
    assert shown.picture.flags.c_contiguous
    assert shown.picture.dtype == np.uint8


def test_pictures_without_a_head_are_counted_for_what_is_chosen(filmed):
    n_missing, n = unlocated(filmed, ALL)
    assert n == 24
    # placed in frames 0 to 10; at 240 frames a second 0.05 s beyond are 12 more
    assert n_missing in {1, 2}
    assert unlocated(filmed, ALL._replace(deliveries=())) == (0, 0)


def test_without_a_clip_there_is_no_preview(placed_pair):
    with pytest.raises(UsageError, match="no clip"):
        preview_work(placed_pair, "athlete")


def test_a_clip_that_is_gone_has_no_preview(filmed):
    camera = filmed.camera("athlete")
    gone = replace(camera, clip=replace(camera.clip, path="/gone.mp4"))
    filmed.project.replace_camera("Bo 1", gone)
    with pytest.raises(ClipError):
        preview_work(filmed, "athlete")(lambda _share: None)


def test_the_stage_as_a_picture(filmed, session, tmp_path):
    path = save_stage_picture(filmed, "athlete", tmp_path / "p.png")
    assert path.read_bytes().startswith(b"\x89PNG")
    with pytest.raises(UsageError):
        save_stage_picture(filmed, "model", tmp_path / "q.png")
