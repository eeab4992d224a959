"""Playing: real time and slow, to the end or round and round between two events."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QElapsedTimer, QObject, Qt, QTimer, Signal

from deliverylab.core.errors import InputValueError
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.shell.session_stages import SessionStages
from deliverylab.shell.session_state import Side

SPEEDS: tuple[float, ...] = (1.0, 0.5, 0.25, 0.125)
TICK_MS = 12
LOOP_REST_S = 0.35
"""How long a loop stands still at its end, s, so that the eye takes the last picture in."""


@dataclass(frozen=True, kw_only=True)
class Loop:
    """A part of the delivery that is played again and again: its name, and the events it runs between."""

    key: str
    name: str
    start: str = ""
    end: str = ""


LOOPS: tuple[Loop, ...] = (
    Loop(key="", name="no loop"),
    Loop(key="lift_contact", name="lift to contact", start="leg_lift", end="foot_contact"),
    Loop(key="contact_release", name="contact to release", start="foot_contact", end="release"),
    Loop(key="whole", name="lift to release", start="leg_lift", end="release"),
)
LOOPS_BY_KEY: dict[str, Loop] = {loop.key: loop for loop in LOOPS}


class SessionPlay(SessionStages):
    """Answers and intents about playing; a linked partner goes along at the same phase.

    Playing stops when a hand does anything else to what is shown or measured.

    Attributes
    ----------
    is_playing : bool
    speed : float
        Share of real time, one of `SPEEDS`.
    loop : str
        Key of one of `LOOPS`.

    Signals
    -------
    play_changed()
        Playing began or ended, or speed or loop are others.
    """

    play_changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        self.is_playing = False
        self.speed = 1.0
        self.loop = ""
        self._played: Side = "athlete"
        self._from_real_s = 0.0
        self._is_ticking = False
        super().__init__(parent)
        self._clock = QElapsedTimer()
        self._ticker = QTimer(self)
        self._ticker.setTimerType(Qt.TimerType.PreciseTimer)
        self._ticker.setInterval(TICK_MS)
        self._ticker.timeout.connect(self._on_tick)
        self.changed.connect(self._on_hand)
        self.selection_changed.connect(self._on_hand)
        self.frame_changed.connect(self._on_hand)

    # ------------------------------------------------------------------------------- intents

    def toggle_play(self) -> None:
        """Play the active stage from the shown frame, or stop.

        Raises
        ------
        InputValueError
            The loop's events are not known.
        """
        if self.is_playing:
            self.pause()
            return
        side = self.active_side
        camera = self.camera(side)
        if camera is None:
            return
        start_s, end_s = self._played_real_s(side)
        shown_s = float(camera.timing.real_s(self.time_s(side)))
        is_inside = start_s <= shown_s < end_s - 1e-9
        self._played = side
        self.is_playing = True
        self._start_at(shown_s if is_inside else start_s)
        self._ticker.start()
        self.play_changed.emit()

    def pause(self) -> None:
        """Stop where it is."""
        if self.is_playing:
            self.is_playing = False
            self._ticker.stop()
            self.play_changed.emit()

    def set_speed(self, speed: float) -> None:
        """Play at a share of real time."""
        if self.is_playing:
            self._start_at(self._now_real_s())
        self.speed = speed
        self.play_changed.emit()

    def change_speed(self, direction: int) -> None:
        """Play faster (1) or slower (-1), by one step."""
        at = SPEEDS.index(self.speed) - direction
        self.set_speed(SPEEDS[max(0, min(len(SPEEDS) - 1, at))])

    def set_loop(self, key: str) -> None:
        """Play a part of the delivery again and again; empty plays to the end.

        Raises
        ------
        InputValueError
            Its events are not known; the loop is then as before.
        """
        before, self.loop = self.loop, key
        try:
            if key:
                self._played_real_s(self.active_side)
        except InputValueError:
            self.loop = before
            raise
        finally:
            self.play_changed.emit()

    def next_loop(self) -> None:
        """Choose the next part to play again and again, of those whose events are known, or none."""
        keys = [loop.key for loop in LOOPS]
        at = keys.index(self.loop)
        for key in (*keys[at + 1 :], *keys[: at + 1]):
            if not key or self._events_lacking(key, self.active_side) == ():
                self.set_loop(key)
                return

    # ------------------------------------------------------------------------------- playing

    def _events_lacking(self, key: str, side: Side) -> tuple[str, ...]:
        loop, known = LOOPS_BY_KEY[key], self.event_times_s(side)
        return tuple(event for event in (loop.start, loop.end) if event and event not in known)

    def _played_real_s(self, side: Side) -> tuple[float, float]:
        """Return where playing starts and ends, real seconds of the side's clip."""
        camera = self.camera(side)
        if camera is None:
            return 0.0, 0.0
        lacking = self._events_lacking(self.loop, side)
        if lacking:
            names = " and ".join(EVENTS[event].name for event in lacking)
            raise InputValueError(f"{names} is not marked", remedy="mark it, or choose no loop")
        loop, timing = LOOPS_BY_KEY[self.loop], camera.timing
        first, last = camera.first_frame, camera.end_frame
        if loop.start:
            known = self.event_times_s(side)
            first, last = (timing.frame_at(known[event]) for event in (loop.start, loop.end))
        start_s, end_s = timing.real_s(timing.times_s[[first, last]]).tolist()
        return start_s, end_s

    def _start_at(self, real_s: float) -> None:
        self._from_real_s = real_s
        self._clock.start()

    def _now_real_s(self) -> float:
        return self._from_real_s + self.speed * self._clock.nsecsElapsed() * 1e-9

    def _on_tick(self) -> None:
        side = self._played
        camera = self.camera(side)
        if camera is None or self._events_lacking(self.loop, side):
            self.pause()
            return
        start_s, end_s = self._played_real_s(side)
        now_s = self._now_real_s()
        if now_s >= end_s and self.loop:
            if now_s >= end_s + self.speed * LOOP_REST_S:
                self._start_at(start_s)
                now_s = start_s
        elif now_s >= end_s:
            self._show_played(side, end_s)
            self.pause()
            return
        self._show_played(side, min(now_s, end_s))

    def _show_played(self, side: Side, real_s: float) -> None:
        camera = self.camera(side)
        if camera is None:
            return
        frame = camera.timing.frame_at(float(camera.timing.clip_s(real_s)))
        if frame != self.state(side).frame:
            self._is_ticking = True
            try:
                self.show_frame(side, frame)
            finally:
                self._is_ticking = False

    def _on_hand(self, *_ignored: object) -> None:
        """Stop, for somebody else moved or edited something."""
        if not self._is_ticking:
            self.pause()
