from __future__ import annotations

import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.space_cautions import camera_cautions, mark_cautions
from deliverylab.core.metrics.space_extremes import extreme_result
from deliverylab.core.metrics.space_sight import Instant, SpaceSight
from tests.core.metrics.solved import solved_delivery


@pytest.fixture(scope="module")
def delivery():
    return solved_delivery(3).delivery


def test_good_cameras_need_no_word(delivery):
    assert camera_cautions(SpaceSight(delivery)) == ()


def test_roughly_solved_cameras_are_said_with_every_result(delivery):
    rough = replace(delivery, space=replace(delivery.space, trust="doubtful"))
    sight = SpaceSight(rough)
    (caution,) = camera_cautions(sight)
    assert caution.startswith("the cameras are solved only roughly")
    assert caution in extreme_result(BY_KEY["max_separation"], "", sight).cautions


def test_marks_that_stand_in_or_lie_apart_are_said(delivery):
    sight = SpaceSight(delivery)
    assert mark_cautions(sight, "release", Instant("release", 0.5, 0.001)) == ()
    stood_in = mark_cautions(sight, "foot_plant", Instant("foot_contact", 0.5, 0.001))
    assert stood_in == ("taken at foot contact: foot plant is not marked",)
    apart = mark_cautions(sight, "release", Instant("release", 0.5, 0.001, 0.03))
    assert apart == ("release is marked 30 ms apart in the two clips: that of open-side is taken",)
