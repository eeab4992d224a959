from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.remedies import CAMERAS, CLOCKS, SMOOTHING, TIMING
from deliverylab.core.metrics.space_extremes import extreme_result
from deliverylab.core.metrics.space_sight import SPACE_VIEW, SpaceSight
from deliverylab.core.metrics.spec import PLACING
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.track import Track
from deliverylab.core.synthetic.field_filming import FieldCare, Phone
from deliverylab.core.vocabulary.landmarks import key_for_role
from tests.core.metrics.solved import REAR, SIDE, solved_delivery, true_value

CARE = FieldCare(bias_m=0.010 / math.sqrt(3.0))
EXTREMES = ("max_separation", "max_elbow_flexion", "max_external_rotation")


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(3, care=CARE)


def extreme(delivery, metric):
    return extreme_result(BY_KEY[metric], "", SpaceSight(delivery))


def test_intervals_hold_the_truth():
    """Over 80 deliveries 92 to 99 % do (benchmark); of 18 two may miss."""
    misses = []
    for seed in range(6):
        solved = solved_delivery(seed, care=CARE)
        for metric in EXTREMES:
            result = extreme(solved.delivery, metric)
            assert result.status == "measured"
            error = result.value - true_value(solved, metric, "")
            if abs(error) > result.expanded_u:
                misses.append((seed, metric, error, result.u))
    assert len(misses) <= 2


def test_an_extreme_needs_no_mark_but_the_ends_of_its_interval(solved):
    side = solved.delivery.cameras[0]
    marks = {e: m for e, m in side.marks.items() if e in {"foot_contact", "release"}}
    bare = replace(
        solved.delivery, cameras=(replace(side, marks=marks), solved.delivery.cameras[1])
    )
    assert extreme(bare, "max_elbow_flexion") == extreme(solved.delivery, "max_elbow_flexion")
    assert extreme(bare, "max_separation").reason == "leg lift not marked"


def test_a_budget_tells_landmarks_cameras_clocks_and_smoothing(solved):
    result = extreme(solved.delivery, "max_external_rotation")
    assert result.view == SPACE_VIEW
    assert {PLACING, CAMERAS, CLOCKS, SMOOTHING} <= {part.source for part in result.budget}
    placed = {part.landmark for part in result.budget if part.source == PLACING}
    assert set(BY_KEY["max_external_rotation"].landmarks) <= placed
    assert all(part.event == "" for part in result.budget if part.source == PLACING)
    assert sum(part.u**2 for part in result.budget) == pytest.approx(result.u**2)


def test_an_event_that_cuts_the_course_off_is_part_of_u(solved):
    """The interval ends before the elbow is bent most, by a mark that is unsure by 10 ms."""
    side, rear = solved.delivery.cameras
    contact_s = side.marks["foot_contact"].time_s
    marks = {**side.marks, "release": Mark(time_s=contact_s + 0.035, u_s=0.010)}
    early = replace(solved.delivery, cameras=(replace(side, marks=marks), rear))
    result = extreme(early, "max_external_rotation")
    parts = {part.source: part for part in result.budget}
    assert parts[TIMING].event == "release"
    assert parts[TIMING].u > 1.0


def test_a_landmark_must_be_placed_all_the_way(solved):
    key = key_for_role("throwing_wrist", solved.truth.spec.hand)
    side, rear = solved.delivery.cameras
    track = rear.tracks[key]
    release_s = solved.truth.events["release"] - solved.filmed.offsets_s[1] - solved.starts_s[1]
    kept = [(at, place) for at, place in track if at < 240.0 * release_s - 20]
    cut = replace(
        solved.delivery,
        cameras=(side, replace(rear, tracks={**rear.tracks, key: Track.of(kept)})),
    )
    result = extreme(cut, "max_elbow_flexion")
    assert result.reason == (
        "throwing wrist not placed all the way from foot contact to release in both clips"
    )
    assert "every frame" in result.remedy
    assert extreme(cut, "max_separation").is_shown


def test_marks_the_wrong_way_round_are_said(solved):
    side, rear = solved.delivery.cameras
    marks = {**side.marks, "release": Mark(time_s=side.marks["leg_lift"].time_s - 0.1)}
    wrong = replace(solved.delivery, cameras=(replace(side, marks=marks), rear))
    assert extreme(wrong, "max_separation").reason == "release is not marked after leg lift"


def test_a_left_hander_is_measured_like_a_right_hander():
    solved = next(
        each
        for each in (solved_delivery(seed, care=CARE) for seed in range(20))
        if each.truth.spec.hand == "left"
    )
    for metric in EXTREMES:
        result = extreme(solved.delivery, metric)
        assert abs(result.value - true_value(solved, metric, "")) < result.expanded_u
        assert np.isfinite(result.u)


def test_a_frame_that_is_missing_leaves_a_gap_and_no_jump(solved):
    """Beside a gap places are single frames: they are read at an event, not taken for a course."""
    key = key_for_role("lead_hip", solved.truth.spec.hand)
    side, rear = solved.delivery.cameras
    at_frame = int(240.0 * side.marks["foot_contact"].time_s) - 30
    kept = [(at, place) for at, place in side.tracks[key] if at != at_frame]
    cut = replace(
        solved.delivery,
        cameras=(replace(side, tracks={**side.tracks, key: Track.of(kept)}), rear),
    )
    result = extreme(cut, "max_separation")
    assert result.reason.startswith("lead hip not placed all the way from leg lift to release")
    assert extreme(cut, "max_elbow_flexion").is_shown


def test_a_third_clip_that_loses_a_landmark_leaves_it_to_the_others():
    three = solved_delivery(5, (SIDE, REAR, Phone(view="closed-side", turn_deg=30.0)), CARE)
    key = key_for_role("lead_hip", three.truth.spec.hand)
    *others, third = three.delivery.cameras
    kept = [(at, place) for at, place in third.tracks[key] if not 150 < at < 160]
    cut = replace(
        three.delivery,
        cameras=(*others, replace(third, tracks={**third.tracks, key: Track.of(kept)})),
    )
    whole, result = (extreme(each, "max_separation") for each in (three.delivery, cut))
    assert result.is_shown
    assert result.u >= whole.u
    assert abs(result.value - true_value(three, "max_separation", "")) < result.expanded_u
