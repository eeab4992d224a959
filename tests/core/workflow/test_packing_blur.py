from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.workflow import packing_blur
from deliverylab.core.workflow.packing_blur import FaceBlur
from deliverylab.core.workflow.packing_cut import Cut

replace = msgspec.structs.replace


def with_head(frames):
    tracks = {
        key: Track.of((frame, Position(160.0, y)) for frame in frames)
        for key, y in (("head_top", 60.0), ("neck", 100.0))
    }
    return Camera(
        name="main", view="open-side", width_px=320, height_px=240,
        timing=Timing(n_frames=60, stored_rate="100"), tracks=tracks,
    )  # fmt: skip


@pytest.fixture(autouse=True)
def _no_detector(monkeypatch):
    monkeypatch.setattr(packing_blur, "detector_weights", lambda: None)


@pytest.fixture
def noise():
    return np.random.default_rng(1).integers(0, 256, (240, 320, 3), dtype=np.uint8)


def blur_of(camera, cut):
    return FaceBlur(
        Delivery(name="a", athlete=Athlete(name="a"), cameras=(camera,)), camera, None, cut
    )


def test_heads_are_blurred_where_located_and_pictures_where_not(noise):
    blur = blur_of(with_head(range(10, 30)), Cut(0, 59))
    results = {frame: blur(frame, noise) for frame in range(60)}
    inside, outside = np.s_[70:90, 150:170], np.s_[200:230, 20:60]
    located = results[20]
    assert np.abs(np.diff(located[inside].astype(int), axis=0)).max() < 20
    assert (located[outside] == noise[outside]).all()
    coarse = results[50]
    assert np.abs(np.diff(coarse[outside].astype(int), axis=0)).max() < 20
    assert blur.n_located + blur.n_coarse == 60
    assert 20 <= blur.n_located <= 31
    assert blur.head(20) is not None
    assert blur.head(50) is None


def test_every_picture_is_changed(noise):
    blur = blur_of(with_head(range(10, 30)), Cut(0, 59))
    assert all((blur(frame, noise) != noise).any() for frame in range(60))


def test_the_detector_is_asked_where_landmarks_do_not_tell(noise, monkeypatch):
    asked = []

    def detect(_delivery, camera, _path, _network, *, frames, step, progress):
        asked.append((frames, step))
        progress(0.5)
        found = np.arange(frames[0], frames[1] + 1, step)
        xy_px = np.tile([[160.0, 60.0], [160.0, 100.0]], (len(found), 10, 1))

        class Poses:
            is_believed = np.ones((len(found), 20), bool)

        Poses.xy_px = xy_px

        class Found:
            poses = Poses

        Found.frames = found
        return Found

    monkeypatch.setattr(packing_blur, "detector_weights", lambda: "there")
    monkeypatch.setattr(packing_blur.detecting, "installed_network", lambda: None)
    monkeypatch.setattr(packing_blur.detecting, "detect", detect)
    camera = with_head(range(10, 30))
    called = []
    delivery = Delivery(name="a", athlete=Athlete(name="a"), cameras=(camera,))
    blur = FaceBlur(delivery, camera, None, Cut(0, 59), lambda: called.append(1))
    assert [step for _, step in asked] == [5, 5]
    assert next(frames[0] for frames, _ in asked) == 0
    assert asked[1][0][1] == 59
    assert called
    for frame in range(60):
        blur(frame, noise)
    assert blur.n_coarse == 0


def test_a_detector_that_gives_up_is_no_failure(noise, monkeypatch):
    from deliverylab.core.errors import ClipError

    def detect(*_given, **_named):
        raise ClipError("nobody is found")

    monkeypatch.setattr(packing_blur, "detector_weights", lambda: "there")
    monkeypatch.setattr(packing_blur.detecting, "installed_network", lambda: None)
    monkeypatch.setattr(packing_blur.detecting, "detect", detect)
    blur = blur_of(with_head([]), Cut(0, 5))
    blur(0, noise)
    assert blur.n_coarse == 1
