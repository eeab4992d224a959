from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.control import places_of, two_cones
from deliverylab.core.errors import NotFoundError
from deliverylab.core.synthetic.scenario import demo_scenario, example_clip
from deliverylab.core.vocabulary.field import BY_KEY
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

NAMES = ["athlete-side", "model-side", "athlete-rear", "model-rear"]


def test_scenario_has_both_hands_two_views_and_two_scales():
    clips = demo_scenario()
    assert sorted(clips) == sorted(NAMES)
    assert {clip.spec.hand for clip in clips.values()} == {"left", "right"}
    assert {clip.view for clip in clips.values()} == {"open-side", "rear"}
    scale = [clips[k].focal_px / clips[k].distance_m for k in ("athlete-side", "model-side")]
    assert scale[0] != pytest.approx(scale[1], rel=0.05)


@pytest.mark.parametrize("name", NAMES)
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


@pytest.mark.parametrize("name", NAMES)
def test_cones_stand_where_a_tape_puts_them_and_hide_nobody(name):
    clip = example_clip(name)
    meant = places_of(two_cones(BY_KEY["baseball"]))
    feet = np.array([cone.foot_m for cone in clip.cones])
    gaps = feet - np.array([meant[cone.key] for cone in clip.cones])
    # two taped lengths to a centimetre each; the ground's height follows from the mound
    assert np.all(np.abs(gaps[:, :2]) < 0.010)
    assert np.any(gaps != 0.0)
    clicked = clip.camera().project(feet)
    assert np.all((clicked > 20.0) & (clicked < np.array(clip.size_px) - 20.0))
    # no foot comes as near as a cone and a shoe are wide (20 + 10 px) until the arm stops
    delivery = clip.delivery()
    points = delivery.motion.positions_at(
        delivery.times_s[: round(delivery.events["finish"] * 240)]
    )
    steps = np.stack(
        [points[f"{side}_{part}"] for side in ("left", "right") for part in ("heel", "toe")]
    )
    away = np.linalg.norm(clip.camera().project(steps)[:, :, None] - clicked, axis=-1)
    assert away.min() > 35.0


@pytest.mark.parametrize("who", ["athlete", "model"])
def test_side_and_rear_show_the_same_throw(who):
    side, rear = (example_clip(f"{who}-{view}").delivery() for view in ("side", "rear"))
    shift = rear.events["release"] - side.events["release"]
    a = side.motion.positions_at([0.8])["right_wrist"]
    b = rear.motion.positions_at([0.8 + shift])["right_wrist"]
    assert a == pytest.approx(b, abs=1e-9)
    # the second phone was started by hand, and its frames fall between those of the first
    assert 0.05 < abs(shift) < 0.2
    assert abs(shift * 240 - round(shift * 240)) > 0.05


def test_unknown_example_is_refused():
    with pytest.raises(NotFoundError, match="athlete-side"):
        example_clip("nobody")
