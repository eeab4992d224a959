"""The microphone: every way in which it may not be there is a normal state that says what to do."""

from __future__ import annotations

import subprocess
import sys

import pytest
from PySide6.QtCore import Qt

from deliverylab.shell import voice
from deliverylab.shell.voice import (
    BROKEN,
    NO_FORMAT,
    NO_MICROPHONE,
    NO_PACKAGE,
    NOT_ALLOWED,
    VoiceRecorder,
)
from tests.shell.speaker import multimedia


@pytest.fixture
def installed(monkeypatch):
    """A function that installs a stand-in for Qt's multimedia."""

    def install(**fields):
        made = multimedia(**fields)
        monkeypatch.setattr(voice, "has_package", lambda: True)
        monkeypatch.setattr(voice.importlib, "import_module", lambda _name: made)
        return made

    return install


def test_without_the_package_it_says_how_to_install_it(qapp, monkeypatch):
    monkeypatch.setattr(voice, "has_package", lambda: False)
    assert VoiceRecorder().obstacle() == NO_PACKAGE
    assert "pip install 'deliverylab[voice]'" in NO_PACKAGE


def test_a_package_that_does_not_start_names_what_it_lacks(qapp, monkeypatch):
    def refuse(_name):
        raise ImportError("libpulse.so.0: cannot open shared object file")

    monkeypatch.setattr(voice, "has_package", lambda: True)
    monkeypatch.setattr(voice.importlib, "import_module", refuse)
    said = VoiceRecorder().obstacle()
    assert said.startswith(BROKEN)
    assert "libpulse.so.0" in said


def test_no_microphone_and_no_permission_are_said(qapp, installed, monkeypatch):
    installed(microphones=())
    assert VoiceRecorder().obstacle() == NO_MICROPHONE
    installed()
    monkeypatch.setattr(voice, "_permission", lambda: Qt.PermissionStatus.Denied)
    assert VoiceRecorder().obstacle() == NOT_ALLOWED


@pytest.mark.parametrize(
    ("formats", "suffix", "problem"),
    [
        (("Wave", "Mpeg4Audio"), ".wav", ""),
        (("Mpeg4Audio",), ".m4a", ""),
        ((), ".wav", NO_FORMAT),
    ],
)
def test_the_file_is_wav_else_m4a(qapp, installed, formats, suffix, problem):
    installed(formats=formats)
    recorder = VoiceRecorder()
    assert recorder.obstacle() == problem
    assert recorder.suffix == suffix


def test_it_begins_with_the_first_sound_and_ends_with_a_whole_file(
    qapp, installed, tmp_path, qtbot
):
    qt = installed()
    recorder, begun = VoiceRecorder(), []
    assert recorder.obstacle() == ""
    recorder.started.connect(lambda: begun.append(1))
    recorder.begin(tmp_path / "said.wav")
    inner = qt.QMediaRecorder.last
    assert inner.asked["setOutputLocation"].toLocalFile() == str(tmp_path / "said.wav")
    assert inner.asked["setMediaFormat"].file_format == "Wave"
    assert begun == []
    inner.durationChanged.emit(20)
    inner.durationChanged.emit(40)
    assert begun == [1]
    with qtbot.waitSignal(recorder.finished) as caught:
        recorder.stop()
    assert caught.args == [tmp_path / "said.wav"]


def test_a_recording_that_fails_or_is_thrown_away_leaves_nothing(qapp, installed, tmp_path, qtbot):
    qt = installed()
    recorder = VoiceRecorder()
    recorder.obstacle()
    recorder.begin(tmp_path / "said.wav")
    with qtbot.waitSignal(recorder.failed) as caught, qtbot.assertNotEmitted(recorder.finished):
        qt.QMediaRecorder.last.errorOccurred.emit("resource", "the device is gone")
        recorder.stop()
    assert caught.args == ["the device is gone"]
    recorder.begin(tmp_path / "said.wav")
    (tmp_path / "said.wav").write_bytes(b"half a file")
    with qtbot.assertNotEmitted(recorder.finished):
        recorder.discard()
    assert not (tmp_path / "said.wav").exists()


def test_nothing_of_it_is_loaded_at_start():
    code = (
        "import sys; import deliverylab.shell.window.window; from deliverylab.shell.voice import "
        "has_package; has_package(); print('PySide6.QtMultimedia' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
