"""A microphone that is not there: a recorder that tests start and stop, and Qt's classes for it."""

from __future__ import annotations

import wave
from types import SimpleNamespace

from PySide6.QtCore import QObject, Signal

from deliverylab.shell.voice import VoiceRecorder


def write_silence(path, seconds=0.5):
    """Write a sound file."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(8000)
        file.writeframes(b"\1\0" * int(8000 * seconds))


class FakeRecorder(VoiceRecorder):
    """Writes a moment of silence when it is told to stop."""

    def __init__(self, parent=None, *, problem=""):
        super().__init__(parent)
        self.problem = problem
        self.place = None
        self.is_discarded = False

    def obstacle(self):
        return self.problem

    def ask_permission(self):
        return True

    def begin(self, path):
        self.place = path

    def stop(self):
        write_silence(self.place)
        self.finished.emit(self.place)

    def discard(self):
        self.is_discarded = True


class Clock:
    """Seconds that pass when a test says so."""

    def __init__(self):
        self.now = 100.0

    def __call__(self):
        return self.now


class _Recorder(QObject):
    """As much of Qt's recorder as is used."""

    durationChanged = Signal(int)  # noqa: N815 - Qt's name
    recorderStateChanged = Signal(object)  # noqa: N815
    errorOccurred = Signal(object, str)  # noqa: N815
    RecorderState = SimpleNamespace(StoppedState="stopped", RecordingState="recording")
    Quality = SimpleNamespace(HighQuality="high")

    def __init__(self, parent=None):
        super().__init__(parent)
        self.asked: dict[str, object] = {}
        _Recorder.last = self

    def __getattr__(self, name):
        if name.startswith("set"):
            return lambda value: self.asked.__setitem__(name, value)
        raise AttributeError(name)

    def record(self):
        self.recorderStateChanged.emit("recording")

    def stop(self):
        self.recorderStateChanged.emit("stopped")


class _Part(QObject):
    """Qt's session or input: whatever is set is taken."""

    def __init__(self, *given):
        super().__init__(given[-1])

    def setAudioInput(self, part):  # noqa: N802
        self.part = part

    def setRecorder(self, recorder):  # noqa: N802
        self.recorder = recorder


def multimedia(*, microphones=("built in",), formats=("Wave",)):
    """Return a module like Qt's multimedia, on a machine with these microphones and formats."""

    class Format:
        ConversionMode = SimpleNamespace(Encode="encode")
        FileFormat = SimpleNamespace(Wave="Wave", Mpeg4Audio="Mpeg4Audio")
        AudioCodec = SimpleNamespace(Wave="Wave", AAC="AAC")

        def __init__(self, file_format):
            self.file_format = file_format

        def setAudioCodec(self, codec):  # noqa: N802
            self.codec = codec

        def isSupported(self, _mode):  # noqa: N802
            return self.file_format in formats

    return SimpleNamespace(
        QMediaDevices=SimpleNamespace(
            audioInputs=lambda: list(microphones), defaultAudioInput=lambda: microphones[0]
        ),
        QMediaFormat=Format,
        QMediaCaptureSession=_Part,
        QAudioInput=_Part,
        QMediaRecorder=_Recorder,
    )
