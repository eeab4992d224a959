"""The truth of a figure's delivery."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.workflow.trust_truth import Truth


@pytest.fixture(scope="module")
def figure():
    return build_delivery(DeliverySpec(), 240.0)


def test_the_truth_is_what_the_figure_was_asked_for(figure):
    truth = Truth(figure)
    assert truth.value(BY_KEY["trunk_forward_tilt"], "release") == pytest.approx(25.4, abs=0.05)
    assert truth.value(BY_KEY["stride_length"], "") == pytest.approx(84.6, abs=0.05)
    assert truth.value(BY_KEY["contact_to_release_time"], "") == pytest.approx(0.145)
    assert np.isnan(truth.value(BY_KEY["ball_speed"], ""))


def test_the_top_speed_is_no_smaller_than_that_at_an_event(figure):
    truth = Truth(figure)
    top = truth.value(BY_KEY["max_com_forward_speed"], "")
    assert top >= truth.value(BY_KEY["com_forward_speed"], "foot_contact") - 1e-3


def test_the_ball_leaves_as_the_figure_was_asked_to_throw(figure):
    truth = Truth(figure)
    spec = figure.spec
    assert truth.value(BY_KEY["ball_speed_measured"], "release") == pytest.approx(
        spec.ball_speed_m_s, rel=1e-4
    )
    # the ball lies in the fingers, a hand's length beyond the third knuckle at most
    knuckle_m = truth.value(BY_KEY["release_height"], "release")
    assert truth.value(BY_KEY["ball_release_height"], "release") == pytest.approx(
        knuckle_m, abs=0.12
    )
    # under gravity alone it has to reach the front of the plate where the figure aims
    far_m = 18.4404 - 17 * 0.0254 - 1.6
    fall_m = 0.5 * 9.80665 * (far_m / spec.ball_speed_m_s) ** 2
    aim_m = 0.75 - 0.254 - knuckle_m
    expected_deg = np.degrees(np.arctan2(aim_m + fall_m, far_m))
    assert truth.value(BY_KEY["ball_launch_angle"], "release") == pytest.approx(
        expected_deg, abs=0.5
    )


def test_the_largest_of_a_course_and_of_its_rate(figure):
    truth = Truth(figure)
    most = truth.value(BY_KEY["max_separation"], "")
    assert most >= truth.value(BY_KEY["separation"], "foot_contact")
    assert truth.value(BY_KEY["peak_elbow_extension_speed"], "") > 1000.0
    when = truth.value(BY_KEY["peak_elbow_extension_speed_time"], "")
    assert 50.0 < when < 100.0
    push_s = truth.value(BY_KEY["drive_knee_push_time"], "")
    assert 0.0 <= push_s < 0.9
