"""A hand at work on a stage: the space bar tapped, not held to move the picture; a button pressed."""

from __future__ import annotations

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

TAP_MS = 400
"""A space bar held longer than this was no tap."""


class HandWatch(QObject):
    """Watch a widget for buttons, and for the space bar pressed and let go with none meanwhile.

    Signals
    -------
    tapped()
        The space bar was tapped.
    pressed()
        A button was pressed.
    """

    tapped = Signal()
    pressed = Signal()

    def __init__(self, watched: QWidget) -> None:
        super().__init__(watched)
        self._since = QElapsedTimer()
        watched.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        """Look on; every event goes its way."""
        kind = event.type()
        if isinstance(event, QKeyEvent):
            self._on_key(event)
        elif kind in {QEvent.Type.MouseButtonPress, QEvent.Type.FocusOut}:
            self._since.invalidate()
            if kind == QEvent.Type.MouseButtonPress:
                self.pressed.emit()
        return False

    def _on_key(self, event: QKeyEvent) -> None:
        if event.key() != Qt.Key.Key_Space or event.isAutoRepeat():
            return
        if event.type() == QEvent.Type.KeyPress:
            self._since.start()
        elif event.type() == QEvent.Type.KeyRelease:
            is_tap = self._since.isValid() and self._since.elapsed() <= TAP_MS
            self._since.invalidate()
            if is_tap:
                self.tapped.emit()
