"""What happens at one stop of a walkthrough: how long it stands, what is said, which numbers."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QMouseEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QDoubleSpinBox,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.model.walkthrough import LONGEST_PAUSE_S, Stop
from deliverylab.core.report.walkthrough_words import MOST_NUMBERS
from deliverylab.shell.drawing.claimed_keys import is_left_to_undo
from deliverylab.shell.drawing.scroll_column import clear, settle
from deliverylab.shell.drawing.text_label import text_label
from deliverylab.shell.theme import on_theme_changed
from deliverylab.shell.walk_content import NumberChoice

CAPTION_LINES = 3


class CaptionEdit(QPlainTextEdit):
    """A caption of a few lines; its undo is the window's.

    Signals
    -------
    begun()
        It is written in from now on.
    """

    begun = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setUndoRedoEnabled(False)
        self.setTabChangesFocus(True)
        self.setAccessibleName("Caption")
        self.setPlaceholderText("What is said here")
        on_theme_changed(self, self._on_theme_changed)

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the window."""
        return not is_left_to_undo(event) and super().event(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Begin a new step of undo."""
        super().focusInEvent(event)
        self.begun.emit()

    def _on_theme_changed(self) -> None:
        self.setFixedHeight(round((CAPTION_LINES + 0.9) * self.fontMetrics().lineSpacing()))


class _WrappedBox(QWidget):
    """A box to tick whose words wrap, which those of Qt's own do not."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.box = QCheckBox()
        self.box.setAccessibleName(text)
        across = QHBoxLayout(self)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(7)
        across.addWidget(self.box, 0, Qt.AlignmentFlag.AlignTop)
        across.addWidget(text_label(text), 1)

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Take a click on the words."""
        if self.box.isEnabled():
            self.box.toggle()


class StopForm(QWidget):
    """The chosen stop.

    Signals
    -------
    pause_edited(float), caption_edited(str)
        As they are now.
    caption_begun()
        Somebody begins to write.
    numbers_edited(object)
        Metric and event of the numbers to show; None those that differ most.
    """

    pause_edited = Signal(float)
    caption_edited = Signal(str)
    caption_begun = Signal()
    numbers_edited = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._choices: tuple[NumberChoice, ...] = ()
        self._is_filling = False
        self.pause = QDoubleSpinBox()
        self.pause.setRange(0.0, LONGEST_PAUSE_S)
        self.pause.setSingleStep(0.5)
        self.pause.setDecimals(1)
        self.pause.setSuffix(" s")
        self.pause.setAccessibleName("How long it stands still")
        self.pause.setKeyboardTracking(False)
        self.caption = CaptionEdit()
        self.suggestion = QPushButton()
        self.suggestion.setProperty("role", "link")
        self.usual = QPushButton("Those that differ most")
        self.usual.setProperty("role", "link")
        self._head = text_label("Numbers beside it", "small")
        self.boxes: dict[tuple[str, str], QCheckBox] = {}
        self._numbers = QVBoxLayout()
        self._numbers.setSpacing(3)
        row = QHBoxLayout()
        row.addWidget(QLabel("Stands still for"), 1)
        row.addWidget(self.pause)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addLayout(row)
        column.addWidget(self.caption)
        column.addWidget(self.suggestion)
        column.addWidget(self._head)
        column.addLayout(self._numbers)
        column.addWidget(self.usual)
        self.pause.valueChanged.connect(self._on_pause_changed)
        self.caption.textChanged.connect(self._on_text_changed)
        self.caption.begun.connect(self.caption_begun)
        self.suggestion.clicked.connect(self._on_suggestion_taken)
        self.usual.clicked.connect(lambda: self.numbers_edited.emit(None))

    def show_stop(self, stop: Stop, suggested: str, choices: Sequence[NumberChoice]) -> None:
        """Show a stop, what the measurements suggest to say, and which numbers there are."""
        self._is_filling = True
        self.pause.setValue(stop.pause_s)
        if self.caption.toPlainText() != stop.caption:
            self.caption.setPlainText(stop.caption)
        has_other = bool(suggested) and suggested != stop.caption
        self.suggestion.setVisible(has_other)
        self.suggestion.setText("Say what is measured now")
        self.suggestion.setToolTip(suggested)
        self._show_choices(tuple(choices))
        self._head.setVisible(bool(choices))
        self.usual.setVisible(stop.metrics is not None)
        self._is_filling = False

    def _show_choices(self, choices: tuple[NumberChoice, ...]) -> None:
        if [one[:2] for one in choices] != [one[:2] for one in self._choices]:
            clear(self._numbers)
            self.boxes = {}
            for one in choices:
                self._numbers.addWidget(self._choice(one))
            settle(self._numbers)
        self._choices = choices
        is_full = sum(one.is_chosen for one in choices) >= MOST_NUMBERS
        for one in choices:
            box = self.boxes[one.key]
            box.setChecked(one.is_chosen)
            box.setEnabled(one.is_chosen or not is_full)
            box.setToolTip("" if box.isEnabled() else f"{MOST_NUMBERS} at most can be read")

    def _choice(self, choice: NumberChoice) -> QWidget:
        row = _WrappedBox(choice.text)
        row.box.toggled.connect(partial(self._on_toggled, choice.key))
        self.boxes[choice.key] = row.box
        return row

    def _on_toggled(self, key: tuple[str, str], is_on: bool) -> None:
        if not self._is_filling:
            chosen = [one.key for one in self._choices if one.is_chosen and one.key != key]
            self.numbers_edited.emit(tuple([*chosen, key] if is_on else chosen))

    def _on_pause_changed(self, pause_s: float) -> None:
        if not self._is_filling:
            self.pause_edited.emit(pause_s)

    def _on_text_changed(self) -> None:
        if not self._is_filling:
            self.caption_edited.emit(self.caption.toPlainText())

    def _on_suggestion_taken(self) -> None:
        self.caption_begun.emit()
        self.caption_edited.emit(self.suggestion.toolTip())
