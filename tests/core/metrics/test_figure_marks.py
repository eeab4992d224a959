"""What is drawn of the results lies where they were measured, and is drawn only where they are shown."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.figure_marks import (
    ArcMark,
    LineMark,
    RulerMark,
    measure_marks,
)
from deliverylab.core.metrics.space_sight import SPACE_VIEW
from deliverylab.core.model.camera_motion import CameraMotion
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.scale import Point
from deliverylab.core.model.track import Position
from deliverylab.core.synthetic.field_filming import FieldCare
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.units import format_value
from deliverylab.core.vocabulary.landmarks import key_for_role
from tests.core.metrics.solved import solved_delivery

EVENTS = ("leg_lift", "foot_contact", "foot_plant", "full_layback", "release")


def on_whole_frames(delivery):
    """Return the delivery with its marks where a frame is, so that drawn and measured are one."""
    camera = delivery.cameras[0]
    timing = camera.timing
    marks = {
        key: Mark(time_s=float(timing.times_s[timing.frame_at(mark.time_s)]))
        for key, mark in camera.marks.items()
    }
    return replace(delivery, cameras=(replace(camera, marks=marks),))


def marks_of(delivery, event, **options):
    found = measure_marks(delivery, delivery.cameras[0], event, evaluate(delivery), **options)
    return {mark.metric: mark for mark in found}


def result_of(delivery, metric, event):
    return next(r for r in evaluate(delivery) if (r.metric, r.event) == (metric, event))


def place(delivery, role, event):
    camera = delivery.cameras[0]
    frame = camera.timing.frame_at(camera.marks[event].time_s)
    found = camera.track(key_for_role(role, delivery.athlete.hand)).at(frame)
    return Point(found.x_px, found.y_px)


@pytest.fixture(scope="module")
def two_phones():
    return solved_delivery(3, care=FieldCare(bias_m=0.010 / math.sqrt(3.0)))


@pytest.fixture(scope="module")
def side_on_frames(side):
    return on_whole_frames(side.delivery)


@pytest.fixture(scope="module")
def rear_on_frames(rear):
    return on_whole_frames(rear.delivery)


def test_each_event_of_a_side_view_has_its_marks(side_on_frames):
    drawn = {event: set(marks_of(side_on_frames, event)) for event in EVENTS}
    assert drawn == {
        "leg_lift": {"lead_knee_height", "com_lean_from_drive_ankle", "trunk_forward_tilt"},
        "foot_contact": {"drive_knee_flexion", "trunk_forward_tilt", "lead_knee_flexion"},
        "foot_plant": {"stride_length", "trunk_forward_tilt", "lead_knee_flexion"},
        "full_layback": {"trunk_forward_tilt", "lead_knee_flexion"},
        "release": {
            "trunk_forward_tilt", "lead_knee_flexion", "release_height", "release_extension",
        },
    }  # fmt: skip


def test_each_event_of_a_rear_view_has_its_marks(rear_on_frames):
    drawn = {event: set(marks_of(rear_on_frames, event)) for event in EVENTS}
    assert drawn["leg_lift"] == {"drive_knee_flexion"}
    assert drawn["foot_contact"] == {"trunk_lateral_tilt"}
    assert drawn["release"] == {"trunk_lateral_tilt", "arm_slot"}


@pytest.mark.parametrize("event", EVENTS)
def test_an_arc_turns_by_the_number_beside_it(side_on_frames, rear_on_frames, event):
    for delivery in (side_on_frames, rear_on_frames):
        for mark in marks_of(delivery, event).values():
            if isinstance(mark, ArcMark):
                value = result_of(delivery, mark.metric, event).value
                # a picture's angle is that of the plane but for perspective; slot and lean of a
                # body that lies off the plane by an arm's length move by a degree or two at 10 m
                assert abs(mark.turn_deg) == pytest.approx(abs(value), abs=2.0), mark.metric


def test_a_bend_is_drawn_at_its_three_points(side_on_frames):
    mark = marks_of(side_on_frames, "release")["lead_knee_flexion"]
    hip, knee, ankle = (
        place(side_on_frames, f"lead_{part}", "release") for part in ("hip", "knee", "ankle")
    )
    assert (mark.corner, mark.arm) == (knee, ankle)
    # the thigh carried on: as far beyond the knee as the ankle, straight on from the hip
    assert math.dist(mark.corner, mark.reference) == pytest.approx(math.dist(knee, ankle))
    straight = math.dist(hip, knee) + math.dist(knee, mark.reference)
    assert math.dist(hip, mark.reference) == pytest.approx(straight)


def test_a_tilt_is_drawn_from_the_true_vertical(side_on_frames):
    camera = side_on_frames.cameras[0]
    leaning = replace(camera, scale=replace(camera.scale, vertical_deg=10.0))
    mark = marks_of(replace(side_on_frames, cameras=(leaning,)), "release")["trunk_forward_tilt"]
    dx, dy = (end - start for start, end in zip(mark.corner, mark.reference, strict=True))
    assert math.degrees(math.atan2(dx, -dy)) == pytest.approx(10.0)


def test_the_stride_is_a_ruler_under_both_feet(side_on_frames):
    mark = marks_of(side_on_frames, "foot_plant")["stride_length"]
    drive = place(side_on_frames, "drive_ankle", "leg_lift")
    lead = place(side_on_frames, "lead_ankle", "foot_plant")
    assert (mark.start.x_px, mark.end.x_px) == pytest.approx((drive.x_px, lead.x_px))
    assert mark.start.y_px == pytest.approx(mark.end.y_px)
    assert mark.start.y_px >= max(drive.y_px, lead.y_px)
    assert [foot[0] for foot in mark.feet] == [drive, lead]
    # one tick each ten per cent of height, so as many as whole tens fit into the stride
    stride = result_of(side_on_frames, "stride_length", "")
    assert len(mark.ticks) == int(stride.value // 10.0)
    steps = [b.x_px - a.x_px for a, b in zip(mark.ticks, mark.ticks[1:], strict=False)]
    share = abs(steps[0]) / math.dist(mark.start, mark.end)
    assert share == pytest.approx(10.0 / stride.value, rel=0.02)


def test_ticks_follow_the_readers_units(side_on_frames):
    metric = marks_of(side_on_frames, "release")["release_height"]
    imperial = marks_of(side_on_frames, "release", system="imperial")["release_height"]
    value_m = result_of(side_on_frames, "release_height", "release").value
    assert len(metric.ticks) == int(value_m / 0.25)
    assert len(imperial.ticks) == int(value_m / 0.3048)
    assert imperial.text.endswith(" in")


def test_the_release_is_measured_up_to_the_hand_and_from_the_rubber(side_on_frames):
    drawn = marks_of(side_on_frames, "release")
    hand = place(side_on_frames, "throwing_hand", "release")
    upright = drawn["release_height"]
    # beside the body, in front of the hand, which is the foremost point of it
    assert upright.end.y_px == pytest.approx(hand.y_px)
    assert upright.feet == ((hand, upright.end),)
    drive = place(side_on_frames, "drive_ankle", "leg_lift")
    assert abs(upright.end.x_px - drive.x_px) > abs(hand.x_px - drive.x_px)
    rubber = side_on_frames.cameras[0].scale.rubber
    start = rubber or place(side_on_frames, "drive_ankle", "leg_lift")
    assert drawn["release_extension"].start.x_px == pytest.approx(start.x_px)
    assert drawn["release_extension"].end.x_px == pytest.approx(hand.x_px)


def test_the_text_is_the_result_in_the_readers_units(side_on_frames):
    for event in EVENTS:
        for mark in marks_of(side_on_frames, event, system="imperial").values():
            result = next(
                r
                for r in evaluate(side_on_frames)
                if (r.metric, r.event) == (mark.metric, mark.event)
            )
            text = format_value(
                result.value, result.expanded_u, result.unit, result.decimals, "imperial"
            )
            assert mark.text == text
            assert "±" in mark.text


def test_a_left_hander_is_drawn_alike(film):
    delivery = on_whole_frames(film(DeliverySpec(hand="left")).delivery)
    mark = marks_of(delivery, "release")["lead_knee_flexion"]
    assert mark.corner == place(delivery, "lead_knee", "release")
    value = result_of(delivery, "lead_knee_flexion", "release").value
    assert abs(mark.turn_deg) == pytest.approx(value, abs=2.0)


def test_what_is_not_shown_is_not_drawn(side_on_frames):
    camera = side_on_frames.cameras[0]
    tracks = {key: track for key, track in camera.tracks.items() if "knee" not in key}
    without = replace(side_on_frames, cameras=(replace(camera, tracks=tracks),))
    assert set(marks_of(without, "release")) == {
        "trunk_forward_tilt", "release_height", "release_extension",
    }  # fmt: skip
    unmarked = replace(side_on_frames, cameras=(replace(camera, marks={}),))
    assert marks_of(unmarked, "release") == {}


def test_without_a_height_the_stride_is_a_length(side_on_frames):
    short = replace(side_on_frames, athlete=replace(side_on_frames.athlete, height_m=None))
    drawn = marks_of(short, "foot_plant")
    assert "stride_length" not in drawn
    assert drawn["stride_length_m"].text.endswith(" m")


def test_the_mass_centre_needs_the_whole_body(side_on_frames):
    camera = side_on_frames.cameras[0]
    tracks = {key: track for key, track in camera.tracks.items() if key != "head_top"}
    without = replace(side_on_frames, cameras=(replace(camera, tracks=tracks),))
    results = evaluate(side_on_frames)
    drawn = measure_marks(without, without.cameras[0], "leg_lift", results)
    assert "com_lean_from_drive_ankle" not in {mark.metric for mark in drawn}


def test_results_of_another_camera_are_not_drawn(side_on_frames):
    other = replace(side_on_frames.cameras[0], name="second")
    both = replace(side_on_frames, cameras=(*side_on_frames.cameras, other))
    assert measure_marks(both, other, "release", evaluate(side_on_frames)) == ()


def test_a_plant_that_is_not_marked_is_drawn_at_contact(side_on_frames):
    camera = side_on_frames.cameras[0]
    marks = {key: mark for key, mark in camera.marks.items() if key != "foot_plant"}
    without = replace(side_on_frames, cameras=(replace(camera, marks=marks),))
    assert isinstance(marks_of(without, "foot_contact")["stride_length"], RulerMark)


def test_turns_seen_in_space_are_lines_where_the_picture_tells_of_them(two_phones):
    delivery = two_phones.delivery
    results = evaluate(delivery)
    from_side = measure_marks(delivery, delivery.camera("open-side"), "foot_contact", results)
    side = {mark.metric: mark for mark in from_side}
    assert "pelvis_rotation" not in side
    assert side["elbow_flexion"].is_in_space
    shown = {r.metric for r in results if r.is_shown and r.event == "foot_contact"}
    marked = delivery.camera("rear")
    marked = replace(marked, marks=delivery.camera("open-side").marks)
    both = replace(delivery, cameras=(delivery.camera("open-side"), marked))
    behind = {m.metric: m for m in measure_marks(both, marked, "foot_contact", results)}
    assert "pelvis_rotation" in shown
    assert isinstance(behind["pelvis_rotation"], LineMark)
    assert "lead_knee_flexion" not in behind
    assert all(
        r.view == SPACE_VIEW for r in results if r.metric == "pelvis_rotation" and r.is_shown
    )


def test_a_point_of_another_event_follows_a_camera_that_turned(side_on_frames):
    camera = side_on_frames.cameras[0]
    plant = camera.timing.frame_at(camera.marks["foot_plant"].time_s)
    n = camera.timing.n_frames
    shift = [0.0 if frame < plant else 12.0 for frame in range(n)]
    motion = CameraMotion(
        reference_frame=0,
        frames=tuple(range(n)),
        homographies=tuple((1.0, 0.0, -one, 0.0, 1.0, 0.0, 0.0, 0.0) for one in shift),
        u_px=(0.0,) * n,
    )
    tracks = {
        key: type(track).of(
            (frame, Position(p.x_px + shift[frame], p.y_px, p.u_px, p.origin)) for frame, p in track
        )
        for key, track in camera.tracks.items()
    }
    turned = replace(side_on_frames, cameras=(replace(camera, motion=motion, tracks=tracks),))
    still = marks_of(side_on_frames, "foot_plant")["stride_length"]
    mark = marks_of(turned, "foot_plant")["stride_length"]
    assert mark.start.x_px == pytest.approx(still.start.x_px + 12.0)
    assert mark.end.x_px == pytest.approx(still.end.x_px + 12.0)
    assert mark.ticks == ()


def test_an_angle_that_the_picture_foreshortens_is_words_only(two_phones):
    delivery = two_phones.delivery
    results = evaluate(delivery)
    camera = delivery.camera("open-side")
    for event in ("foot_contact", "full_layback", "release"):
        for mark in measure_marks(delivery, camera, event, results):
            if not isinstance(mark, ArcMark):
                continue
            result = next(r for r in results if (r.metric, r.event) == (mark.metric, event))
            is_near = abs(abs(mark.turn_deg) - abs(result.value)) <= result.expanded_u
            assert mark.is_true == (is_near or not mark.is_in_space)
            assert mark.text.endswith(" in space") != mark.is_true


def test_an_estimate_says_so(side_on_frames):
    result = result_of(side_on_frames, "lead_knee_flexion", "release")
    told = replace(result, status="estimated")
    camera = side_on_frames.cameras[0]
    (mark,) = measure_marks(side_on_frames, camera, "release", [told])
    assert not mark.is_true
    assert mark.text.startswith("about ")
    assert mark.text.endswith(", estimated")
