"""The script of a pair's walkthrough as the session answers and edits it."""

from __future__ import annotations

import wave

import pytest

from deliverylab.core.errors import ClipError, UsageError
from deliverylab.shell.session_walkthrough import MadeWalk
from tests.shell.conftest import MARKS_A, delivery_of


def events(session):
    return [stop.event or stop.phase for stop in session.script().stops]


def frames(session):
    return session.state("athlete").frame, session.state("model").frame


def test_without_a_partner_there_is_no_script(session):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A))
    with pytest.raises(UsageError, match="two deliveries"):
        session.script()
    assert not session.has_own_script
    assert not session.is_stop_shown(0)


def test_the_suggested_script_is_kept_by_the_first_edit_and_comes_back_by_undo(placed_pair):
    suggested = placed_pair.script()
    assert events(placed_pair) == ["leg_lift", "foot_contact", "release"]
    assert placed_pair.record.walkthroughs == ()
    placed_pair.set_pause(1, 5.0)
    assert placed_pair.has_own_script
    assert [stop.pause_s for stop in placed_pair.script().stops] == [3.0, 5.0, 3.0]
    placed_pair.undo()
    assert not placed_pair.has_own_script
    assert placed_pair.script() == suggested


def test_an_edit_that_changes_nothing_keeps_nothing(placed_pair):
    placed_pair.set_pause(1, 3.0)
    placed_pair.set_walk_speed(0.25)
    assert not placed_pair.has_own_script
    assert not placed_pair.undo_stack.canUndo()


def test_what_is_suggested_follows_the_measurements_until_it_is_edited(placed_pair):
    placed_pair.remove_mark("athlete", "foot_contact")
    assert events(placed_pair) == ["leg_lift", "release"]
    placed_pair.undo()
    placed_pair.set_pause(1, 5.0)
    placed_pair.remove_mark("athlete", "foot_contact")
    assert events(placed_pair) == ["leg_lift", "foot_contact", "release"]
    with pytest.raises(UsageError, match="not marked"):
        placed_pair.show_stop(1)
    assert not placed_pair.is_stop_shown(1)


def test_a_stop_is_shown_on_both_stages_whatever_is_linked(placed_pair):
    placed_pair.set_linked(False)
    placed_pair.show_stop(2)
    assert frames(placed_pair) == (180, 182)
    assert placed_pair.is_stop_shown(2)
    assert not placed_pair.is_stop_shown(1)
    placed_pair.show_frame("model", 100)
    assert not placed_pair.is_stop_shown(2)


def test_a_stop_is_added_at_an_event_or_a_phase_in_the_order_of_time(placed_pair):
    placed_pair.remove_stop(1)
    placed_pair.show_frame("athlete", 144)
    assert placed_pair.add_stop() == 1
    assert events(placed_pair) == ["leg_lift", "foot_contact", "release"]
    placed_pair.show_frame("athlete", 84)
    assert placed_pair.add_stop() == 1
    assert events(placed_pair) == ["leg_lift", 50.0, "foot_contact", "release"]
    placed_pair.show_stop(1)
    assert frames(placed_pair) == (84, 96)


def test_a_stop_is_added_from_the_models_stage_as_well(placed_pair):
    placed_pair.set_linked(False)
    placed_pair.activate("model")
    placed_pair.show_frame("model", 96)
    assert placed_pair.add_stop() == 1
    assert events(placed_pair)[1] == 50.0


def test_stops_are_moved_and_removed(placed_pair):
    placed_pair.move_stop(2, 0)
    assert events(placed_pair) == ["release", "leg_lift", "foot_contact"]
    placed_pair.move_stop(0, 9)
    assert events(placed_pair) == ["leg_lift", "foot_contact", "release"]
    placed_pair.remove_stop(0)
    assert events(placed_pair) == ["foot_contact", "release"]


def test_letters_of_a_caption_are_one_step(placed_pair):
    before = placed_pair.script().stops[0].caption
    for caption in ("L", "Lo", "Look"):
        placed_pair.set_caption(0, caption, gesture="caption 0")
    assert placed_pair.script().stops[0].caption == "Look"
    placed_pair.undo()
    assert placed_pair.script().stops[0].caption == before
    assert not placed_pair.undo_stack.canUndo()


