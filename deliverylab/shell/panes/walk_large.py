"""A stop of the walkthrough as it will be in the clip, in the place of the stages."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from deliverylab.shell.drawing.text_label import text_label
from deliverylab.shell.theme import icon, on_theme_changed
from deliverylab.shell.widgets.walk_picture import WalkPicture

_STEPS = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Up: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Down: 1,
}


class WalkLargePane(QFrame):
    """The picture, and the way to the other stops and back.

    Signals
    -------
    closed()
        Wish to go back to the stages.
    stepped(int)
        Wish to see the next stop (1) or the one before (-1).
    """

    closed = Signal()
    stepped = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("pane")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.picture = WalkPicture(is_large=True)
        self.back = QPushButton("Back to the stages")
        self.before, self.after = QPushButton(), QPushButton()
        self._name = text_label("", "strong")
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.back)
        row.addStretch(1)
        row.addWidget(self._name)
        row.addStretch(1)
        for button, name, step in (
            (self.before, "The stop before", -1),
            (self.after, "The next stop", 1),
        ):
            button.setToolTip(name)
            button.setAccessibleName(name)
            button.clicked.connect(lambda _on=False, by=step: self.stepped.emit(by))
            row.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 10, 12, 12)
        column.setSpacing(8)
        column.addLayout(row)
        column.addWidget(self.picture, 1)
        self.back.clicked.connect(self.closed)
        on_theme_changed(self, self._on_theme_changed)

    def show_place(self, name: str, index: int, n_stops: int) -> None:
        """Say which stop is seen."""
        self._name.setText(f"{index + 1} of {n_stops}: {name}" if n_stops else "")
        self._name.setVisible(bool(n_stops))
        self.before.setEnabled(index > 0)
        self.after.setEnabled(index < n_stops - 1)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to another stop, or back."""
        key = Qt.Key(event.key())
        if key in _STEPS:
            self.stepped.emit(_STEPS[key])
        elif key == Qt.Key.Key_Escape:
            self.closed.emit()
        else:
            super().keyPressEvent(event)

    def _on_theme_changed(self) -> None:
        self.before.setIcon(icon("event_before"))
        self.after.setIcon(icon("event_after"))
