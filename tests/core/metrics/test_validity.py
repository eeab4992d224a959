"""When nothing is shown, and what is said then."""

from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.inputs import event_positions
from deliverylab.core.model.delivery import Mark
from deliverylab.core.synthetic.spec import DeliverySpec

replace = msgspec.structs.replace


def result(delivery, metric, event):
    return next(r for r in evaluate(delivery) if (r.metric, r.event) == (metric, event))


def with_camera(filmed, **changes):
    camera = replace(filmed.delivery.cameras[0], **changes)
    return replace(filmed.delivery, cameras=(camera,))


def test_a_wrong_view_says_from_where_to_film(side, rear):
    assert "behind" in result(side.delivery, "arm_slot", "release").remedy
    assert "side" in result(rear.delivery, "stride_length", "").remedy


def test_a_missing_mark_is_named(side):
    marks = dict(side.delivery.cameras[0].marks)
    del marks["release"]
    absent = result(with_camera(side, marks=marks), "trunk_forward_tilt", "release")
    assert absent.reason == "release not marked"


def test_a_missing_landmark_is_named_with_its_frame(side):
    tracks = dict(side.delivery.cameras[0].tracks)
    del tracks["left_knee"]
    absent = result(with_camera(side, tracks=tracks), "lead_knee_flexion", "foot_contact")
    assert "lead knee not placed at foot contact" in absent.reason
    assert "frame 276" in absent.remedy


def test_a_hidden_landmark_is_not_asked_for(side):
    tracks = dict(side.delivery.cameras[0].tracks)
    del tracks["left_knee"]
    hidden = {"left_knee": tuple(range(400))}
    absent = result(
        with_camera(side, tracks=tracks, occluded=hidden), "lead_knee_flexion", "foot_contact"
    )
    assert "hidden" in absent.reason
    assert "place" not in absent.remedy.split()[0]


def test_too_far_off_square_hides_postures_but_not_times(side):
    scale = replace(side.delivery.cameras[0].scale, yaw_deg=22.0)
    delivery = with_camera(side, scale=scale)
    assert "22° off square" in result(delivery, "trunk_forward_tilt", "release").reason
    assert result(delivery, "contact_to_release_time", "").is_shown


def test_repeated_frames_withhold_speeds_and_double_u_of_times(side):
    usual = result(side.delivery, "contact_to_release_time", "")
    delivery = with_camera(side, duplicate_frames=(4, 9, 14))
    speed = result(delivery, "com_forward_speed", "foot_contact")
    assert "3 frames repeat" in speed.reason
    time = result(delivery, "contact_to_release_time", "")
    assert time.u == pytest.approx(2.0 * usual.u)
    assert time.cautions


def test_too_few_frames_a_second_withhold_speeds(film):
    delivery = film(rate_hz=20).delivery
    assert "too few" in result(delivery, "com_forward_speed", "foot_contact").reason


def test_marks_out_of_order_give_no_time(side):
    marks = dict(side.delivery.cameras[0].marks)
    marks["release"] = Mark(time_s=marks["foot_contact"].time_s - 0.1)
    delivery = with_camera(side, marks=marks)
    absent = result(delivery, "contact_to_release_time", "")
    assert absent.reason == "release is not marked after foot contact"
    marks["release"] = Mark(time_s=marks["leg_lift"].time_s)
    delivery = with_camera(side, marks=marks)
    assert "not marked after leg lift" in result(delivery, "max_com_forward_speed", "").reason


@pytest.mark.parametrize("yaw_deg", [-15.0, 15.0])
def test_fifteen_degrees_either_way_are_the_last_that_are_shown(film, yaw_deg):
    filmed = film(yaw_deg=yaw_deg)
    assert result(filmed.delivery, "trunk_forward_tilt", "foot_contact").is_shown
    scale = replace(filmed.delivery.cameras[0].scale, yaw_deg=1.01 * yaw_deg)
    beyond = result(with_camera(filmed, scale=scale), "trunk_forward_tilt", "foot_contact")
    assert not beyond.is_shown


def test_a_womans_shorter_thigh_is_not_taken_for_a_turned_one(film):
    filmed = film(DeliverySpec(sex="female"))
    known = result(filmed.delivery, "lead_knee_flexion", "release")
    assert known.is_shown
    athlete = replace(filmed.delivery.athlete, sex=None)
    unknown = result(replace(filmed.delivery, athlete=athlete), "lead_knee_flexion", "release")
    # Where sex is not known it is shown, but may be a man's thigh that points out of the picture.
    assert unknown.is_shown
    assert unknown.u > known.u
    athlete = replace(filmed.delivery.athlete, sex="male")
    as_man = result(replace(filmed.delivery, athlete=athlete), "lead_knee_flexion", "release")
    assert "the thigh points out of the picture" in as_man.reason


def test_a_near_camera_does_not_make_a_limb_too_long(film):
    # What may look smaller unturned may not be taken for larger: 0.4 m of depth at 4 m are 10 %.
    filmed = film(view="rear", distance_m=4.0)
    found = result(filmed.delivery, "drive_knee_flexion", "leg_lift")
    assert not any("longer" in caution for caution in found.cautions)


@pytest.mark.parametrize(("share", "factor"), [(0.99, 1.0), (0.93, 2.0), (0.80, None)])
def test_foreshortening_widens_then_hides(side, share, factor):
    camera, spec = side.delivery.cameras[0], BY_KEY["lead_knee_flexion"]
    positions = event_positions(side.delivery, camera, "release")
    hip, knee = positions.of("lead_hip"), positions.of("lead_knee")
    known_px = validity.known_length_px("lead_hip", "lead_knee", side.delivery, camera).usual_px
    length = ((hip.x_px - knee.x_px) ** 2 + (hip.y_px - knee.y_px) ** 2) ** 0.5
    stretch = share * known_px / length
    moved = hip._replace(
        x_px=knee.x_px + stretch * (hip.x_px - knee.x_px),
        y_px=knee.y_px + stretch * (hip.y_px - knee.y_px),
    )
    seen = tuple(moved if each is hip else each for each in positions.seen)
    found = validity.foreshortening(
        spec, type(positions)(positions.event, seen, 0.01, 0.001, 0.004), side.delivery, camera
    )
    if factor is None:
        assert found.absence.reason.startswith("the thigh points out of the picture")
        assert "80 % of its length" in found.absence.reason
    else:
        assert found.absence is None
        assert found.factor == factor


def test_a_limb_longer_than_it_can_be_questions_the_scale(side):
    athlete = replace(side.delivery.athlete, height_m=1.45)
    found = result(replace(side.delivery, athlete=athlete), "lead_knee_flexion", "release")
    assert any("check the scale" in caution for caution in found.cautions)
