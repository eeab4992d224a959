"""Times, speeds and entered values."""

from __future__ import annotations

import math

import msgspec
import pytest

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.motion_results import given_result, interval_result, speed_result
from deliverylab.core.metrics.sight import Sight

replace = msgspec.structs.replace


def sight(filmed, **changes):
    delivery = replace(filmed.delivery, **changes)
    return Sight(delivery, delivery.cameras[0])


def test_u_of_an_interval_is_that_of_two_marks(side):
    # T/sqrt(6): two rectangular intervals of one frame, JCGM 100:2008, 4.3.7.
    result = interval_result(BY_KEY["contact_to_release_time"], "", sight(side))
    assert result.value == pytest.approx(0.145)
    assert result.u == pytest.approx(1 / 240 / math.sqrt(6))


def test_speed_carries_the_scale(side):
    result = speed_result(BY_KEY["com_forward_speed"], "foot_contact", sight(side))
    parts = {part.source: part.u for part in result.budget}
    assert parts["scale length"] == pytest.approx(result.value * 0.005 / 2.5, rel=0.01)
    assert parts["placing the landmarks"] > 0.0


def test_where_the_change_of_speed_is_not_known_the_usual_one_is_taken(film):
    # The whole body is placed around contact only, up to a sample beyond: no window 20 ms later.
    def around(truth):
        contact = round(truth.events["foot_contact"] * 240)
        return range(contact - 30, contact + 4)

    seen = film(only_frames=around)
    speed = sight(seen).speed("foot_contact")
    assert math.isfinite(speed.value)
    assert math.isnan(speed.acceleration_m_s2)
    result = speed_result(BY_KEY["com_forward_speed"], "foot_contact", sight(seen))
    parts = {part.source: part.u for part in result.budget}
    usual = BY_KEY["com_forward_speed"].typical_slope
    assert parts["timing of the event"] == pytest.approx(usual / 240 / math.sqrt(12), rel=1e-6)


def test_a_radar_reading_is_passed_on_with_its_u(side):
    spec = BY_KEY["ball_speed"]
    assert not given_result(spec, "", sight(side)).is_shown
    result = given_result(spec, "", sight(side, ball_speed_m_s=35.2))
    assert result.value == 35.2
    assert result.expanded_u == pytest.approx(0.44704, rel=1e-3)  # one mile an hour, exactly
