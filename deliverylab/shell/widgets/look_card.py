"""One thing that needs a look: what, where, and what to do about it."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QPushButton, QWidget

from deliverylab.shell.theme import icon, on_theme_changed


class LookCard(QFrame):
    """A finding; pressed, it leads to the place.

    Signals
    -------
    pressed(), action_chosen()
        The card, or the button that it offers.
    """

    pressed = Signal()
    action_chosen = Signal()

    def __init__(
        self,
        what: str,
        detail: str = "",
        *,
        level: str = "note",
        action: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.level = level
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(f"{what}. {detail}")
        self._shape = QLabel()
        text, more = QLabel(what), QLabel(detail)
        for one in (text, more):
            one.setWordWrap(True)
            one.setTextFormat(Qt.TextFormat.PlainText)
        more.setProperty("role", "small")
        if not detail:
            more.hide()
        grid = QGridLayout(self)
        grid.setContentsMargins(8, 7, 8, 7)
        grid.setHorizontalSpacing(7)
        grid.setVerticalSpacing(2)
        grid.addWidget(self._shape, 0, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(text, 0, 1)
        grid.addWidget(more, 1, 1)
        grid.setColumnStretch(1, 1)
        if action:
            button = QPushButton(action)
            button.clicked.connect(self.action_chosen)
            grid.addWidget(button, 2, 1, Qt.AlignmentFlag.AlignLeft)
        on_theme_changed(self, self._on_theme_changed)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Take a click."""
        if self.rect().contains(event.position().toPoint()):
            self.pressed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a key."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space}:
            self.pressed.emit()
        else:
            super().keyPressEvent(event)

    def _on_theme_changed(self) -> None:
        name = self.level if self.level in {"problem", "caution"} else "note"
        colour = self.level if self.level in {"problem", "caution"} else "quiet"
        self._shape.setPixmap(icon(name, colour).pixmap(QSize(15, 15)))
