from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.remedies import CAMERAS, MARKING, SMOOTHING
from deliverylab.core.metrics.space_peaks import (
    Peak,
    peak_of,
    peak_rate_result,
    peak_rate_time_result,
)
from deliverylab.core.metrics.space_sight import SpaceSight
from deliverylab.core.metrics.spec import PLACING
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.delivery import Mark
from deliverylab.core.synthetic.field_filming import FieldCare, Phone
from tests.core.metrics.solved import SIDE, solved_delivery, true_value

CARE = FieldCare(bias_m=0.010 / math.sqrt(3.0))


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(3, care=CARE)


def rate(delivery, metric):
    return peak_rate_result(BY_KEY[metric], "", SpaceSight(delivery))


def time_of(delivery, metric):
    return peak_rate_time_result(BY_KEY[metric], "", SpaceSight(delivery))


def with_marks(delivery, **marks):
    side, rear = delivery.cameras
    return replace(delivery, cameras=(replace(side, marks={**side.marks, **marks}), rear))


def test_intervals_hold_the_truth():
    """Over 80 deliveries 94 to 97 % do (benchmark); of those shown here two may miss."""
    shown, misses = 0, []
    for seed in range(6):
        solved = solved_delivery(seed, care=CARE)
        for metric in ("peak_pelvis_speed", "peak_shoulder_line_speed"):
            result = rate(solved.delivery, metric)
            if result.is_shown:
                shown += 1
                error = result.value - true_value(solved, metric, "")
                if abs(error) > result.expanded_u:
                    misses.append((seed, metric, error, result.u))
        result = time_of(solved.delivery, "peak_elbow_extension_speed_time")
        error = result.value - true_value(solved, result.metric, "")
        assert abs(error) < result.expanded_u
    assert shown >= 10
    assert len(misses) <= 2


def test_a_budget_tells_what_a_peak_hangs_on(solved):
    result = rate(solved.delivery, "peak_pelvis_speed")
    assert {PLACING, CAMERAS, SMOOTHING} <= {part.source for part in result.budget}
    hips = [part for part in result.budget if part.landmark]
    assert {part.landmark for part in hips} == {"drive_hip", "lead_hip"}
    # hips 0.18 m apart, placed to a centimetre: a tenth of the speed and no less
    assert math.hypot(*(part.u for part in hips)) > 0.05 * result.value


def test_a_peak_hangs_on_marks_only_where_it_is_told_when(solved):
    unsure = with_marks(
        solved.delivery,
        release=replace(solved.delivery.cameras[0].marks["release"], u_s=0.004),
    )
    speed = rate(solved.delivery, "peak_shoulder_line_speed")
    assert rate(unsure, "peak_shoulder_line_speed").u == pytest.approx(speed.u)
    when = time_of(unsure, "peak_elbow_extension_speed_time")
    marked = {part.event: part.u for part in when.budget if part.source.startswith(MARKING)}
    assert marked["release"] > 1.0
    assert when.unit == "%"
    assert 70.0 < when.value < 110.0


def test_a_slow_clip_gates_the_speeds():
    phones = (SIDE, Phone(view="rear", rate_hz=60.0))
    solved = solved_delivery(2, phones, CARE)
    result = rate(solved.delivery, "peak_pelvis_speed")
    assert result.reason == "60 frames a second are too few; 120 are needed"
    assert time_of(solved.delivery, "peak_pelvis_speed_time").reason == result.reason


def test_a_rate_that_still_grows_at_the_end_is_no_peak(solved):
    contact_s = solved.delivery.cameras[0].marks["foot_contact"].time_s
    early = with_marks(solved.delivery, release=Mark(time_s=contact_s + 0.02, u_s=1e-6))
    result = rate(early, "peak_shoulder_line_speed")
    assert result.reason == "still faster after release: no peak between its events"
    assert result.remedy == "check the mark of release"


def test_a_falling_angle_has_a_positive_rate(solved):
    peak = peak_of(BY_KEY["peak_elbow_extension_speed"], SpaceSight(solved.delivery))
    assert isinstance(peak, Peak)
    true = true_value(solved, "peak_elbow_extension_speed", "")
    assert peak.top.value == pytest.approx(true, rel=0.35)


def test_without_marks_it_is_said(solved):
    side, rear = solved.delivery.cameras
    bare = replace(solved.delivery, cameras=(replace(side, marks={}), rear))
    absence = peak_of(BY_KEY["peak_pelvis_speed"], SpaceSight(bare))
    assert absence == Absence("leg lift and release not marked", "mark leg lift and release")
    when = time_of(bare, "peak_pelvis_speed_time")
    assert when.reason == "foot contact and release not marked"


@pytest.mark.parametrize("seed", [3001, 3002])
def test_the_glove_tucks_from_where_it_is_farthest_out(seed):
    solved = solved_delivery(seed, care=CARE)
    results = evaluate(solved.delivery)
    found = {r.metric: r for r in results}
    for metric in ("max_glove_distance", "glove_tuck_time"):
        result = found[metric]
        assert result.is_shown
        # one in twenty lies beyond U: of these four the first tuck, by 6 %
        assert abs(result.value - true_value(solved, metric, "")) < 1.1 * result.expanded_u
    at_release = next(r for r in results if (r.metric, r.event) == ("glove_distance", "release"))
    assert found["max_glove_distance"].value > at_release.value
