"""The voice of the walkthrough: a sound file, or one recorded while the script runs on the stages."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QFileDialog

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.dialogs.walkthrough import WalkthroughPanel
from deliverylab.shell.messages import error_text
from deliverylab.shell.voice import VoiceRecorder
from deliverylab.shell.voice_take import VoiceTake
from deliverylab.shell.walk_content import stop_name
from deliverylab.shell.window.walkthrough import WalkthroughWindow

SOUND_KINDS = "Sound (*.wav *.m4a *.mp3 *.aac *.ogg *.opus *.flac);;All files (*)"
ALLOW = "Allow the microphone where the system asks, then press Record again."
OPENING = "Opening the microphone …"
RUNS = "Recording. The movement runs."
LAID = "The voice is laid under the clip; each stop lasts as long as you spoke there."


class SpeakingWindow(WalkthroughWindow):
    """Lays a voice under the walkthrough.

    It is made as `IntentWindow` is.
    """

    _take: VoiceTake | None = None

    def _walk_panel(self) -> WalkthroughPanel:
        is_new = self._open_walk_panel() is None
        panel = super()._walk_panel()
        if is_new:
            panel.voice.file_wanted.connect(self.ask_voice)
            panel.voice.recording_wanted.connect(self.record_voice)
            panel.voice.go_on_wanted.connect(self._go_on_speaking)
            panel.voice.end_wanted.connect(self._end_speaking)
            panel.voice.drop_wanted.connect(self._drop_voice)
        return panel

    def close_tool(self) -> None:
        """Go back to the readings; a recording that goes on is thrown away."""
        if self._open_walk_panel() is not None:
            self._drop_voice()
        super().close_tool()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Throw a recording away that goes on while the window closes."""
        super().closeEvent(event)
        if event.isAccepted():
            self._drop_voice()

    def ask_voice(self) -> None:
        """Ask for a sound file and lay it under the clip."""
        panel = self._walk_panel()
        chosen, _ = QFileDialog.getOpenFileName(
            self, "Voice of the walkthrough", self.files.folder(), SOUND_KINDS
        )
        if chosen:
            panel.voice.say_problem("")
            try:
                self.session.set_voice(Path(chosen))
            except DeliveryLabError as error:
                panel.voice.say_problem(error_text(error))

    def record_voice(self) -> None:
        """Record the microphone while the script runs, or say why that cannot be."""
        panel = self._walk_panel()
        if self._take is not None:
            return
        recorder = self.voice_recorder()
        problem = recorder.obstacle()
        if not problem and not recorder.ask_permission():
            problem = ALLOW
        panel.voice.say_problem(problem)
        path = None if problem else self._voice_place(panel, recorder.suffix)
        if path is None:
            recorder.deleteLater()
            return
        self._end_drawing()
        self.centre.setCurrentWidget(self._work)
        take = self._take = VoiceTake(self.session, recorder, path, parent=self)
        recorder.setParent(take)
        take.changed.connect(self._show_take)
        take.finished.connect(self._on_voice_recorded)
        take.failed.connect(self._on_voice_failed)
        panel.show_take(OPENING)
        take.begin()

    def voice_recorder(self) -> VoiceRecorder:
        """Return what records the microphone."""
        return VoiceRecorder(self)

    def _voice_place(self, panel: WalkthroughPanel, suffix: str) -> Path | None:
        """Return where a recording goes; before the project is saved, as somebody says."""
        place = panel.where_voice_goes(suffix)
        if place is not None:
            return place
        start = Path(self.files.folder()) / f"{self.session.name} voice{suffix}"
        chosen, _ = QFileDialog.getSaveFileName(
            self, "Where the recording goes", str(start), f"Sound (*{suffix})"
        )
        return Path(chosen).with_suffix(suffix) if chosen else None

    def _show_take(self) -> None:
        panel, take = self._open_walk_panel(), self._take
        if panel is None or take is None:
            return
        if take.stop is None:
            panel.show_take(RUNS)
            return
        stops = self.session.script().stops
        name = stop_name(stops[take.stop])
        place = f"Stop {take.stop + 1} of {len(stops)}: {name[:1].lower()}{name[1:]}"
        panel.show_take(f"Recording. {place}. Speak, then go on.", is_waiting=True)

    def _go_on_speaking(self) -> None:
        if self._take is not None:
            self._take.go_on()

    def _end_speaking(self) -> None:
        if self._take is not None:
            self._take.end()

    def _drop_voice(self) -> None:
        if self._take is not None:
            self._take.throw_away()
            self._let_take_go()

    def _on_voice_recorded(self, path: Path) -> None:
        take = self._take
        self._let_take_go()
        panel = self._open_walk_panel()
        if take is not None and panel is not None:
            try:
                self.session.set_pauses(take.pauses_s, path)
            except DeliveryLabError as error:
                panel.voice.say_problem(error_text(error))
            else:
                panel.said.emit(LAID, "good")

    def _on_voice_failed(self, words: str) -> None:
        self._let_take_go()
        panel = self._open_walk_panel()
        if panel is not None:
            panel.voice.say_problem(f"Nothing was recorded: {words}. Choose a sound file instead.")

    def _let_take_go(self) -> None:
        take, self._take = self._take, None
        if take is not None:
            take.deleteLater()
        panel = self._open_walk_panel()
        if panel is not None:
            panel.show_take("")
