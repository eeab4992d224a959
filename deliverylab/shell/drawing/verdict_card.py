"""A card for what came out of some work, and at most one thing to do about it."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.theme import icon, on_theme_changed


class Verdict(QFrame):
    """What came out: a strong line, what it means, and at most one thing to do about it.

    Signals
    -------
    action_chosen()
        The button was pressed.
    """

    action_chosen = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._level = "note"
        self._mark = QLabel()
        self._strong, self._more = text_label(role="strong"), text_label()
        self.button = QPushButton()
        self.button.clicked.connect(self.action_chosen)
        words = QVBoxLayout()
        words.setSpacing(3)
        words.addWidget(self._strong)
        words.addWidget(self._more)
        words.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeft)
        row = QHBoxLayout(self)
        row.setContentsMargins(9, 8, 9, 9)
        row.setSpacing(8)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(words, 1)
        on_theme_changed(self, self._on_theme_changed)
        self.hide()

    @property
    def text(self) -> str:
        """Everything that is said; empty while hidden."""
        return "" if self.isHidden() else f"{self._strong.text()} {self._more.text()}".strip()

    def say(
        self,
        strong: str,
        more: str = "",
        level: str = "note",
        button: str = "",
        *,
        is_advised: bool = False,
    ) -> None:
        """Say what came out, and whether the button is advised; nothing at all hides it."""
        tell(self._strong, strong)
        tell(self._more, more)
        self.button.setText(button)
        self.button.setHidden(not button)
        self.button.setProperty("role", "main" if is_advised else "")
        self.button.style().unpolish(self.button)
        self.button.style().polish(self.button)
        self._level = level
        self._on_theme_changed()
        self.setVisible(bool(strong or more))

    def _on_theme_changed(self) -> None:
        name, colour = {"good": ("done", "good"), "caution": ("caution", "caution")}.get(
            self._level, ("note", "quiet")
        )
        self._mark.setPixmap(icon(name, colour).pixmap(QSize(16, 16)))
