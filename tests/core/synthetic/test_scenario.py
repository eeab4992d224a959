from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.synthetic.scenario import demo_scenario, example_clip
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS


def test_scenario_has_both_hands_two_views_and_two_scales():
    clips = demo_scenario()
    assert list(clips) == ["athlete-side", "model-side", "athlete-rear"]
    assert {clip.spec.hand for clip in clips.values()} == {"left", "right"}
    assert {clip.view for clip in clips.values()} == {"open-side", "rear"}
    scale = [clips[k].focal_px / clips[k].distance_m for k in ("athlete-side", "model-side")]
    assert scale[0] != pytest.approx(scale[1], rel=0.05)


@pytest.mark.parametrize("name", ["athlete-side", "model-side", "athlete-rear"])
def test_athlete_stick_and_rubber_are_in_the_picture_at_every_event(name):
    clip = example_clip(name)
    camera, delivery = clip.camera(), clip.delivery()
    times = list(delivery.events.values())
    points = delivery.motion.positions_at(times)
    body = np.stack([points[key] for key in LANDMARK_KEYS if key != "ball"])
    for where in (camera.project(body), camera.project(clip.stick.ends_m)):
        assert np.all(where > 4.0)
        assert np.all(where < np.array(clip.size_px) - 5.0)
    assert clip.stick.length_m == pytest.approx(1.0)


def test_side_and_rear_show_the_same_throw():
    side, rear = (example_clip(k).delivery() for k in ("athlete-side", "athlete-rear"))
    shift = rear.events["release"] - side.events["release"]
    a = side.motion.positions_at([0.8])["right_wrist"]
    b = rear.motion.positions_at([0.8 + shift])["right_wrist"]
    assert a == pytest.approx(b, abs=1e-9)


def test_unknown_example_is_refused():
    with pytest.raises(NotFoundError, match="athlete-side"):
        example_clip("nobody")
