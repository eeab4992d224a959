"""A question of left and right, with its two answers."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from deliverylab.shell.drawing.text_label import tell, text_label


class SidesCard(QFrame):
    """Ask whether left and right are as shown.

    Signals
    -------
    answered(bool)
        Whether they are swapped.
    shown()
        Wish to see the frame again.
    """

    answered = Signal(bool)
    shown = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._text = text_label()
        self.as_shown, self.swapped = QPushButton("Yes, as shown"), QPushButton("No, swap them")
        self.show_frame = QPushButton("Show the frame")
        answers = QHBoxLayout()
        answers.addWidget(self.as_shown, 1)
        answers.addWidget(self.swapped, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(9, 8, 9, 9)
        column.addWidget(self._text)
        column.addLayout(answers)
        column.addWidget(self.show_frame)
        self.as_shown.clicked.connect(lambda _on: self.answered.emit(False))
        self.swapped.clicked.connect(lambda _on: self.answered.emit(True))
        self.show_frame.clicked.connect(self.shown)
        self.hide()

    @property
    def text(self) -> str:
        """The question; empty while none is asked."""
        return "" if self.isHidden() else self._text.text()

    def ask(self, text: str, n_all: int = 0) -> None:
        """Ask; an empty text takes the question away."""
        more = f" (1 of {n_all} such questions)" if n_all > 1 else ""
        tell(self._text, f"{text}{more}" if text else "")
        self.setVisible(bool(text))
