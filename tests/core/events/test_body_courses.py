from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.events.body_courses import BodyCourses
from deliverylab.core.events.rules import ARM_HALF_WIDTH_S, LEG_HALF_WIDTH_S
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS
from tests.core.events.moving import SUGGESTION_ROLES, courses, drawn


def test_the_roles_exist():
    assert set(SUGGESTION_ROLES) <= set(ROLE_KEYS)


def test_arms_are_smoothed_less_than_legs():
    body = courses(drawn())
    assert body.courses["throwing_hand"].half_width_s == ARM_HALF_WIDTH_S
    assert body.courses["lead_toe"].half_width_s == LEG_HALF_WIDTH_S


def test_a_role_in_few_frames_is_left_out():
    places_m = {"lead_knee": np.full((50, 2), np.nan), "lead_toe": np.zeros((50, 2))}
    body = BodyCourses.of("side", dict.fromkeys(places_m, np.arange(50) / 240.0), places_m)
    assert set(body.courses) == {"lead_toe"}
    assert body.first_of("lead_knee", "lead_toe")[0] == "lead_toe"
    assert body.first_of("lead_knee") is None


def test_space_brings_the_shoulders_turn():
    times_s, turn = np.arange(50) / 240.0, np.linspace(90.0, 170.0, 50)
    body = BodyCourses.in_space(times_s, {"lead_toe": np.zeros((50, 3))}, turn)
    assert body.sight == "space"
    assert body.external_rotation_deg.values[-1, 0] == pytest.approx(170.0)
    nothing = BodyCourses.in_space(times_s, {}, np.full(50, np.nan))
    assert nothing.external_rotation_deg is None