def test_what_the_measurements_suggest_to_say_is_known_after_edits(placed_pair):
    suggested = placed_pair.suggested_caption(0)
    placed_pair.set_caption(0, "Look here.")
    assert placed_pair.suggested_caption(0) == suggested
    placed_pair.show_frame("athlete", 84)
    at = placed_pair.add_stop()
    assert placed_pair.suggested_caption(at) == ""


def test_numbers_of_a_stop_are_those_that_differ_most_until_chosen(placed_pair):
    offered = placed_pair.stop_differences(2)
    assert offered
    shown = placed_pair.stop_numbers(2)
    assert set(shown) <= {(one.metric, one.event) for one in offered}
    placed_pair.set_numbers(2, shown[:1])
    assert placed_pair.stop_numbers(2) == shown[:1]
    placed_pair.set_numbers(2, ())
    assert placed_pair.stop_numbers(2) == ()
    placed_pair.set_numbers(2, None)
    assert placed_pair.stop_numbers(2) == shown


def test_drawings_are_added_and_taken_back(placed_pair):
    placed_pair.add_drawing(1, "model", "arrow", ((10.0, 20.0), (30.0, 40.0)))
    placed_pair.add_drawing(1, "athlete", "circle", ((10.0, 20.0), (30.0, 40.0)))
    assert [each.kind for each in placed_pair.script().stops[1].drawings] == ["arrow", "circle"]
    placed_pair.remove_drawings(1, is_last_only=True)
    assert [each.kind for each in placed_pair.script().stops[1].drawings] == ["arrow"]
    placed_pair.remove_drawings(1)
    assert placed_pair.script().stops[1].drawings == ()


@pytest.fixture
def voice(tmp_path):
    path = tmp_path / "said.wav"
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(8000)
        file.writeframes(b"\1\0" * 4000)
    return path


def test_a_voice_is_kept_from_the_projects_folder(placed_pair, voice, tmp_path):
    placed_pair.set_voice(voice, 1.5)
    assert placed_pair.script().voice == voice.as_posix()
    placed_pair.save_as(tmp_path / "may.delivery")
    assert placed_pair.script().voice == "said.wav"
    assert placed_pair.voice_path() == voice
    assert placed_pair.script().voice_offset_s == 1.5
    placed_pair.set_voice(None)
    assert placed_pair.script().voice == ""
    assert placed_pair.voice_path() is None


def test_what_holds_no_sound_is_no_voice(placed_pair, tmp_path):
    (tmp_path / "notes.wav").write_text("no sound", encoding="utf-8")
    with pytest.raises(ClipError):
        placed_pair.set_voice(tmp_path / "notes.wav")
    assert not placed_pair.has_own_script


def test_pauses_as_somebody_spoke_and_the_voice_are_one_step(placed_pair, voice):
    placed_pair.set_pauses([1.0, 2.0, 4.5], voice)
    assert [stop.pause_s for stop in placed_pair.script().stops] == [1.0, 2.0, 4.5]
    assert placed_pair.script().voice.endswith("said.wav")
    placed_pair.undo()
    assert not placed_pair.has_own_script


def test_a_script_that_was_changed_while_somebody_spoke_is_left_as_it_is(placed_pair, voice):
    placed_pair.remove_stop(0)
    with pytest.raises(UsageError, match="changed while"):
        placed_pair.set_pauses([1.0, 2.0, 4.5], voice)
    assert placed_pair.script().voice == ""


def test_the_script_is_forgotten_on_request(placed_pair):
    placed_pair.forget_script()
    assert not placed_pair.undo_stack.canUndo()
    placed_pair.remove_stop(0)
    placed_pair.forget_script()
    assert not placed_pair.has_own_script
    assert len(placed_pair.script().stops) == 3


def test_the_clip_lasts_as_long_as_its_pictures(placed_pair):
    before = len(placed_pair.walk_cues())
    placed_pair.set_pause(1, 5.0)
    assert len(placed_pair.walk_cues()) == before + 60


def test_the_clip_is_made_of_what_is_there_when_it_is_asked_for(placed_pair, tmp_path):
    for index in range(3):
        placed_pair.set_pause(index, 0.0)
    placed_pair.set_walk_speed(2.0)
    n_pictures = len(placed_pair.walk_cues())
    work = placed_pair.walk_work(tmp_path / "clip.mp4", (854, 480))
    placed_pair.remove_stop(0)
    shares: list[float] = []
    assert work(shares.append) == MadeWalk(tmp_path / "clip.mp4")
    assert len(shares) == n_pictures
    assert shares[-1] == 1.0
