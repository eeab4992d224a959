"""A field for a sentence or two that is as high as its words need; undo is the window's."""

from __future__ import annotations

import math

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QPlainTextEdit, QSizePolicy, QWidget

from deliverylab.shell.drawing.claimed_keys import is_left_to_undo
from deliverylab.shell.theme import on_theme_changed

FRAME_PX = 10
"""Edge and padding at least: before it is shown a field does not know its own."""
MARGIN_PX = 1.0


class WordsEdit(QPlainTextEdit):
    """Words that may be changed.

    Parameters
    ----------
    name : str
        What it is, for those who hear the window.
    hint : str
        What stands in it while it is empty.

    Signals
    -------
    edited(str)
        Left with other words than it was shown with; Return leaves it as well.
    """

    edited = Signal(str)

    def __init__(self, name: str, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = ""
        self.setAccessibleName(name)
        self.setPlaceholderText(hint)
        self.setUndoRedoEnabled(False)
        self.document().setDocumentMargin(MARGIN_PX)
        self.setTabChangesFocus(True)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        # after the layout that is at work now, which would not see another height
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._fit)
        self.document().documentLayout().documentSizeChanged.connect(self._soon.start)
        on_theme_changed(self, self._fit)

    def show_words(self, text: str) -> None:
        """Show these words; what is being typed stays as long as they are as they were."""
        if text != self._shown or not self.hasFocus():
            self._shown = text
            if text != self.toPlainText():
                self.setPlainText(text)
        self._fit()

    def words(self) -> str:
        """Return what stands in it, in one line."""
        return " ".join(self.toPlainText().split())

    def leave(self) -> None:
        """Say what was changed."""
        words = self.words()
        if words != self._shown:
            self._shown = words
            self.edited.emit(words)

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the window."""
        return not is_left_to_undo(event) and super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Return for the end, not for a new line."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.leave()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take what was typed."""
        super().focusOutEvent(event)
        self.leave()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Be as high as the words need at this width."""
        super().resizeEvent(event)
        self._soon.start()

    def showEvent(self, event: QShowEvent) -> None:
        """Have the height that the words need in the type that it has only now."""
        super().showEvent(event)
        self._soon.start()

    def _fit(self) -> None:
        words_px, block = 0.0, self.document().firstBlock()
        while block.isValid():
            words_px += self.blockBoundingRect(block).height()
            block = block.next()
        words_px = max(words_px, self.fontMetrics().lineSpacing()) + 2.0 * MARGIN_PX
        # edge and padding are the style's: what the field has beyond its words' own room
        frame_px = max(FRAME_PX, self.height() - self.viewport().height())
        height = math.ceil(words_px) + frame_px
        if height != self.height() or height != self.minimumHeight():
            self.setFixedHeight(height)
            # what was scrolled away while there was less room
            self.verticalScrollBar().setValue(0)
