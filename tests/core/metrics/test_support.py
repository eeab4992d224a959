"""The mean force under the feet, from velocities."""

from __future__ import annotations

import math

import pytest

from deliverylab.core.metrics.support import GRAVITY_M_S2, Support, mean_support


def test_standing_still_is_held_up_by_body_weight():
    support = mean_support((0.0, 0.0), (0.0, 0.0), 0.8)
    assert support.angle_deg == 0.0
    assert support.size_g == 1.0


def test_a_push_as_large_as_gravity_leans_45_degrees():
    support = mean_support((0.0, 0.0), (GRAVITY_M_S2 * 0.5, 0.0), 0.5)
    assert support.angle_deg == pytest.approx(45.0)
    assert support.size_g == pytest.approx(math.sqrt(2.0))


def test_a_body_in_the_air_is_not_supported():
    # falling freely for 0.2 s
    support = mean_support((2.0, 1.0), (2.0, 1.0 - GRAVITY_M_S2 * 0.2), 0.2)
    assert support.size_g == pytest.approx(0.0, abs=1e-12)


def test_u_of_the_direction_is_that_of_small_steps():
    support = Support(3.0, -0.5)
    step = 1e-5
    ahead = Support(3.0 + step, -0.5).angle_deg - support.angle_deg
    up = Support(3.0, -0.5 + step).angle_deg - support.angle_deg
    expected = math.hypot(ahead * 0.1, up * 0.2) / step
    # first order against a step of 1e-5
    assert support.turned_deg(0.1, 0.2) == pytest.approx(expected, rel=1e-4)
