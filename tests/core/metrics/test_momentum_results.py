"""Momentum on deliveries of known truth: top speed, what is kept, and the direction of the push."""

from __future__ import annotations

import math

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.support import mean_support
from deliverylab.core.synthetic.spec import DeliverySpec

replace = msgspec.structs.replace
MOMENTUM = (
    "max_com_forward_speed_time", "com_forward_speed_kept", "com_forward_speed_kept_from_top",
    "support_force_direction",
)  # fmt: skip


def by_metric(delivery):
    return {result.metric: result for result in evaluate(delivery) if result.metric in MOMENTUM}


@pytest.fixture(scope="module")
def varied(film):
    """Return some deliveries with 2 px of noise, of either hand and of different tempo."""
    specs = [
        DeliverySpec(lift_to_contact_s=0.75),
        DeliverySpec(hand="left", lift_to_contact_s=1.1),
        DeliverySpec(height_m=1.68, sex="female"),
        DeliverySpec(stride_percent_height=78.0),
        DeliverySpec(height_m=1.9, lift_to_contact_s=0.8),
        DeliverySpec(hand="left", height_m=1.72),
    ]
    return [film(spec, noise_px=2.0, u_px=2.0, seed=n) for n, spec in enumerate(specs)]


@pytest.mark.parametrize("key", MOMENTUM)
def test_the_truth_lies_within_the_interval(varied, key):
    n_shown = 0
    for filmed in varied:
        result = by_metric(filmed.delivery)[key]
        if result.is_shown:
            n_shown += 1
            truth = filmed.true_value(BY_KEY[key], result.event)
            # 19 of 20 lie within U; half as far again leaves none out of six
            assert abs(result.value - truth) < 1.5 * result.expanded_u
    assert n_shown >= 2


def test_the_push_is_an_estimate_and_says_so(side):
    result = by_metric(side.delivery)["support_force_direction"]
    assert result.status == "estimated"
    assert 0.0 < result.value < 40.0
    assert result.expanded_u <= BY_KEY["support_force_direction"].useful_u


def test_the_push_is_the_change_of_velocity_over_the_stride(side):
    at = side.truth.events
    before, after = side.true_speed(np.array([at["leg_lift"], at["foot_contact"]])).tolist()
    took_s = at["foot_contact"] - at["leg_lift"]
    # the body rises and sinks by little over a stride: forward alone comes within a degree
    rough = mean_support((before, 0.0), (after, 0.0), took_s).angle_deg
    assert by_metric(side.delivery)["support_force_direction"].value == pytest.approx(
        rough, abs=1.0
    )


def test_a_leaning_camera_turns_the_motion_and_is_in_u(side):
    camera = side.delivery.cameras[0]
    careless = replace(camera, scale=replace(camera.scale, u_vertical_deg=3.0))
    sharp = by_metric(side.delivery)["support_force_direction"]
    unsure = by_metric(replace(side.delivery, cameras=(careless,)))["support_force_direction"]
    assert unsure.u > sharp.u
    assert unsure.value == pytest.approx(sharp.value)


def test_a_share_hangs_on_no_scale(side):
    camera = side.delivery.cameras[0]
    longer = replace(camera, scale=replace(camera.scale, length_m=1.1 * camera.scale.length_m))
    whole, other = (
        by_metric(delivery)["com_forward_speed_kept"]
        for delivery in (side.delivery, replace(side.delivery, cameras=(longer,)))
    )
    assert whole.value == pytest.approx(other.value, rel=1e-6)
    assert not any(part.source.startswith("scale") for part in whole.budget)


def test_without_contact_there_is_no_stride_to_look_at(side):
    camera = side.delivery.cameras[0]
    marks = {key: mark for key, mark in camera.marks.items() if key != "foot_contact"}
    results = by_metric(replace(side.delivery, cameras=(replace(camera, marks=marks),)))
    for result in results.values():
        assert "foot contact not marked" in result.reason


def test_key_instants_alone_give_no_momentum(film):
    def key_frames(truth):
        return [round(time_s * 240) for time_s in truth.events.values()]

    for result in by_metric(film(only_frames=key_frames).delivery).values():
        assert "not placed in enough frames" in result.reason
        assert "0.1 s before and after" in result.remedy


def test_the_wrong_plate_side_is_questioned(side):
    camera = side.delivery.cameras[0]
    # a body that moves away from the plate: its speed at contact is below what a share needs
    other = "closed-side" if camera.view == "open-side" else "open-side"
    turned = replace(side.delivery, cameras=(replace(camera, view=other),))
    result = by_metric(turned)["com_forward_speed_kept"]
    assert not result.is_shown
    assert "which side" in result.remedy


def test_the_tables_differ_by_what_is_in_the_budget(side):
    athlete = side.delivery.athlete
    for key in ("com_forward_speed_kept", "support_force_direction"):
        ours = by_metric(side.delivery)[key]
        theirs = by_metric(replace(side.delivery, athlete=replace(athlete, mass_table="dempster")))[
            key
        ]
        part = next(p.u for p in ours.budget if p.source == "segment weights")
        assert abs(ours.value - theirs.value) == pytest.approx(math.sqrt(3.0) * part, rel=1e-6)


def test_one_side_camera_never_shows_the_drive_knee_s_push(side):
    for result in evaluate(side.delivery):
        if result.metric in {"peak_drive_knee_extension_speed", "drive_knee_push_time"}:
            assert not result.is_shown
            assert "second phone" in result.remedy
