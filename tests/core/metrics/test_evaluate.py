"""The whole catalogue on deliveries of known truth: right where it shows, silent where it must be."""

from __future__ import annotations

from fractions import Fraction

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.catalogue import BY_KEY, METRICS
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.track import Track
from deliverylab.core.synthetic.spec import DeliverySpec

replace = msgspec.structs.replace

SET_UPS = {
    "square": {},
    "closed side": {"view": "closed-side"},
    "left-hander": {"spec": DeliverySpec(hand="left")},
    "10 degrees off": {"yaw_deg": 10.0},
    "other side off": {"yaw_deg": -10.0},
    "near": {"distance_m": 5.0},
    "60 a second": {"rate_hz": 60},
    "rear": {"view": "rear"},
    "front": {"view": "front"},
    "small woman": {"spec": DeliverySpec(height_m=1.62, sex="female", stride_percent_height=78)},
}


def by_key(results):
    return {(result.metric, result.event): result for result in results}


def shown(filmed):
    return [r for r in evaluate(filmed.delivery) if r.is_shown and BY_KEY[r.metric].kind != "given"]


@pytest.mark.parametrize("name", SET_UPS)
def test_every_shown_value_is_within_its_uncertainty_of_the_truth(film, name):
    # Positions are exact, so what is left is perspective, yaw, one plane, interpolation, smoothing.
    filmed = film(**SET_UPS[name])
    results = shown(filmed)
    assert len(results) >= 7
    outside = {
        (r.metric, r.event): (r.value, filmed.true_value(BY_KEY[r.metric], r.event), r.expanded_u)
        for r in results
        if abs(r.value - filmed.true_value(BY_KEY[r.metric], r.event)) > r.expanded_u
    }
    assert not outside


def test_where_the_geometry_allows_the_values_are_exact(side):
    results = by_key(evaluate(side.delivery))
    # Trunk upright enough that its lean sideways costs little at 10 m; feet on the line.
    for metric, event, tolerance in (
        ("trunk_forward_tilt", "leg_lift", 0.5),
        ("trunk_forward_tilt", "foot_contact", 0.5),
        ("trunk_forward_tilt", "foot_plant", 0.5),
        ("lead_knee_flexion", "release", 0.5),
        ("stride_length", "", 0.5),
        ("com_forward_speed", "leg_lift", 0.01),
        ("com_forward_speed", "foot_contact", 0.02),
        ("lift_to_contact_time", "", 1e-6),
        ("contact_to_release_time", "", 1e-6),
    ):
        value = results[metric, event].value
        truth = side.true_value(BY_KEY[metric], event)
        assert value == pytest.approx(truth, abs=tolerance), (metric, event)


def test_a_camera_behind_measures_tilt_and_slot_exactly(rear):
    results = by_key(evaluate(rear.delivery))
    for metric, event in (
        ("trunk_lateral_tilt", "release"),
        ("trunk_lateral_tilt", "foot_contact"),
        ("arm_slot", "release"),
        ("drive_knee_flexion", "leg_lift"),
    ):
        truth = rear.true_value(BY_KEY[metric], event)
        assert results[metric, event].value == pytest.approx(truth, abs=0.5), metric


def test_one_camera_never_shows_rotations(side, rear):
    for filmed in (side, rear):
        results = by_key(evaluate(filmed.delivery))
        for metric in ("separation", "pelvis_rotation", "elbow_flexion"):
            result = results[metric, "foot_contact"]
            assert not result.is_shown
            assert result.value is None
            assert "second phone" in result.remedy


def test_every_result_that_is_not_shown_says_why_and_what_would_help(side):
    for result in evaluate(side.delivery):
        assert result.is_shown == (result.value is not None) == (result.u is not None)
        if not result.is_shown:
            assert result.reason
            assert result.remedy
        else:
            assert result.u > 0.0
            budget = np.sqrt(sum(part.u**2 for part in result.budget))
            assert result.u == pytest.approx(budget)


def test_a_metric_or_its_absence_for_every_entry_and_event(side):
    results = evaluate(side.delivery)
    assert len(by_key(results)) == len(results)
    assert {r.metric for r in results} == {spec.key for spec in METRICS}


def test_an_empty_delivery_gives_reasons_not_errors(side):
    camera = replace(side.delivery.cameras[0], tracks={}, marks={}, scale=None)
    bare = replace(side.delivery, cameras=(camera,))
    assert all(not r.is_shown and r.reason for r in evaluate(bare))
    assert all(not r.is_shown for r in evaluate(replace(bare, cameras=())))


def test_without_scale_angles_are_shown_and_lengths_are_not(side):
    camera = replace(side.delivery.cameras[0], scale=None)
    results = by_key(evaluate(replace(side.delivery, cameras=(camera,))))
    knee = results["lead_knee_flexion", "release"]
    assert knee.value == pytest.approx(38.0, abs=1.5)
    assert any("no scale" in caution for caution in knee.cautions)
    stride = results["stride_length", ""]
    assert not stride.is_shown
    assert "scale" in stride.reason


def test_without_height_shares_of_height_are_not_shown(side):
    athlete = replace(side.delivery.athlete, height_m=None)
    results = by_key(evaluate(replace(side.delivery, athlete=athlete)))
    assert "height" in results["stride_length", ""].reason
    assert results["stride_length_m", ""].is_shown


