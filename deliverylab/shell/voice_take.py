"""One take of a voice: the script runs on the stages while somebody speaks, and waits at each stop.

How long the speaker stays at a stop becomes the stop's pause, so that voice and pictures go
together in the clip.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from deliverylab.core.model.walkthrough import LONGEST_PAUSE_S
from deliverylab.shell.session import Session
from deliverylab.shell.voice import VoiceRecorder
from deliverylab.shell.walk_content import RATE_HZ

if TYPE_CHECKING:
    from deliverylab.core.compare.walkthrough_plan import FrameCue

TICK_MS = 15
SILENT_MS = 8000
"""How long a microphone may take to give its first sound: some take more than a second."""
NO_SOUND = "no sound comes from the microphone"
TAIL_S = 0.5
"""How long is recorded on after the last picture: words fade out."""


class Part(NamedTuple):
    """Pictures that run, or one that stands at a stop until the speaker goes on."""

    cues: tuple[FrameCue, ...]
    stop: int | None


def parts_of(cues: tuple[FrameCue, ...]) -> tuple[Part, ...]:
    """Return the clip's pictures as runs and stops, in order."""
    return tuple(
        Part(tuple(run)[:1] if stop is not None else tuple(run), stop)
        for stop, run in ((key, tuple(group)) for key, group in groupby(cues, lambda cue: cue.stop))
    )


class VoiceTake(QObject):
    """Lead through the script by the clock, record, and keep the pauses as they were spoken.

    Parameters
    ----------
    session : Session
        Whose script runs; it must not be edited meanwhile.
    recorder : VoiceRecorder
        Without an obstacle.
    path : Path
        Where the voice goes.
    clock : callable
        Seconds, of any beginning.

    Attributes
    ----------
    stop : int or None
        The stop at which it waits.
    pauses_s : list of float
        How long it stood at each stop so far.

    Signals
    -------
    changed()
        It began, waits at a stop, or goes on.
    finished(object)
        Path of the voice: pauses are complete.
    failed(str)
        Why there is no recording.
    """

    changed = Signal()
    finished = Signal(object)
    failed = Signal(str)

    def __init__(
        self,
        session: Session,
        recorder: VoiceRecorder,
        path: Path,
        *,
        clock: Callable[[], float] = time.monotonic,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._recorder, self._path, self._clock = session, recorder, path, clock
        self._parts = parts_of(session.walk_cues())
        self._usual_s = [one.pause_s for one in session.script().stops]
        self._at = 0
        self._since_s = 0.0
        self._shown: FrameCue | None = None
        self.stop: int | None = None
        self.pauses_s: list[float] = []
        self.is_recording = False
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self._on_tick)
        self._silence = QTimer(self)
        self._silence.setSingleShot(True)
        self._silence.setInterval(SILENT_MS)
        self._silence.timeout.connect(self._on_silent)
        recorder.started.connect(self._on_started)
        recorder.finished.connect(self._on_recorded)
        recorder.failed.connect(self._on_failed)

    def begin(self) -> None:
        """Show the first picture, and open the microphone; the script runs once it is open."""
        self._session.show_walk_clips()
        self._show(self._parts[0].cues[0])
        self._silence.start()
        self._recorder.begin(self._path)

    def go_on(self) -> None:
        """Leave the stop at which it waits."""
        if self.stop is not None:
            self._leave(self._clock() - self._since_s)

    def end(self) -> None:
        """End here: stops that were not reached keep their pauses."""
        if not self.is_recording:
            self._on_silent()
            return
        self._timer.stop()
        if self.stop is not None:
            self._keep(self._clock() - self._since_s)
        self._recorder.stop()

    def throw_away(self) -> None:
        """End, and keep nothing."""
        self._halt()
        self._recorder.discard()

    def _on_started(self) -> None:
        self.is_recording = True
        self._silence.stop()
        self._since_s = self._clock()
        self._enter()
        self._timer.start()

    def _on_tick(self) -> None:
        passed_s = self._clock() - self._since_s
        if self._at >= len(self._parts):
            if passed_s >= TAIL_S:
                self.end()
            return
        part = self._parts[self._at]
        if part.stop is not None:
            if passed_s >= LONGEST_PAUSE_S:
                self._leave(LONGEST_PAUSE_S)
            return
        number = int(passed_s * RATE_HZ)
        if number < len(part.cues):
            self._show(part.cues[number])
        else:
            self._next(len(part.cues) / RATE_HZ)

    def _leave(self, stood_s: float) -> None:
        self._next(self._keep(stood_s))

    def _keep(self, stood_s: float) -> float:
        """Keep a pause of whole pictures, as the clip will have it, and return it."""
        n_pictures = max(1, round(min(stood_s, LONGEST_PAUSE_S) * RATE_HZ))
        pause_s = round(n_pictures / RATE_HZ, 4)
        self.pauses_s.append(pause_s)
        self.stop = None
        return n_pictures / RATE_HZ

    def _next(self, lasted_s: float) -> None:
        """Go to the next part, which begins when the one before ends in the clip."""
        self._since_s += lasted_s
        self._at += 1
        self._enter()

    def _enter(self) -> None:
        if self._at < len(self._parts):
            part = self._parts[self._at]
            self.stop = part.stop
            self._show(part.cues[0])
        self.changed.emit()

    def _show(self, cue: FrameCue) -> None:
        if cue != self._shown:
            self._shown = cue
            self._session.show_both(cue.athlete_frame, cue.model_frame)

    def _on_recorded(self, path: Path) -> None:
        was_recording = self.is_recording
        self._halt()
        if was_recording:
            self.pauses_s += self._usual_s[len(self.pauses_s) :]
            self.finished.emit(path)

    def _on_failed(self, words: str) -> None:
        self._halt()
        self.failed.emit(words)

    def _on_silent(self) -> None:
        self.throw_away()
        self.failed.emit(NO_SOUND)

    def _halt(self) -> None:
        self.is_recording = False
        self._timer.stop()
        self._silence.stop()
