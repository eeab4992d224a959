"""Courses over the clip."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.curves import CURVE_METRICS, metric_curve

replace = msgspec.structs.replace


def test_the_course_of_the_trunk_is_the_figures(side):
    curve = metric_curve(side.delivery, "trunk_forward_tilt")
    at_s = side.truth.events["foot_contact"]
    inside = np.abs(curve.times_s - at_s) < 0.05
    truth = BY_KEY[curve.metric].measure(side.true_pose(curve.times_s[inside]))
    assert curve.values[inside] == pytest.approx(truth, abs=1.0)
    assert (curve.u > 0).all()


def test_speed_has_a_course_too(side):
    curve = metric_curve(side.delivery, "com_forward_speed")
    # Near the ends of the placed frames there is no window for a slope.
    known = np.isfinite(curve.values)
    assert known.sum() > 100
    assert known[10:-10].all()


def test_a_limb_that_points_out_of_the_picture_has_no_course_there(side):
    curve = metric_curve(side.delivery, "lead_knee_flexion")
    at = side.truth.events
    near_lift = np.abs(curve.times_s - at["leg_lift"]) < 0.1
    late = (curve.times_s > at["foot_contact"]) & (curve.times_s < at["release"])
    # At leg lift the thigh points at the camera: what the picture shows there is not the knee.
    assert np.isnan(curve.values[near_lift]).all()
    assert np.isfinite(curve.values[late]).all()


def test_what_is_not_shown_at_any_event_has_no_course(side, rear):
    assert metric_curve(side.delivery, "trunk_lateral_tilt") is None
    assert metric_curve(rear.delivery, "trunk_forward_tilt") is None
    assert metric_curve(rear.delivery, "trunk_lateral_tilt") is not None


def test_the_course_comes_from_the_camera_that_shows_the_results(side):
    # The first camera's scale says 30 degrees off: it shows nothing, the second everything.
    first = side.delivery.cameras[0]
    turned = replace(first, name="turned", scale=replace(first.scale, yaw_deg=30.0))
    second = replace(first, name="square")
    delivery = replace(side.delivery, cameras=(turned, second))
    assert metric_curve(delivery, "trunk_forward_tilt", "turned") is None
    course = metric_curve(delivery, "trunk_forward_tilt")
    alone = metric_curve(side.delivery, "trunk_forward_tilt")
    assert np.array_equal(course.values, alone.values, equal_nan=True)


def test_points_at_key_instants_are_no_course(film):
    sparse = film(only_frames=lambda t: sorted({round(s * 240) for s in t.events.values()}))
    assert metric_curve(sparse.delivery, "trunk_forward_tilt") is None


def test_every_course_is_in_the_catalogue():
    assert set(CURVE_METRICS) <= BY_KEY.keys()
