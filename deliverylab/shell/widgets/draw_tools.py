"""The name of a stop, and buttons for what is drawn by hand over its pictures."""

from __future__ import annotations

from functools import partial
from typing import get_args

from PySide6.QtCore import QSignalBlocker, QSize, Signal
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from deliverylab.core.model.walkthrough import DrawingKind
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.theme import icon, on_theme_changed

KINDS: tuple[DrawingKind, ...] = get_args(DrawingKind)
NAMES: dict[DrawingKind, tuple[str, str]] = {
    "arrow": ("draw_arrow", "Draw an arrow on either picture"),
    "line": ("draw_line", "Draw a line"),
    "arc": ("draw_angle", "Draw an angle: arm, corner, arm"),
    "circle": ("draw_circle", "Draw a circle"),
    "freehand": ("draw_freehand", "Draw freehand"),
}
ELSEWHERE = "Another instant is on the stages: click the stop above to draw on its pictures."
ICON = 17


class DrawTools(QWidget):
    """One button a kind, which stays pressed while that is drawn.

    Attributes
    ----------
    kind : str or None
        What is drawn now.
    name : QLabel
        Says which stop it is.

    Signals
    -------
    kind_chosen(str)
        What the hand draws from now on; empty: nothing.
    last_removed(), all_removed()
        Drawings to take away.
    """

    kind_chosen = Signal(str)
    last_removed = Signal()
    all_removed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kind: DrawingKind | None = None
        self.buttons: dict[DrawingKind, QToolButton] = {}
        self.name = text_label("", "strong")
        row = QHBoxLayout()
        row.setSpacing(0)
        row.addWidget(self.name, 1)
        for kind in KINDS:
            button = self._button(NAMES[kind][1])
            button.setCheckable(True)
            button.toggled.connect(partial(self._on_toggled, kind))
            self.buttons[kind] = button
            row.addWidget(button)
        self.last = self._button("Take the last drawing away")
        self.all = self._button("Take all drawings of this stop away")
        self.last.clicked.connect(self.last_removed)
        self.all.clicked.connect(self.all_removed)
        row.addWidget(self.last)
        row.addWidget(self.all)
        self._words = text_label("", "small")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(row)
        column.addWidget(self._words)
        on_theme_changed(self, self._on_theme_changed)
        self.show_state(is_possible=False, n_drawings=0)

    def _button(self, name: str) -> QToolButton:
        button = QToolButton()
        button.setToolTip(name)
        button.setAccessibleName(name)
        button.setIconSize(QSize(ICON, ICON))
        return button

    def show_state(self, *, is_possible: bool, n_drawings: int) -> None:
        """Show whether the stop is seen, so that it can be drawn on, and what can be removed."""
        for button in self.buttons.values():
            button.setEnabled(is_possible)
        for button in (self.last, self.all):
            button.setEnabled(n_drawings > 0)
        tell(self._words, "" if is_possible else ELSEWHERE)

    def show_kind(self, kind: DrawingKind | None) -> None:
        """Show what is drawn now."""
        self.kind = kind
        for each, button in self.buttons.items():
            with QSignalBlocker(button):
                button.setChecked(each == kind)

    def _on_toggled(self, kind: DrawingKind, is_on: bool) -> None:
        self.show_kind(kind if is_on else None)
        self.kind_chosen.emit(kind if is_on else "")

    def _on_theme_changed(self) -> None:
        for kind, button in self.buttons.items():
            button.setIcon(icon(NAMES[kind][0]))
        self.last.setIcon(icon("undo"))
        self.all.setIcon(icon("remove"))
