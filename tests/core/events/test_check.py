from __future__ import annotations

import pytest

from deliverylab.core.events.check import mark_complaints, suspected_capture_rate_hz
from deliverylab.core.model.delivery import Camera, Mark
from deliverylab.core.model.timing import Timing
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec

# Kageyama et al. 2015 (0.9 s from leg lift to contact), Seroyer et al. 2010 (0.145 s to release)
NORMAL_S = {
    "leg_lift": 0.30,
    "hand_break": 0.55,
    "foot_contact": 1.20,
    "foot_plant": 1.225,
    "full_layback": 1.307,
    "release": 1.345,
    "finish": 1.39,
}


def camera(marks_s, *, stored_rate="240", capture_rate_hz=None):
    return Camera(
        name="main",
        view="open-side",
        width_px=1280,
        height_px=720,
        timing=Timing(n_frames=900, stored_rate=stored_rate, capture_rate_hz=capture_rate_hz),
        marks={event: Mark(time_s=time_s) for event, time_s in marks_s.items()},
    )


def slowed(factor):
    return {event: factor * time_s for event, time_s in NORMAL_S.items()}


def test_a_normal_delivery_is_left_alone():
    assert mark_complaints(camera(NORMAL_S)) == ()
    assert suspected_capture_rate_hz(camera(NORMAL_S)) is None


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_drawn_delivery_is_left_alone(hand):
    assert mark_complaints(camera(build_delivery(DeliverySpec(hand=hand)).events)) == ()


def test_few_marks_are_no_complaint():
    assert mark_complaints(camera({})) == ()
    for event, time_s in NORMAL_S.items():
        assert mark_complaints(camera({event: time_s})) == ()


# --------------------------------------------------------------------------------- slow motion


@pytest.mark.parametrize(
    ("stored_rate", "capture_hz"),
    [("30", 240), ("30", 120), ("30000/1001", 240), ("60", 240), ("30", 480), ("25", 240)],
)
def test_slow_motion_is_suspected_and_the_rate_named(stored_rate, capture_hz):
    stored_hz = {"30000/1001": 30000 / 1001}.get(stored_rate) or float(stored_rate)
    slow = slowed(capture_hz / stored_hz)
    assert suspected_capture_rate_hz(camera(slow, stored_rate=stored_rate)) == capture_hz
    (complaint,) = mark_complaints(camera(slow, stored_rate=stored_rate))
    assert f"{capture_hz} frames a second" in complaint
    assert "slow motion" in complaint
    # once the rate is set, all is well
    told = camera(slow, stored_rate=stored_rate, capture_rate_hz=capture_hz)
    assert mark_complaints(told) == ()
    assert suspected_capture_rate_hz(told) is None


@pytest.mark.parametrize(("span_s", "capture_hz"), [(0.8, 120.0), (0.9, 240.0), (0.26, 60.0)])
def test_of_two_rates_that_fit_the_nearer_by_ratio_is_named(span_s, capture_hz):
    # 0.8 s at 30 frames a second are 0.2 s at 120 and 0.1 s at 240: 1.38 and 1.45 times off 0.145
    marks_s = {"foot_contact": 3.0, "release": 3.0 + span_s}
    assert suspected_capture_rate_hz(camera(marks_s, stored_rate="30")) == capture_hz


def test_a_span_that_no_rate_explains_questions_the_marks():
    wrong = NORMAL_S | {"release": 6.2, "finish": 6.25}
    assert suspected_capture_rate_hz(camera(wrong)) is None
    (complaint,) = mark_complaints(camera(wrong))
    assert complaint.startswith("release comes 5.00 s after foot contact")


@pytest.mark.parametrize(("span_s", "is_suspected"), [(0.10, False), (0.25, False), (0.26, True)])
def test_what_is_believable_is_not_questioned(span_s, is_suspected):
    marks_s = {"foot_contact": 1.0, "release": 1.0 + span_s}
    assert (suspected_capture_rate_hz(camera(marks_s)) is not None) == is_suspected


# --------------------------------------------------------------------------- order and spacing


def test_wrong_order_is_named():
    swapped = NORMAL_S | {"foot_contact": 1.345, "foot_plant": 1.36, "release": 1.2}
    complaints = mark_complaints(camera(swapped))
    assert "release is marked before full layback" in complaints
    # of the spacing nothing more is said: it follows from the order
    assert not [text for text in complaints if " comes " in text]


def test_hand_break_may_come_before_leg_lift():
    # both orders are taught (common practice)
    assert mark_complaints(camera(NORMAL_S | {"hand_break": 0.2})) == ()


@pytest.mark.parametrize(
    ("event", "time_s", "words"),
    [
        ("leg_lift", 1.0, "foot contact comes 0.20 s after leg lift"),
        ("release", 1.25, "release comes 0.05 s after foot contact"),
        ("finish", 2.2, "finish comes 0.86 s after release"),
    ],
)
def test_spacing_that_cannot_be_is_questioned(event, time_s, words):
    marks_s = {key: NORMAL_S[key] for key in ("leg_lift", "foot_contact", "release", "finish")}
    (complaint,) = mark_complaints(camera(marks_s | {event: time_s}))
    assert complaint.startswith(words)
    assert "check both marks" in complaint


def test_spacing_is_in_real_seconds():
    # the same marks as slow motion, told so: 0.05 s of real time are still too short
    quick = {event: 8.0 * time_s for event, time_s in (NORMAL_S | {"release": 1.25}).items()}
    del quick["full_layback"], quick["finish"]
    (complaint,) = mark_complaints(camera(quick, stored_rate="30", capture_rate_hz=240))
    assert complaint.startswith("release comes 0.05 s after foot contact")


@pytest.mark.parametrize(("stored", "factor"), [("50", 2), ("50", 4), ("100", 8)])
def test_a_factor_of_the_stored_rate_that_is_no_phones_rate_is_offered(stored, factor):
    marks_s = {"foot_contact": 1.0, "release": 1.0 + 0.145 * factor}
    rate_hz = suspected_capture_rate_hz(camera(marks_s, stored_rate=stored))
    assert rate_hz == factor * float(stored)


@pytest.mark.parametrize(
    ("stored", "stated_hz", "span_s", "rate_hz"),
    [
        # believed to be slowed eight times, and slowed twice; not slowed at all; sped up twice
        ("30", 240.0, 0.29, 60.0),
        ("30", 240.0, 0.145, 30.0),
        ("240", None, 0.0725, 120.0),
        ("50", None, 0.0725, 25.0),
    ],
)
def test_too_quick_a_throw_is_offered_a_lower_rate(stored, stated_hz, span_s, rate_hz):
    marks_s = {"foot_contact": 1.0, "release": 1.0 + span_s}
    quick = camera(marks_s, stored_rate=stored, capture_rate_hz=stated_hz)
    assert suspected_capture_rate_hz(quick) == rate_hz
    told = camera(marks_s, stored_rate=stored, capture_rate_hz=rate_hz)
    assert suspected_capture_rate_hz(told) is None
    (complaint,) = mark_complaints(quick)
    assert f"would fit at {rate_hz:g} frames" in complaint
