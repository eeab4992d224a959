from __future__ import annotations

import pytest

from deliverylab.core.errors import DeliveryLabError
from tests.shell.suggested import NOT_SEEN, suggest_on


def keys(found):
    return [each.event for each in found]


def test_only_what_is_not_marked_is_open_in_the_clips_order(pair):
    suggest_on(pair, foot_plant=0.62, release=0.751, hand_break=0.3)
    assert keys(pair.open_suggestions("athlete")) == ["hand_break", "foot_plant"]
    assert pair.open_suggestions("model") == ()
    assert pair.why_not_suggested("athlete") == {"full_layback": NOT_SEEN, "finish": NOT_SEEN}


def test_what_lies_outside_the_trimmed_clip_is_not_offered(pair):
    pair.set_trim("athlete", 20, 200)
    suggest_on(pair, hand_break=0.3, finish=0.9)
    assert keys(pair.open_suggestions("athlete")) == ["hand_break"]


def test_suggestions_of_another_clip_or_clock_are_forgotten(pair):
    suggest_on(pair, hand_break=0.3)
    pair.select("athlete", "Kim model")
    assert pair.open_suggestions("athlete") == ()
    pair.select("athlete", "Bo 1")
    assert keys(pair.open_suggestions("athlete")) == ["hand_break"]
    camera = pair.camera("athlete")
    slow = pair.with_camera_facts(camera, view=camera.view, capture_rate_hz=960.0)
    pair.take_suggestions("athlete", pair._suggested["athlete"]._replace(timing=slow.timing))
    assert pair.open_suggestions("athlete") == ()


def test_accepting_is_one_step_with_the_suggestions_own_u(pair):
    suggest_on(pair, foot_plant=0.62, hand_break=0.3)
    pair.accept_suggestions("athlete", ["hand_break", "foot_plant"])
    marks = pair.camera("athlete").marks
    assert marks["foot_plant"].time_s == 0.62
    assert marks["hand_break"].u_s == 0.004
    assert pair.undo_stack.count() == 1
    assert pair.open_suggestions("athlete") == ()
    pair.undo()
    assert "foot_plant" not in pair.camera("athlete").marks
    assert len(pair.open_suggestions("athlete")) == 2


def test_what_is_not_suggested_cannot_be_accepted(pair):
    suggest_on(pair, hand_break=0.3)
    with pytest.raises(DeliveryLabError):
        pair.accept_suggestions("athlete", ["hand_break", "finish"])
    assert "hand_break" not in pair.camera("athlete").marks


def test_the_nearest_is_that_of_the_shown_frame(pair):
    suggest_on(pair, hand_break=0.3, foot_plant=0.62)
    pair.show_frame("athlete", 100)
    assert pair.nearest_suggestion("athlete") == "hand_break"
    pair.show_frame("athlete", 140)
    assert pair.nearest_suggestion("athlete") == "foot_plant"
    assert pair.nearest_suggestion("model") == ""


def test_a_mark_far_from_its_suggestion_is_told(pair):
    # release is marked at 0.75: 3 U are 24 ms
    suggest_on(pair, release=0.7255, foot_contact=0.601)
    assert pair.departures_s("athlete") == pytest.approx({"release": -0.0245})
    suggest_on(pair, release=0.7265)
    assert pair.departures_s("athlete") == {}


def test_events_are_gone_through_with_the_suggested_ones_among_them(pair):
    suggest_on(pair, hand_break=0.3, foot_contact=0.59)
    frames = []
    for _ in range(4):
        pair.next_event(1)
        frames.append(pair.state("athlete").frame)
    # lift at 0.1, hand break suggested at 0.3, contact as marked at 0.6, release at 0.75
    assert frames == [24, 72, 144, 180]
    pair.go_to_event("hand_break")
    assert pair.state("athlete").frame == 72


def test_complaints_are_those_that_accepting_would_bring(pair):
    suggest_on(pair, full_layback=0.77, finish=0.8)
    (text,) = pair.suggestion_complaints("athlete", ["full_layback", "finish"])
    assert text == "release is marked before full layback"
    assert pair.suggestion_complaints("athlete", ["finish"]) == ()
    assert pair.suggestion_complaints("athlete", []) == ()


def test_it_is_told_once_that_something_else_is_suggested(pair):
    sides = []
    pair.suggestions_changed.connect(sides.append)
    suggest_on(pair, hand_break=0.3)
    suggest_on(pair, hand_break=0.3)
    suggest_on(pair, "model", hand_break=0.3)
    pair.take_suggestions("model", None)
    assert sides == ["athlete", "model", "model"]
