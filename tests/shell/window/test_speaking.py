"""The voice of the walkthrough in the window: a file, a recording by hand, and what may be missing."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QApplication, QFileDialog

from deliverylab.shell import voice as voice_module
from deliverylab.shell.voice import NO_MICROPHONE, NO_PACKAGE
from tests.shell.gestures import click, tap
from tests.shell.speaker import Clock, FakeRecorder, multimedia, write_silence


@pytest.fixture
def speaking(open_window, placed_pair):
    window = open_window(placed_pair)
    window.show_walkthrough()
    yield window
    window.close_tool()


@pytest.fixture
def recorder(speaking, monkeypatch):
    made = FakeRecorder(speaking)
    monkeypatch.setattr(speaking, "voice_recorder", lambda: made)
    return made


def settle():
    """Let the panel follow the session, which tells it once the present turn of the loop is over."""
    QApplication.processEvents()


def press(widget):
    click(widget, QPointF(widget.rect().center()))
    settle()


def test_without_the_package_the_panel_says_what_to_install(speaking, monkeypatch):
    monkeypatch.setattr(voice_module, "has_package", lambda: False)
    form = speaking.tool.voice
    press(form.record)
    assert form.problem.text() == NO_PACKAGE
    assert form.take.isHidden()


def test_without_a_microphone_the_panel_says_so(speaking, monkeypatch):
    monkeypatch.setattr(voice_module, "has_package", lambda: True)
    monkeypatch.setattr(
        voice_module.importlib, "import_module", lambda _name: multimedia(microphones=())
    )
    press(speaking.tool.voice.record)
    assert speaking.tool.voice.problem.text() == NO_MICROPHONE


def test_a_sound_file_is_laid_under_and_taken_away(speaking, placed_pair, monkeypatch, tmp_path):
    form = speaking.tool.voice
    write_silence(tmp_path / "said.wav")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(tmp_path / "said.wav"), ""))
    press(form.file)
    assert form.name.full_text == "said.wav"
    form.offset.setValue(2.5)
    assert placed_pair.script().voice_offset_s == 2.5
    (tmp_path / "said.wav").unlink()
    speaking.tool.refresh()
    assert form.problem.text() == "said.wav is not where it was. Choose it again, or remove it."
    press(form.remove)
    assert placed_pair.script().voice == ""
    assert form.name.full_text == "No voice: the clip is silent."
    assert form.problem.isHidden()


def test_a_file_without_sound_is_refused_in_the_panel(speaking, placed_pair, monkeypatch, tmp_path):
    (tmp_path / "notes.wav").write_text("no sound", encoding="utf-8")
    monkeypatch.setattr(
        QFileDialog, "getOpenFileName", lambda *_: (str(tmp_path / "notes.wav"), "")
    )
    press(speaking.tool.voice.file)
    assert "cannot be read" in speaking.tool.voice.problem.text()
    assert not placed_pair.has_own_script


def test_somebody_speaks_by_one_key_and_the_clip_waits_as_long(
    speaking, placed_pair, recorder, tmp_path, qtbot
):
    placed_pair.save_as(tmp_path / "may.delivery")
    panel = speaking.tool
    press(panel.voice.record)
    assert recorder.place == tmp_path / "may voice.wav"
    take = speaking._take
    take._clock = Clock()
    recorder.started.emit()
    for number in range(3):
        while take.stop is None:
            take._clock.now += 1.0 / 30.0
            take._on_tick()
        assert f"Stop {number + 1} of 3" in panel.voice.said.text()
        assert placed_pair.is_stop_shown(number)
        take._clock.now += 1.0
        tap(panel.voice.go_on, Qt.Key.Key_Space)
    assert panel.voice.said.text() == "Recording. The movement runs."
    assert not panel.voice.file.isEnabled()
    take.end()
    settle()
    assert [stop.pause_s for stop in placed_pair.script().stops] == pytest.approx(
        [1.0] * 3, abs=0.07
    )
    assert placed_pair.script().voice == "may voice.wav"
    assert panel.voice.take.isHidden()
    assert panel.voice.name.full_text == "may voice.wav"
    # one step takes voice and pauses back
    speaking.notices._button.click()
    assert not placed_pair.has_own_script
    # the next recording does not lie over this one
    press(panel.voice.record)
    assert recorder.place == tmp_path / "may voice 2.wav"


def test_before_the_project_is_saved_somebody_says_where_it_goes(
    speaking, recorder, monkeypatch, tmp_path
):
    asked = []

    def answer(*given):
        asked.append(given[2])
        return "", ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", answer)
    press(speaking.tool.voice.record)
    assert len(asked) == 1
    assert recorder.place is None
    assert speaking._take is None


@pytest.fixture
def recording(speaking, placed_pair, recorder, tmp_path):
    placed_pair.save_as(tmp_path / "may.delivery")
    press(speaking.tool.voice.record)
    recorder.started.emit()
    return recorder


def test_a_take_is_thrown_away_by_hand_or_with_the_panel(speaking, placed_pair, recording):
    press(speaking.tool.voice.drop)
    assert recording.is_discarded
    assert speaking._take is None
    assert speaking.tool.voice.take.isHidden()
    assert not placed_pair.has_own_script


def test_closing_the_panel_ends_the_recording(speaking, placed_pair, recording):
    speaking.close_tool()
    assert recording.is_discarded
    assert speaking._take is None


def test_a_microphone_that_is_pulled_out_is_said(speaking, placed_pair, recording):
    recording.failed.emit("the device is gone")
    assert speaking._take is None
    assert "the device is gone" in speaking.tool.voice.problem.text()
    assert not placed_pair.has_own_script


def test_a_script_changed_meanwhile_keeps_its_pauses_and_the_panel_says_so(
    speaking, placed_pair, recording
):
    placed_pair.remove_stop(0)
    speaking._take.end()
    settle()
    assert "changed while the voice was recorded" in speaking.tool.voice.problem.text()
    assert [stop.pause_s for stop in placed_pair.script().stops] == [3.0, 3.0]


def test_closing_the_window_ends_the_recording(speaking, placed_pair, recording):
    placed_pair.undo_stack.setClean()
    speaking.close()
    assert recording.is_discarded
