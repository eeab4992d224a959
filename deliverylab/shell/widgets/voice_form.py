"""The voice of a walkthrough: a file laid under it, or spoken while the script runs."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QDoubleSpinBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.shell.drawing.claimed_keys import is_claimed
from deliverylab.shell.drawing.elided_label import ElidedLabel
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.theme import icon, on_theme_changed

NO_VOICE = "No voice: the clip is silent."
LOST = "is not where it was. Choose it again, or remove it."
LATEST_S = 600.0


class GoOnButton(QPushButton):
    """The button that leaves a stop; Space and Right press it, whatever they mean elsewhere."""

    def event(self, event: QEvent) -> bool:
        """Claim the keys."""
        return is_claimed(event, self._action) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a key."""
        if self._action(event):
            if not event.isAutoRepeat() and self.isEnabled():
                self.click()
        else:
            super().keyPressEvent(event)

    def _action(self, event: QKeyEvent) -> str:
        keys = {Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_Return, Qt.Key.Key_Enter}
        return "go on" if event.key() in keys else ""


class VoiceForm(QWidget):
    """Shows the voice and asks for another one; while one is recorded, leads through it.

    Signals
    -------
    file_wanted(), recording_wanted(), removal_wanted()
        Buttons.
    offset_edited(float)
        When the voice begins, seconds of the clip.
    go_on_wanted(), end_wanted(), drop_wanted()
        Of the recording: leave this stop; finish; throw it away.
    """

    file_wanted = Signal()
    recording_wanted = Signal()
    removal_wanted = Signal()
    offset_edited = Signal(float)
    go_on_wanted = Signal()
    end_wanted = Signal()
    drop_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._is_filling = False
        self.name = ElidedLabel()
        self.remove = QToolButton()
        self.remove.setToolTip("Without this voice")
        self.remove.setAccessibleName("Without this voice")
        self.file = QPushButton("Sound file …")
        self.record = QPushButton("Record …")
        self.record.setToolTip("Speak while the script runs; it waits at each stop until you go on")
        self.offset = QDoubleSpinBox()
        self.offset.setRange(0.0, LATEST_S)
        self.offset.setDecimals(1)
        self.offset.setSingleStep(0.5)
        self.offset.setSuffix(" s")
        self.offset.setKeyboardTracking(False)
        self.offset.setAccessibleName("When the voice begins")
        self._begins = QLabel("It begins at")
        self.problem = text_label("", "caution")
        self.take = self._made_take()
        self._lay_out()
        self.file.clicked.connect(self.file_wanted)
        self.record.clicked.connect(self.recording_wanted)
        self.remove.clicked.connect(self.removal_wanted)
        self.offset.valueChanged.connect(self._on_offset_changed)
        on_theme_changed(self, self._on_theme_changed)
        self.show_voice("", 0.0)

    def _made_take(self) -> QFrame:
        """Return the card of a recording that goes on."""
        card = QFrame()
        card.setObjectName("card")
        self._mark = QLabel()
        self.said = text_label("", "strong")
        self.go_on = GoOnButton("Go on")
        self.go_on.setProperty("role", "main")
        self.go_on.setToolTip("Space")
        self.end = QPushButton("Finish here")
        self.drop = QPushButton("Throw away")
        self.go_on.clicked.connect(self.go_on_wanted)
        self.end.clicked.connect(self.end_wanted)
        self.drop.clicked.connect(self.drop_wanted)
        head, row = QHBoxLayout(), QHBoxLayout()
        head.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        head.addWidget(self.said, 1)
        row.addWidget(self.end)
        row.addWidget(self.drop)
        column = QVBoxLayout(card)
        column.setContentsMargins(9, 8, 9, 9)
        column.setSpacing(6)
        column.addLayout(head)
        column.addWidget(self.go_on)
        column.addLayout(row)
        card.hide()
        return card

    def _lay_out(self) -> None:
        shown, chosen, begins = QHBoxLayout(), QHBoxLayout(), QHBoxLayout()
        shown.addWidget(self.name, 1)
        shown.addWidget(self.remove)
        chosen.setSpacing(6)
        chosen.addWidget(self.file, 1)
        chosen.addWidget(self.record, 1)
        begins.addWidget(self._begins, 1)
        begins.addWidget(self.offset)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(5)
        column.addLayout(shown)
        column.addLayout(begins)
        column.addLayout(chosen)
        column.addWidget(self.problem)
        column.addWidget(self.take)

    def show_voice(self, name: str, offset_s: float, *, is_lost: bool = False) -> None:
        """Show the file's name, when it begins, and whether it is not where it was."""
        self._is_filling = True
        self.name.setText(name or NO_VOICE)
        self.remove.setVisible(bool(name))
        self._begins.setVisible(bool(name))
        self.offset.setVisible(bool(name))
        self.offset.setValue(offset_s)
        if is_lost:
            self.say_problem(f"{name} {LOST}")
        elif self.problem.text().endswith(LOST):
            self.say_problem("")
        self._is_filling = False

    def say_problem(self, text: str) -> None:
        """Say why there is no recording, or no voice; nothing takes it back."""
        tell(self.problem, text)

    def show_take(self, text: str, *, is_waiting: bool = False) -> None:
        """Show a recording that goes on, and whether it waits for the speaker; empty: none."""
        tell(self.said, text)
        self.take.setVisible(bool(text))
        self.go_on.setEnabled(is_waiting)
        for part in (self.file, self.record, self.remove, self.offset):
            part.setEnabled(not text)
        if text:
            self.go_on.setFocus()

    def _on_offset_changed(self, offset_s: float) -> None:
        if not self._is_filling:
            self.offset_edited.emit(offset_s)

    def _on_theme_changed(self) -> None:
        self.remove.setIcon(icon("close", "quiet"))
        self.record.setIcon(icon("microphone"))
        self._mark.setPixmap(icon("microphone", "problem").pixmap(18, 18))
