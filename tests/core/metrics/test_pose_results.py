"""Results of postures: timing part, stand-ins, cautions."""

from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.pose_results import pose_result
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.scale import Point

replace = msgspec.structs.replace


def result(filmed, key, event="", **changes):
    camera = replace(filmed.delivery.cameras[0], **changes)
    delivery = replace(filmed.delivery, cameras=(camera,))
    return pose_result(BY_KEY[key], event, Sight(delivery, camera))


def test_a_vaguer_mark_widens_what_moves_fast(side):
    marks = dict(side.delivery.cameras[0].marks)
    marks["release"] = Mark(time_s=marks["release"].time_s, u_s=0.010)
    sure = result(side, "trunk_forward_tilt", "release")
    vague = result(side, "trunk_forward_tilt", "release", marks=marks)
    assert vague.value == pytest.approx(sure.value)
    assert vague.u > sure.u
    assert {p.source: p.u for p in vague.budget}["timing of the event"] > 1.0


def test_a_stride_measured_at_contact_says_so(side):
    marks = dict(side.delivery.cameras[0].marks)
    del marks["foot_plant"]
    stride = result(side, "stride_length", marks=marks)
    assert stride.is_shown
    assert any("taken at foot contact" in caution for caution in stride.cautions)
    assert stride.basis == "at foot contact"
    assert result(side, "stride_length").basis == "at foot plant"


def test_the_rubber_moves_the_zero_of_release_extension(side):
    camera = side.delivery.cameras[0]
    without = result(side, "release_extension")
    assert any("rubber is not marked" in caution for caution in without.cautions)
    ankle = camera.tracks["right_ankle"].at(camera.timing.frame_at(camera.marks["leg_lift"].time_s))
    rubber = Point(ankle.x_px + 24.0, ankle.y_px)  # 24 px are 0.1 m here, to the plate
    with_rubber = result(side, "release_extension", scale=replace(camera.scale, rubber=rubber))
    assert with_rubber.value == pytest.approx(without.value - 0.1, abs=0.005)
    assert not any("rubber" in caution for caution in with_rubber.cautions)
    assert (without.basis, with_rubber.basis) == ("from the drive ankle", "from the rubber")
    # One pixel of click is 10/2400 m here.
    parts = {part.source: part.u for part in with_rubber.budget}
    assert parts["place of the rubber"] == pytest.approx(10 / 2400, rel=0.02)
    assert "place of the rubber" not in {part.source for part in without.budget}


def test_a_wrong_hand_gives_a_stride_that_is_questioned(side):
    athlete = replace(side.delivery.athlete, hand="left")
    delivery = replace(side.delivery, athlete=athlete)
    stride = pose_result(BY_KEY["stride_length"], "", Sight(delivery, delivery.cameras[0]))
    assert any("throwing hand" in caution for caution in stride.cautions)
    assert not any("throwing hand" in caution for caution in result(side, "stride_length").cautions)
