from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.angle_speeds import angle_speed_curve
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.curves import Curve, metric_curve
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.space_curves import results_in_space, space_curve, space_scatter
from deliverylab.core.metrics.space_sight import SpaceSight
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.synthetic.field_filming import FieldCare, Phone
from tests.core.metrics.solved import SIDE, solved_delivery, true_points_m

CARE = FieldCare(bias_m=0.010 / math.sqrt(3.0))


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(3, care=CARE)


def _truth(solved, metric, true_s):
    return BY_KEY[metric].measure(SpaceSight(solved.delivery).pose(true_points_m(solved, true_s)))


@pytest.mark.parametrize("number", [0, 1])
@pytest.mark.parametrize("metric", ["separation", "elbow_flexion", "trunk_forward_tilt"])
def test_a_course_is_the_figures_at_the_frames_of_either_clip(solved, metric, number):
    camera = solved.delivery.cameras[number]
    curve = metric_curve(solved.delivery, metric, camera.name)
    true_s = curve.times_s + solved.starts_s[number] + solved.filmed.offsets_s[number]
    events = solved.truth.events
    inside = (true_s > events["leg_lift"]) & (true_s < events["release"])
    assert np.count_nonzero(inside) > 150
    error = curve.values[inside] - _truth(solved, metric, true_s[inside])
    assert np.sqrt(np.mean(error**2)) < 2.0 * np.mean(curve.u[inside])
    assert np.array_equal(camera.timing.times_s[curve.frames], curve.times_s)


def test_u_is_that_of_the_nearest_event(solved):
    curve = metric_curve(solved.delivery, "elbow_flexion", "open-side")
    by_event = {
        r.event: r for r in results_in_space(evaluate(solved.delivery), BY_KEY[curve.metric])
    }
    marks = solved.delivery.cameras[0].marks
    row = int(np.argmin(np.abs(curve.times_s - marks["release"].time_s)))
    assert curve.u[row] == by_event["release"].u
    assert set(curve.u) <= {each.u for each in by_event.values()}


def test_a_clip_that_was_not_solved_has_no_course_in_space(solved):
    spec = BY_KEY["separation"]
    results = results_in_space(evaluate(solved.delivery), spec)
    other = replace(solved.delivery.cameras[0], name="third")
    assert space_curve(solved.delivery, spec, other, results) is None
    assert math.isnan(space_scatter(solved.delivery, spec, other))


def test_the_speed_of_an_angle_is_that_of_its_course_in_space(solved):
    curve = angle_speed_curve(solved.delivery, "trunk_forward_tilt_speed", "open-side")
    assert isinstance(curve, Curve)
    true_s = curve.times_s + solved.starts_s[0]
    events = solved.truth.events
    inside = (true_s > events["foot_contact"]) & (true_s < events["release"])
    after, before = (
        _truth(solved, "trunk_forward_tilt", true_s[inside] + step) for step in (0.002, -0.002)
    )
    error = curve.values[inside] - (after - before) / 0.004
    assert np.mean(np.abs(error) < 2.0 * curve.u[inside]) > 0.85
    assert np.nanmax(curve.values[inside]) > 100.0


def test_a_slow_second_clip_hides_the_speed():
    slow = solved_delivery(2, (SIDE, Phone(view="rear", rate_hz=60.0)), CARE)
    absence = angle_speed_curve(slow.delivery, "trunk_forward_tilt_speed", "open-side")
    assert isinstance(absence, Absence)
    assert absence.reason.startswith("60 frames a second")
    assert metric_curve(slow.delivery, "separation", "rear") is not None