def test_landmarks_at_the_key_instants_alone_give_the_positions(film):
    def key_frames(truth):
        return sorted({round(t * 240) for t in truth.events.values()})

    results = by_key(evaluate(film(only_frames=key_frames).delivery))
    assert results["lead_knee_flexion", "foot_contact"].is_shown
    assert results["stride_length", ""].is_shown
    assert not results["com_forward_speed", "foot_contact"].is_shown
    assert "0.1 s before and after" in results["com_forward_speed", "foot_contact"].remedy


def test_slow_motion_measures_like_the_same_throw_at_full_speed(side):
    # The same frames stored at 30 a second: clip clock eight times slower, marks with it.
    camera = side.delivery.cameras[0]
    timing = replace(camera.timing, stored_rate="30", capture_rate_hz=240.0)
    marks = {key: replace(mark, time_s=8 * mark.time_s) for key, mark in camera.marks.items()}
    slow = replace(side.delivery, cameras=(replace(camera, timing=timing, marks=marks),))
    for usual, other in zip(evaluate(side.delivery), evaluate(slow), strict=True):
        if usual.is_shown:
            assert other.value == pytest.approx(usual.value, abs=1e-9)
            assert other.u == pytest.approx(usual.u, rel=1e-6)


def test_moving_one_point_changes_what_depends_on_it_and_nothing_else(side):
    camera = side.delivery.cameras[0]
    frame = camera.timing.frame_at(camera.marks["foot_contact"].time_s)
    track = camera.tracks["left_knee"]
    place = track.at(frame)
    moved = track.replaced(frame, place._replace(y_px=place.y_px - 12.0))
    tracks = camera.tracks | {"left_knee": moved}
    other: Delivery = replace(side.delivery, cameras=(replace(camera, tracks=tracks),))
    before, after = by_key(evaluate(side.delivery)), by_key(evaluate(other))
    changed = {key for key in before if before[key] != after[key]}
    assert ("lead_knee_flexion", "foot_contact") in changed
    assert ("lead_knee_extension", "") in changed
    assert ("lead_knee_flexion", "release") not in changed
    assert ("stride_length", "") not in changed
    # And back again: what is remembered is keyed by what it was made from.
    assert by_key(evaluate(side.delivery)) == before


def mirrored(delivery):
    """Return the same throw by the other hand, seen in a mirror."""
    camera = delivery.cameras[0]
    last_px = camera.width_px - 1.0

    def turned(point):
        return None if point is None else point._replace(x_px=last_px - point.x_px)

    def other(key):
        side, _, part = key.partition("_")
        sides = {"left": "right", "right": "left"}
        return f"{sides[side]}_{part}" if side in sides else key

    tracks = {
        other(key): Track(
            track.frames, np.array([last_px, 0.0]) + track.xy_px * [-1.0, 1.0], track.u_px,
            track.origins,
        )
        for key, track in camera.tracks.items()
    }  # fmt: skip
    scale = camera.scale
    sides = {"left": "right", "right": "left", None: None}
    scale = replace(
        scale, a=turned(scale.a), b=turned(scale.b), rubber=turned(scale.rubber),
        vertical_deg=-scale.vertical_deg, yaw_deg=-scale.yaw_deg,
        toward_plate=sides[scale.toward_plate],
    )  # fmt: skip
    athlete = replace(delivery.athlete, hand=sides[delivery.athlete.hand])
    return replace(
        delivery, athlete=athlete, cameras=(replace(camera, tracks=tracks, scale=scale),)
    )


def slowed(delivery, factor):
    """Return the same clip stored so many times slower, its capture rate stated."""
    camera = delivery.cameras[0]
    timing = camera.timing
    assert timing.stamps_s is None
    slow = replace(
        timing,
        stored_rate=str(Fraction(timing.stored_rate) / factor),
        capture_rate_hz=timing.true_rate_hz,
    )
    marks = {
        event: replace(
            mark, time_s=factor * mark.time_s, u_s=None if mark.u_s is None else factor * mark.u_s
        )
        for event, mark in camera.marks.items()
    }
    return replace(delivery, cameras=(replace(camera, timing=slow, marks=marks),))


def assert_alike(some, others, tolerance):
    assert [(r.metric, r.event, r.status) for r in some] == [
        (r.metric, r.event, r.status) for r in others
    ]
    for one, other in zip(some, others, strict=True):
        if one.is_shown:
            assert other.value == pytest.approx(one.value, rel=tolerance, abs=tolerance), one.metric
            assert other.u == pytest.approx(one.u, rel=1e3 * tolerance), one.metric


@pytest.mark.parametrize("set_up", [{"yaw_deg": 8.0}, {"view": "rear", "yaw_deg": 5.0}])
def test_in_a_mirror_the_other_hand_throws_the_same(film, set_up):
    delivery = film(**set_up).delivery
    assert_alike(evaluate(delivery), evaluate(mirrored(delivery)), 1e-7)


@pytest.mark.parametrize("view", ["open-side", "rear"])
def test_slow_motion_of_a_stated_rate_changes_nothing(film, view):
    delivery = film(view=view).delivery
    assert_alike(evaluate(delivery), evaluate(slowed(delivery, 8)), 1e-7)
