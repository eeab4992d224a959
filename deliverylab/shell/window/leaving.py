"""Escape leads back: from a page to the stages, from a tool to the readings, from causes to the frames."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractSpinBox, QApplication, QLineEdit, QPlainTextEdit

from deliverylab.shell.window.causes import CausesWindow
from deliverylab.shell.window.speaking import SpeakingWindow

TYPED_INTO = (QAbstractSpinBox, QLineEdit, QPlainTextEdit)


class LeavingWindow(CausesWindow, SpeakingWindow):
    """Leaves what was opened by Escape, where nothing else takes the key.

    It is made as `IntentWindow` is.
    """

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave what was opened last."""
        if event.key() != Qt.Key.Key_Escape or not self._leave():
            super().keyPressEvent(event)

    def _leave(self) -> bool:
        """Leave one thing; return whether there was any.  What is at work goes on."""
        typed_into = QApplication.focusWidget()
        # a page that can be left says so itself; stages and welcome do not
        closed = getattr(self.centre.currentWidget(), "closed", None)
        if isinstance(typed_into, TYPED_INTO):
            typed_into.clearFocus()
        elif closed is not None:
            closed.emit()
            self._go_to_stage()
        elif self.tool is not None:
            if not self._is_at_work():
                self.tool.closed.emit()
                self._go_to_stage()
        elif self.causes.isVisibleTo(self):
            self.show_causes(is_wanted=False)
            self._go_to_stage()
        else:
            return False
        return True

    def _is_at_work(self) -> bool:
        """Return whether the tool does something that closing it would stop."""
        return self._take is not None or (self.tool is not None and self.tool.working.is_busy)
