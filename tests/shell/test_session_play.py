"""Playing by a clock that the test turns."""

from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import SetDelivery, replace
from deliverylab.shell.session_play import LOOP_REST_S, LOOPS, SPEEDS


class Clock:
    """A clock that goes only when it is told to."""

    def __init__(self):
        self.now_s = 0.0
        self.started_s = 0.0

    def start(self):
        self.started_s = self.now_s

    def nsecsElapsed(self):  # noqa: N802 - Qt's name
        return round((self.now_s - self.started_s) * 1e9)


@pytest.fixture
def clock(pair):
    made = Clock()
    pair._clock = made
    return made


def pass_s(session, clock, seconds):
    clock.now_s += seconds
    if session.is_playing:
        session._on_tick()


def test_real_time_shows_the_frame_that_belongs_to_the_clock(pair, clock):
    pair.show_frame("athlete", 24)
    pair.toggle_play()
    assert pair.is_playing
    pass_s(pair, clock, 0.1)
    assert pair.state("athlete").frame == 24 + 24
    pass_s(pair, clock, 0.05)
    assert pair.state("athlete").frame == 24 + 36
    # linked by phase: leg lift to contact takes 0.5 s here and 0.4 s there
    assert pair.phase("model") == pytest.approx(pair.phase("athlete"), abs=0.6)


@pytest.mark.parametrize("speed", SPEEDS)
def test_slow_is_a_share_of_real_time(pair, clock, speed):
    pair.show_frame("athlete", 20)
    pair.set_speed(speed)
    pair.toggle_play()
    pass_s(pair, clock, 0.4)
    assert pair.state("athlete").frame == 20 + round(96 * speed)


def test_another_speed_goes_on_from_where_it_is(pair, clock):
    pair.toggle_play()
    pass_s(pair, clock, 0.25)
    pair.change_speed(-1)
    assert pair.speed == 0.5
    assert pair.state("athlete").frame == 60
    pass_s(pair, clock, 0.25)
    assert pair.state("athlete").frame == 90
    for _ in range(9):
        pair.change_speed(-1)
    assert pair.speed == SPEEDS[-1]


def test_it_stops_at_the_end_and_begins_anew(pair, clock):
    pair.toggle_play()
    pass_s(pair, clock, 7.0)
    assert not pair.is_playing
    assert pair.state("athlete").frame == 239
    pair.toggle_play()
    pass_s(pair, clock, 0.1)
    assert pair.state("athlete").frame == 24


def test_a_slow_motion_clip_plays_in_real_seconds(pair, clock):
    camera = pair.camera("athlete")
    slow = replace(camera, timing=replace(camera.timing, capture_rate_hz=480.0))
    own = replace(pair.delivery("athlete"), cameras=(slow,))
    pair.project.apply(SetDelivery(name=own.name, delivery=own))
    pair.show_frame("athlete", 0)
    pair.toggle_play()
    pass_s(pair, clock, 0.1)
    assert pair.state("athlete").frame == 48


def test_a_loop_runs_between_its_events_and_rests_at_its_end(pair, clock):
    pair.set_loop("contact_release")
    pair.show_frame("athlete", 10)
    pair.toggle_play()
    assert pair.is_playing
    pass_s(pair, clock, 0.0)
    assert pair.state("athlete").frame == 144, "outside, it begins at the loop's start"
    pass_s(pair, clock, 0.16)
    assert pair.state("athlete").frame == 180
    pass_s(pair, clock, LOOP_REST_S / 2.0)
    assert pair.state("athlete").frame == 180
    pass_s(pair, clock, LOOP_REST_S)
    assert pair.state("athlete").frame == 144
    assert pair.is_playing


def test_the_key_goes_through_the_loops_whose_events_are_known(pair):
    seen = []
    for _ in range(len(LOOPS)):
        pair.next_loop()
        seen.append(pair.loop)
    assert seen == ["lift_contact", "contact_release", "whole", ""]
    pair.remove_mark("athlete", "release")
    pair.next_loop()
    pair.next_loop()
    assert pair.loop == ""
    with pytest.raises(InputValueError, match="release"):
        pair.set_loop("whole")
    assert pair.loop == ""


def test_playing_stops_when_the_loops_event_is_taken_away(pair, clock):
    pair.set_loop("whole")
    pair.toggle_play()
    pair.remove_mark("athlete", "release")
    assert not pair.is_playing
    with pytest.raises(InputValueError, match="mark it"):
        pair.toggle_play()
    assert not pair.is_playing


@pytest.mark.parametrize(
    "hand",
    [
        lambda session: session.step(1),
        lambda session: session.go_to_event("release"),
        lambda session: session.place_landmark("athlete", "left_knee", 30.0, 40.0),
        lambda session: session.mark_event("athlete", "hand_break"),
        lambda session: session.select("athlete", "Kim model"),
        lambda session: session.toggle_play(),
    ],
)
def test_a_hand_at_work_stops_it(pair, clock, hand):
    heard = []
    pair.play_changed.connect(lambda: heard.append(pair.is_playing))
    pair.toggle_play()
    pass_s(pair, clock, 0.2)
    hand(pair)
    assert not pair.is_playing
    assert heard == [True, False]


def test_without_a_delivery_there_is_nothing_to_play(session):
    session.toggle_play()
    assert not session.is_playing
