"""A rear camera that did not stand behind is found by the stride."""

from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.squareness import suspected_yaw_deg
from deliverylab.core.synthetic.spec import DeliverySpec


def restated(filmed, yaw_deg):
    camera = filmed.delivery.cameras[0]
    scale = msgspec.structs.replace(camera.scale, yaw_deg=yaw_deg)
    camera = msgspec.structs.replace(camera, scale=scale)
    return msgspec.structs.replace(filmed.delivery, cameras=(camera,)), camera


@pytest.mark.parametrize("view", ["rear", "front"])
def test_a_square_camera_is_not_suspected(film, view):
    filmed = film(view=view)
    assert suspected_yaw_deg(filmed.delivery, filmed.delivery.cameras[0]) is None


@pytest.mark.parametrize("yaw_deg", [-30.0, 30.0])
def test_one_thirty_degrees_off_is_found_and_not_when_it_was_stated(film, yaw_deg):
    filmed = film(view="rear", yaw_deg=yaw_deg)
    delivery, camera = restated(filmed, 0.0)
    # The stride itself, not the usual one, and the foot 20 % farther away: within 10 degrees.
    assert suspected_yaw_deg(delivery, camera) == pytest.approx(30.0, abs=10.0)
    tilt = next(r for r in evaluate(delivery) if r.metric == "trunk_lateral_tilt")
    assert not tilt.is_shown
    assert "off square" in tilt.reason
    assert suspected_yaw_deg(*restated(filmed, yaw_deg)) is None


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("view", ["rear", "front"])
@pytest.mark.parametrize("yaw_deg", [-20.0, 20.0])
def test_twenty_degrees_off_are_found_from_both_ends_for_both_hands(film, view, hand, yaw_deg):
    delivery, camera = restated(film(DeliverySpec(hand=hand), view=view, yaw_deg=yaw_deg), 0.0)
    # 0.1 m of stride or of landing across are 4 degrees.
    assert suspected_yaw_deg(delivery, camera) == pytest.approx(20.0, abs=4.0)


def test_a_wrongly_stated_yaw_is_found_as_what_it_was(film):
    delivery, camera = restated(film(view="rear", yaw_deg=0.0), 15.0)
    assert suspected_yaw_deg(delivery, camera) == pytest.approx(0.0, abs=4.0)


def test_side_cameras_are_not_judged_by_the_stride(side):
    assert suspected_yaw_deg(side.delivery, side.delivery.cameras[0]) is None


def test_a_little_across_is_a_caution_not_a_refusal(film):
    delivery, camera = restated(film(view="rear", yaw_deg=-12.0), 0.0)
    assert 10.0 < suspected_yaw_deg(delivery, camera) < 15.0
    tilt = next(r for r in evaluate(delivery) if r.metric == "trunk_lateral_tilt")
    assert tilt.is_shown
    assert any("off square" in caution for caution in tilt.cautions)
