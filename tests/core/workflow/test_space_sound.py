from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.store.clips import clip_reference
from deliverylab.core.workflow.space_sound import clock_by_sound
from tests.core.video.test_sound import noise, with_clap, written
from tests.core.workflow.two_phones import solved_two_phones

replace = msgspec.structs.replace


def test_a_clap_in_both_clips_tells_the_offset(tmp_path):
    delivery = solved_two_phones().delivery
    project = tmp_path / "a.delivery"
    cameras = []
    for camera, at_s in zip(delivery.cameras, (1.10, 0.70), strict=True):
        path = written(tmp_path / f"{camera.name}.mkv", with_clap(noise(2.0, 0.01), at_s))
        cameras.append(replace(camera, clip=clip_reference(path, project)))
    heard = replace(delivery, cameras=tuple(cameras))
    clock = clock_by_sound(heard, "open-side", "rear", project)
    assert clock.offset_s == pytest.approx(0.40, abs=0.005)
    # a clip that is away or silent is a normal state
    assert clock_by_sound(delivery, "open-side", "rear", project) is None
    written(tmp_path / "rear.mkv", noise(2.0, 0.01))
    assert clock_by_sound(heard, "open-side", "rear", project) is None
