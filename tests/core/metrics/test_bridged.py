from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.bridged import FILLED
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.track import Track
from deliverylab.core.vocabulary.landmarks import key_for_role


@pytest.fixture
def at_release(side):
    """Return the delivery with the lead knee bridged at release and nowhere else."""
    side = side.delivery
    camera = side.cameras[0]
    frame = camera.timing.frame_position(camera.marks["release"].time_s)
    key = key_for_role("lead_knee", side.athlete.hand)
    track = camera.track(key)
    origins = np.where(np.abs(track.frames - frame) < 1.0, FILLED, track.origins)
    bridged = Track(track.frames, track.xy_px, track.u_px, origins.astype(np.uint8))
    camera = msgspec.structs.replace(camera, tracks=camera.tracks | {key: bridged})
    return msgspec.structs.replace(side, cameras=(camera,))


def test_a_result_at_an_event_names_what_is_bridged_there(at_release):
    told = {(r.metric, r.event): r.cautions for r in evaluate(at_release) if r.is_shown}
    assert "lead knee is bridged, not seen, at release" in told["lead_knee_flexion", "release"]
    assert not any("bridged" in text for text in told["lead_knee_flexion", "foot_contact"])
    assert not any("bridged" in text for text in told["trunk_forward_tilt", "release"])


def test_a_speed_names_what_is_bridged_in_its_frames(at_release):
    told = [
        r.cautions
        for r in evaluate(at_release)
        if r.is_shown and r.metric == "com_forward_speed" and r.event == "release"
    ]
    assert told
    assert "bridged, not seen, in some of its frames: lead knee" in told[0]


def test_nothing_is_said_where_nothing_is_bridged(side):
    assert not any("bridged" in text for r in evaluate(side.delivery) for text in r.cautions)
