"""Whether a clip's camera stands still, and how it turned where it does not."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.metrics.shutter import seen_track
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.video.writer import write_clip
from deliverylab.core.workflow.steadying import steady, steadying_change
from tests.core.tracking.sliding import HEIGHT, WIDTH
from tests.core.tracking.turned import filmed, mapped, turning
from tests.core.workflow.slid import PATH, N, colour_pictures, pictures, slid

LAST = 11
PANNED = turning([(0.3 * frame, 0.1 * frame, 0.0) for frame in range(N)])
CORNER = np.array([[40.0, 40.0]])


def steadied(delivery, shown, **how):
    return steady(delivery, delivery.cameras[0], None, pictures=shown, frames=(0, LAST), **how)


def test_a_still_camera_is_said_to_stand_still_though_the_athlete_moves():
    found = steadied(slid(), pictures())
    assert found.is_complete
    assert found.motion.is_still
    assert found.text.startswith("the camera stands still within 0.")


def test_a_pan_is_found_against_the_reference_frame_asked_for():
    shown = filmed(PANNED, patch_xy_px=PATH - 45.0)
    for how, reference in (({}, 0), ({"reference_frame": 6}, 6)):
        found = steadied(slid(), shown, **how)
        assert found.motion.reference_frame == reference
        true = np.linalg.inv(PANNED[reference]) @ PANNED[LAST]
        assert found.motion.carried(LAST, CORNER)[0] == pytest.approx(mapped(true, CORNER), abs=0.2)
    assert "the camera moves" in found.text


def test_the_box_round_placed_landmarks_is_left_out():
    """A thing that fills most of the picture and goes with the camera fools it unless left out."""
    shown, thing = filmed(PANNED), filmed(turning(np.zeros((1, 3))), seed=9)(0)

    def before_the_wall(frame):
        picture = thing.copy()
        picture[:, :140] = shown(frame)[:, :140]
        return picture

    outermost = {"head_top": (210.0, 20.0), "left_ankle": (460.0, 340.0)}
    tracks = {key: Track.of([(0, Position(*xy_px))]) for key, xy_px in outermost.items()}
    boxed = steadied(slid(tracks=tracks), before_the_wall).motion
    true = np.linalg.inv(PANNED[0]) @ PANNED[LAST]
    assert boxed.carried(LAST, CORNER)[0] == pytest.approx(mapped(true, CORNER), abs=0.3)
    assert steadied(slid(tracks={}), before_the_wall).motion.is_still


def test_a_bare_background_is_said_to_tell_nothing():
    found = steadied(slid(), lambda _: np.full((HEIGHT, WIDTH), 90, np.uint8))
    assert "too little" in found.text


def test_frames_that_do_not_tell_are_counted():
    shown = pictures()
    found = steadied(slid(), lambda frame: None if frame in {3, 4} else shown(frame))
    assert found.text.endswith("2 frames do not tell")


def test_a_clip_on_the_disk_is_looked_at_as_well(tmp_path):
    write_clip(tmp_path / "slid.mp4", colour_pictures(), rate=120)
    path = tmp_path / "a.delivery"
    delivery = slid(clip=clip_reference(tmp_path / "slid.mp4", path))
    assert steady(delivery, delivery.cameras[0], path, frames=(0, 5)).motion.is_still


def test_what_cannot_be_looked_at_is_refused_and_cancelling_ends_it():
    delivery = slid()
    with pytest.raises(ClipError, match="no clip"):
        steady(delivery, delivery.cameras[0], None)
    with pytest.raises(InputValueError):
        steady(delivery, delivery.cameras[0], None, pictures=pictures(), frames=(5, 900))
    ended = steadied(delivery, pictures(), is_cancelled=lambda: True)
    assert not ended.is_complete


def test_the_change_brings_every_landmark_to_the_reference_frame():
    shown = filmed(PANNED, patch_xy_px=PATH - 45.0)
    delivery = slid()
    found = steadied(delivery, shown, reference_frame=2)
    change = steadying_change(delivery, delivery.cameras[0], found)
    assert change.motion.reference_frame == 2
    assert change.motion.frames == tuple(range(LAST + 1))
    assert max(change.motion.u_px) < 0.2
    camera = replace(delivery.cameras[0], motion=change.motion)
    seen = seen_track(camera, "left_knee").at(0)
    true = mapped(np.linalg.inv(PANNED[2]) @ PANNED[0], [camera.track("left_knee").xy_px[0]])[0]
    assert seen[:2] == pytest.approx(tuple(true), abs=0.3)


def test_a_still_camera_changes_nothing_and_half_a_look_is_no_change():
    delivery = slid()
    still = steadied(delivery, pictures())
    assert steadying_change(delivery, delivery.cameras[0], still).motion is None
    half = dataclasses.replace(still, is_complete=False)
    with pytest.raises(InputValueError, match="to the end"):
        steadying_change(delivery, delivery.cameras[0], half)


def test_a_background_that_seldom_tells_is_refused():
    shown = filmed(PANNED, patch_xy_px=PATH - 45.0)
    bare = np.full((HEIGHT, WIDTH), 90, np.uint8)
    found = steadied(slid(), lambda frame: shown(frame) if frame < 3 else bare)
    with pytest.raises(InputValueError, match="3 of 12 frames only"):
        steadying_change(slid(), slid().cameras[0], found)
