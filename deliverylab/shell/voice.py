"""The microphone: a voice recorded into a file, where that is possible on this machine.

Qt's multimedia is an extra that many do without, and is loaded only when somebody records.  What is
recorded stays in its file.
"""

from __future__ import annotations

import contextlib
import importlib
import importlib.util
from pathlib import Path
from types import ModuleType
from typing import Any

from PySide6.QtCore import QCoreApplication, QMicrophonePermission, QObject, Qt, QUrl, Signal

NO_PACKAGE = (
    "To record here, install one more package: pip install 'deliverylab[voice]', and start the "
    "program again. A sound file can be laid under the clip without it."
)
BROKEN = "What records sound is installed, but does not start on this machine"
NO_MICROPHONE = "No microphone was found. Plug one in, or choose a sound file."
NOT_ALLOWED = "The system does not let this program use the microphone: allow it in its settings."
NO_FORMAT = "This machine's Qt can write no sound file that the clip can take: choose a sound file."


def has_package() -> bool:
    """Return whether recording is installed; nothing is loaded."""
    return importlib.util.find_spec("PySide6.QtMultimedia") is not None


def load_multimedia() -> tuple[ModuleType | None, str]:
    """Load Qt's multimedia; where there is none, say why and what to do."""
    if not has_package():
        return None, NO_PACKAGE
    try:
        return importlib.import_module("PySide6.QtMultimedia"), ""
    except ImportError as problem:  # a library of the system that it needs is not there
        return None, f"{BROKEN} ({problem}). Install that library, or choose a sound file."


class VoiceRecorder(QObject):
    """Record the system's microphone into a file.

    Attributes
    ----------
    suffix : str
        How the file's name ends, once `obstacle` found none.

    Signals
    -------
    started()
        Sound is being written from now on.
    finished(object)
        Path of the file, which is whole.
    failed(str)
        What the system says; nothing is recorded any more.
    """

    started = Signal()
    finished = Signal(object)
    failed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.suffix = ".wav"
        self._qt: Any = None
        self._format: Any = None
        self._session: Any = None
        self._input: Any = None
        self._recorder: Any = None
        self._path: Path | None = None
        self._has_begun = False

    def obstacle(self) -> str:
        """Return why nothing can be recorded now, and what to do about it; empty when it can."""
        if self._qt is None:
            self._qt, problem = load_multimedia()
            if self._qt is None:
                return problem
        if not self._qt.QMediaDevices.audioInputs():
            return NO_MICROPHONE
        if _permission() == Qt.PermissionStatus.Denied:
            return NOT_ALLOWED
        self._format = self._chosen_format()
        return "" if self._format is not None else NO_FORMAT

    def ask_permission(self) -> bool:
        """Return whether the microphone may be used; where nobody said yet, ask, and say no."""
        if _permission() != Qt.PermissionStatus.Undetermined:
            return _permission() == Qt.PermissionStatus.Granted
        app = QCoreApplication.instance()
        if app is not None:
            app.requestPermission(QMicrophonePermission(), self, lambda _answer: None)
        return False

    def _chosen_format(self) -> Any:
        """Return WAV, which any program can cut, else M4A; None where neither can be written."""
        made = self._qt.QMediaFormat
        encode = made.ConversionMode.Encode
        for suffix, file_format, codec in (
            (".wav", made.FileFormat.Wave, made.AudioCodec.Wave),
            (".m4a", made.FileFormat.Mpeg4Audio, made.AudioCodec.AAC),
        ):
            wanted = made(file_format)
            wanted.setAudioCodec(codec)
            if wanted.isSupported(encode):
                self.suffix = suffix
                return wanted
        return None

    def begin(self, path: Path) -> None:
        """Record into this file; `started` tells from when on.

        `obstacle` has to have found none.
        """
        qt = self._qt
        self._path, self._has_begun = path, False
        self._session = qt.QMediaCaptureSession(self)
        self._input = qt.QAudioInput(qt.QMediaDevices.defaultAudioInput(), self)
        self._recorder = qt.QMediaRecorder(self)
        self._session.setAudioInput(self._input)
        self._session.setRecorder(self._recorder)
        recorder = self._recorder
        recorder.setMediaFormat(self._format)
        recorder.setQuality(qt.QMediaRecorder.Quality.HighQuality)
        recorder.setAudioChannelCount(1)
        recorder.setOutputLocation(QUrl.fromLocalFile(str(path)))
        recorder.durationChanged.connect(self._on_duration_changed)
        recorder.recorderStateChanged.connect(self._on_state_changed)
        recorder.errorOccurred.connect(self._on_error)
        recorder.record()

    def stop(self) -> None:
        """End the recording; `finished` follows once the file is whole."""
        if self._recorder is not None:
            self._recorder.stop()

    def discard(self) -> None:
        """End the recording and take its file away."""
        recorder, path = self._recorder, self._path
        self._let_go()
        if recorder is not None:
            recorder.stop()
        if path is not None:
            with contextlib.suppress(OSError):  # where the system still writes, it stays
                path.unlink(missing_ok=True)

    def _on_duration_changed(self, _duration_ms: int) -> None:
        """Take the first sound that was written as the beginning: opening the device takes a while."""
        if not self._has_begun and self._recorder is not None:
            self._has_begun = True
            self.started.emit()

    def _on_state_changed(self, state: Any) -> None:
        stopped = self._qt.QMediaRecorder.RecorderState.StoppedState
        if state == stopped and self._path is not None:
            path = self._path
            self._let_go()
            self.finished.emit(path)

    def _on_error(self, _code: Any, words: str) -> None:
        if self._recorder is not None:
            self._let_go()
            self.failed.emit(words)

    def _let_go(self) -> None:
        for part in (self._recorder, self._input, self._session):
            if part is not None:
                part.deleteLater()
        self._recorder = self._input = self._session = self._path = None


def _permission() -> Qt.PermissionStatus:
    app = QCoreApplication.instance()
    if app is None:
        return Qt.PermissionStatus.Undetermined
    return app.checkPermission(QMicrophonePermission())
