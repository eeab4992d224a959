"""A line of text that gives way instead of widening what it stands in."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget


class ElidedLabel(QLabel):
    """A quiet line that gives way instead of widening its stage."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._full = ""
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setProperty("role", "small")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def setText(self, text: str) -> None:
        """Show as much as fits; the whole text is the tool tip."""
        if text != self._full:
            self._full = text
            self._elide()

    @property
    def full_text(self) -> str:
        """The text before it was shortened."""
        return self._full

    @property
    def full_width(self) -> int:
        """Room that the whole text takes, px."""
        return self.fontMetrics().horizontalAdvance(self._full)

    def _elide(self) -> None:
        room = self.contentsRect().width()
        shown = self.fontMetrics().elidedText(self._full, Qt.TextElideMode.ElideRight, room)
        super().setText(shown)
        self.setToolTip(self._full if shown != self._full else "")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Shorten anew."""
        super().resizeEvent(event)
        self._elide()
