"""A take of the voice: the script runs by the clock and waits at each stop for the speaker."""

from __future__ import annotations

import pytest

from deliverylab.core.model.walkthrough import LONGEST_PAUSE_S
from deliverylab.shell.voice_take import NO_SOUND, TAIL_S, VoiceTake, parts_of
from tests.shell.speaker import Clock, FakeRecorder


@pytest.fixture
def take(placed_pair, tmp_path):
    recorder = FakeRecorder()
    made = VoiceTake(placed_pair, recorder, tmp_path / "said.wav", clock=Clock())
    recorder.setParent(made)
    yield made
    made._timer.stop()


def pass_time(take, seconds):
    take._clock.now += seconds
    take._on_tick()


def run_to_next_stop(take):
    """Let the movement run, by a picture a tick."""
    while take.stop is None and take._at < len(take._parts):
        pass_time(take, 1.0 / 30.0)


def test_the_scripts_pictures_are_runs_and_stops(placed_pair):
    parts = parts_of(placed_pair.walk_cues())
    assert [part.stop for part in parts] == [None, 0, None, 1, None, 2, None]
    assert [len(part.cues) for part in parts if part.stop is not None] == [1, 1, 1]


def test_it_waits_for_the_microphone_and_then_at_each_stop(take, placed_pair):
    take.begin()
    assert not take.is_recording
    first = placed_pair.state("athlete").frame
    take._recorder.started.emit()
    run_to_next_stop(take)
    assert take.stop == 0
    assert placed_pair.state("athlete").frame > first
    assert placed_pair.is_stop_shown(0)
    pass_time(take, 20.0)
    assert take.stop == 0
    take.go_on()
    assert take.stop is None
    run_to_next_stop(take)
    assert take.stop == 1
    assert placed_pair.is_stop_shown(1)


def test_pauses_are_as_long_as_was_spoken_and_the_clip_is_as_long_as_the_take(
    take, placed_pair, qtbot
):
    take.begin()
    take._recorder.started.emit()
    begun = take._clock.now
    for spoken in (1.2, 4.0, 0.6):
        run_to_next_stop(take)
        pass_time(take, spoken - (take._clock.now - take._since_s))
        take.go_on()
    while take._at < len(take._parts):
        pass_time(take, 1.0 / 30.0)
    lasted = take._clock.now - begun
    with qtbot.waitSignal(take.finished):
        pass_time(take, TAIL_S + 0.1)
    assert take.pauses_s == pytest.approx([1.2, 4.0, 0.6], abs=1.0 / 30.0)
    placed_pair.set_pauses(take.pauses_s, take._path)
    # no drift adds up: every part begins where the one before ends in the clip
    assert len(placed_pair.walk_cues()) / 30.0 == pytest.approx(lasted, abs=2.0 / 30.0)


def test_finished_early_the_other_stops_keep_their_pauses(take, qtbot):
    take.begin()
    take._recorder.started.emit()
    run_to_next_stop(take)
    pass_time(take, 2.0 - (take._clock.now - take._since_s))
    with qtbot.waitSignal(take.finished):
        take.end()
    assert take.pauses_s == pytest.approx([2.0, 3.0, 3.0], abs=0.04)


def test_nobody_stays_longer_than_a_pause_can_be(take):
    take.begin()
    take._recorder.started.emit()
    run_to_next_stop(take)
    pass_time(take, LONGEST_PAUSE_S + 5.0)
    assert take.pauses_s == [LONGEST_PAUSE_S]


def test_thrown_away_it_says_no_more(take, qtbot):
    take.begin()
    take._recorder.started.emit()
    with qtbot.assertNotEmitted(take.finished):
        take.throw_away()
    assert take._recorder.is_discarded
    assert not take.is_recording


def test_a_microphone_that_gives_no_sound_is_said(take, qtbot):
    take._silence.setInterval(20)
    take.begin()
    with qtbot.waitSignal(take.failed) as caught:
        pass
    assert caught.args == [NO_SOUND]
    assert take._recorder.is_discarded


def test_finished_before_there_was_any_sound_nothing_is_kept(take, qtbot):
    take.begin()
    with qtbot.waitSignal(take.failed), qtbot.assertNotEmitted(take.finished):
        take.end()
    assert take._recorder.is_discarded


def test_the_first_sound_ends_the_wait_for_it(take, qtbot):
    take._silence.setInterval(20)
    take.begin()
    take._recorder.started.emit()
    with qtbot.assertNotEmitted(take.failed, wait=60):
        pass
    assert take.is_recording
