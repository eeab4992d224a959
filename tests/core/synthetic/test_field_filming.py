from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.control import pole, standard_field
from deliverylab.core.synthetic.field_filming import (
    FieldCare,
    Phone,
    film_field,
    stand,
    true_places,
)
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.field import BY_KEY
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

EXACT = FieldCare(
    placing_px=0.0,
    bias_m=0.0,
    click_px=0.0,
    focal_share=1e-9,
    level_deg=0.0,
    yaw_deg=0.0,
    body_share=0.0,
    field_scale=0.0,
)
PHONES = (Phone(view="open-side"), Phone(view="rear", rate_hz=60.0))


def test_without_errors_places_are_those_of_the_true_cameras_on_the_shifted_clock():
    truth = build_delivery(DeliverySpec(hand="left"))
    filmed = film_field(truth, PHONES, np.random.default_rng(1), care=EXACT)
    rear = filmed.delivery.tracks[1]
    at = truth.motion.positions_at(rear.times_s + filmed.offsets_s[1])
    wrist = LANDMARK_KEYS.index("left_wrist")
    assert rear.places_px[:, wrist] == pytest.approx(filmed.cameras[1].project(at["left_wrist"]))
    assert rear.rate_hz == pytest.approx(60.0)
    assert np.isnan(rear.places_px[:, LANDMARK_KEYS.index("ball")]).all()
    x, y = filmed.set_ups[0].clicks_px["cone_left"]
    assert filmed.cameras[0].project(filmed.true_points_m["cone_left"]) == pytest.approx([x, y])
    assert filmed.delivery.standing[0][0] == "left_heel"


def test_errors_are_as_large_as_asked():
    truth = build_delivery(DeliverySpec(), rate_hz=60.0)
    care = FieldCare(placing_px=3.0, bias_m=0.0)
    filmed = film_field(truth, PHONES, np.random.default_rng(2), care=care)
    side = filmed.delivery.tracks[0]
    at = truth.motion.positions_at(side.times_s)
    hip = LANDMARK_KEYS.index("left_hip")
    error = side.places_px[:, hip] - filmed.cameras[0].project(at["left_hip"])
    assert np.std(error) == pytest.approx(3.0, rel=0.15)


def test_phones_stand_about_as_meant_and_control_points_within_their_u():
    rng = np.random.default_rng(3)
    camera = stand(PHONES[0], "right", EXACT, rng)
    assert camera.axes[2] == pytest.approx([0.0, 1.0, 0.0], abs=1e-12)
    points = (*standard_field(BY_KEY["baseball"]), *pole("pole", None, 2.0))
    draws = [true_places(points, 1.0, rng) for _ in range(300)]
    cones = np.array([each["cone_left"] for each in draws])
    assert np.std(cones, axis=0) == pytest.approx([0.010, 0.010, 0.020], rel=0.2)
    assert draws[0]["pole_foot"] == pytest.approx(np.zeros(3))
