from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.metrics.curves import Curve
from deliverylab.core.model.changes import SetDelivery
from deliverylab.shell import scrub_content
from tests.shell.conftest import MARKS_A, MARKS_B, SCALE, delivery_of, figure_tracks


def test_a_partner_lies_on_the_athletes_clock_by_phase(pair):
    scene = scrub_content.scrub_scene(pair, "trunk_forward_tilt")
    assert scene.is_aligned
    model = scene.row("model")
    for key in ("leg_lift", "foot_contact", "release"):
        assert model.marks[key] == pytest.approx(MARKS_A[key])
    assert not model.has_movable_marks
    assert scene.row("athlete").has_movable_marks
    frame = model.frame_at(MARKS_A["foot_contact"])
    assert model.times_s[frame] == pytest.approx(MARKS_B["foot_contact"], abs=0.5 / 240)
    assert np.all(np.diff(model.axis) > 0.0)


def test_without_events_both_begin_together(session):
    for name in ("Bo 1", "Kim"):
        session.project.apply(SetDelivery(name=name, delivery=delivery_of(name)))
    session.set_pair("Bo 1", "Kim")
    scene = scrub_content.scrub_scene(session, "")
    assert not scene.is_aligned
    assert scene.row("model").axis[0] == scene.row("athlete").axis[0]
    assert scene.phases == ()


def test_the_phase_scale_has_its_anchors_at_the_events(pair):
    phases = dict(scrub_content.scrub_scene(pair, "").phases)
    assert phases[0.0] == pytest.approx(MARKS_A["leg_lift"])
    assert phases[100.0] == pytest.approx(MARKS_A["foot_contact"])
    assert phases[200.0] == pytest.approx(MARKS_A["release"])


def test_curves_of_both_lie_on_one_axis(session):
    frames = list(range(10, 220))
    for name, marks in (("Bo 1", MARKS_A), ("Kim", MARKS_B)):
        delivery = delivery_of(name, marks=marks, scale=SCALE, tracks=figure_tracks(frames))
        session.project.apply(SetDelivery(name=name, delivery=delivery))
    session.set_pair("Bo 1", "Kim")
    scene = scrub_content.scrub_scene(session, "trunk_forward_tilt")
    assert [curve.side for curve in scene.curves] == ["athlete", "model"]
    assert scene.curve_name.lower() == "trunk forward tilt"
    assert scene.unit == "deg"
    for curve in scene.curves:
        assert np.isfinite(curve.at(0.6)).all()


def test_a_curve_is_broken_where_frames_are_missing():
    frames = np.array([3, 4, 5, 6, 30, 31])
    curve = Curve("m", "deg", frames, frames / 240.0, frames * 1.0, np.ones(6))
    times_s, values, u = scrub_content.broken(curve)
    assert np.flatnonzero(np.isnan(values)).tolist() == [4]
    assert len(times_s) == len(u) == 7
    assert np.all(np.diff(times_s) > 0.0)


def test_the_label_says_phase_time_and_frame(pair):
    pair.show_frame("athlete", 144)
    assert scrub_content.playhead_label(pair, "athlete") == "100 % · 0.600 s · frame 144"


def test_key_instants_are_asked_for_first(session):
    delivery = delivery_of("Bo 1", marks={"leg_lift": 0.1})
    session.project.apply(SetDelivery(name="Bo 1", delivery=delivery))
    assert scrub_content.next_event_to_mark(session, "athlete").key == "foot_contact"
    assert scrub_content.next_event_to_mark(session, "model") is None


def test_zero_percent_has_no_sign(pair):
    pair.show_frame("athlete", round(240 * 0.1))
    pair.mark_event("athlete", "leg_lift", 0.1004)
    assert scrub_content.playhead_label(pair, "athlete").startswith("0 %")


def test_speeds_of_angles_are_courses_too(session):
    frames = list(range(10, 220))
    delivery = delivery_of("Bo 1", marks=MARKS_A, scale=SCALE, tracks=figure_tracks(frames))
    session.project.apply(SetDelivery(name="Bo 1", delivery=delivery))
    scene = scrub_content.scrub_scene(session, "trunk_forward_tilt_speed")
    assert scene.unit == "deg/s"
    assert scene.curve_name == "Trunk, speed of going forward"
    tilt = scrub_content.scrub_scene(session, "trunk_forward_tilt").curves[0]
    slope = (tilt.at(0.62)[0] - tilt.at(0.58)[0]) / 0.04
    value, u = scene.curves[0].at(0.6)
    assert value == pytest.approx(slope, rel=0.05)
    assert u > 0.0


def test_a_speed_that_is_not_there_says_why(placed_pair):
    scene = scrub_content.scrub_scene(placed_pair, "trunk_forward_tilt_speed")
    assert scene.curves == ()
    assert scene.reason.startswith("the landmarks are not placed on enough frames in a row: place")
    assert scrub_content.scrub_scene(placed_pair, "trunk_forward_tilt").reason == ""
