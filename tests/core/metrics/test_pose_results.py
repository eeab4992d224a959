"""Results of postures: timing part, stand-ins, cautions."""

from __future__ import annotations

import math

import msgspec
import pytest

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.pose_results import pose_result
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.precision import PlacingPrecision
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
    (timing,) = [p for p in vague.budget if p.source == "timing of the event"]
    assert timing.u > 1.0
    assert timing.event == "release"
    assert "mark release more closely" in timing.remedy


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


def test_placing_is_told_by_landmark_and_event(side):
    knee = result(side, "lead_knee_flexion", "release")
    placed = {p.landmark: p for p in knee.budget if p.source == "placing the landmarks"}
    assert placed.keys() == {"lead_hip", "lead_knee", "lead_ankle"}
    assert {p.event for p in placed.values()} == {"release"}
    # the hip is placed half as well as the ankle, at limbs of like length
    assert placed["lead_hip"].u == pytest.approx(2.0 * placed["lead_ankle"].u, rel=0.2)
    stride = result(side, "stride_length")
    assert {(p.landmark, p.event) for p in stride.budget if p.landmark} == {
        ("drive_ankle", "leg_lift"),
        ("lead_ankle", "foot_plant"),
    }


def precise(filmed, key, event, **n_dof):
    # the judged figures, as if they came from repeats: u stays, its doubt is new
    u_m = {"hip": 0.020, "knee": 0.010, "ankle": 0.010}
    precision = PlacingPrecision(placer="Ana", u_m=u_m, n_degrees_of_freedom=n_dof)
    return result(filmed, key, event, precision=precision)


def test_a_u_from_few_repeats_widens_the_interval(side):
    judged = result(side, "lead_knee_flexion", "release")
    assert judged.n_degrees_of_freedom is None
    assert judged.expanded_u == 2.0 * judged.u
    few = precise(side, "lead_knee_flexion", "release", hip=4)
    assert few.u == pytest.approx(judged.u)
    hip = next(p.u for p in judged.budget if p.landmark == "lead_hip")
    # Welch and Satterthwaite by hand: only the hip's part is in doubt
    assert few.n_degrees_of_freedom == pytest.approx(4.0 * (judged.u / hip) ** 4)
    assert few.coverage_factor > 2.0
    assert few.expanded_u == few.coverage_factor * few.u


def test_placings_of_one_part_of_the_body_share_their_doubt(side):
    # Both ankles of a stride rest on one estimate: their parts count together.
    stride = precise(side, "stride_length", "", ankle=6)
    ankles = math.hypot(*(p.u for p in stride.budget if p.landmark))
    assert stride.n_degrees_of_freedom == pytest.approx(6.0 * (stride.u / ankles) ** 4)


def test_a_position_that_states_its_own_u_does_not_rest_on_the_repeats(film):
    stated = film(u_px=3.0)
    assert precise(stated, "stride_length", "", ankle=6).n_degrees_of_freedom is None
