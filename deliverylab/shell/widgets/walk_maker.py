"""Making the walkthrough's clip: its size, its progress, and what can be done with it then."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.theme import icon, on_theme_changed
from deliverylab.shell.walk_content import SIZES


class WalkMaker(QWidget):
    """The part of the panel that stays in sight.

    Signals
    -------
    size_chosen()
        Another shape or size.
    clip_wanted(), stop_wanted()
        Make it; stop making it.
    play_wanted(), folder_wanted()
        Of the clip that was made.
    """

    size_chosen = Signal()
    clip_wanted = Signal()
    stop_wanted = Signal()
    play_wanted = Signal()
    folder_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sizes = QComboBox()
        self.sizes.setAccessibleName("Size of the clip")
        for name, size in SIZES:
            self.sizes.addItem(name, size)
        self.make = QPushButton("Make the clip …")
        self.make.setProperty("role", "main")
        self.bar = QProgressBar()
        self.bar.setRange(0, 1000)
        self.bar.setTextVisible(False)
        self.stop = QPushButton("Stop")
        self.said = text_label()
        self.play = QPushButton("Play it")
        self.folder = QPushButton("Show in folder")
        self._busy, self._made = QWidget(), QWidget()
        for row, parts in (
            (self._busy, (self.bar, self.stop)),
            (self._made, (self.play, self.folder)),
        ):
            across = QHBoxLayout(row)
            across.setContentsMargins(0, 0, 0, 0)
            across.setSpacing(6)
            for one in parts:
                across.addWidget(one, 0 if one is self.stop else 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 6, 0)
        column.setSpacing(6)
        for part in (self.said, self._busy, self._made, self.sizes, self.make):
            column.addWidget(part)
        self.sizes.activated.connect(self.size_chosen)
        self.make.clicked.connect(self.clip_wanted)
        self.stop.clicked.connect(self.stop_wanted)
        self.play.clicked.connect(self.play_wanted)
        self.folder.clicked.connect(self.folder_wanted)
        on_theme_changed(self, self._on_theme_changed)
        self.show_state(length="", is_busy=False, share=0.0, made=None)

    @property
    def clip_size(self) -> tuple[int, int]:
        """Width and height of the clip, px."""
        width, height = self.sizes.currentData()
        return int(width), int(height)

    def show_state(self, *, length: str, is_busy: bool, share: float, made: Path | None) -> None:
        """Show how long the clip will be, how far it is, and the one that is made."""
        self._busy.setVisible(is_busy)
        self.bar.setValue(round(1000 * share))
        self._made.setVisible(made is not None and not is_busy)
        self.make.setEnabled(bool(length) and not is_busy)
        self.sizes.setEnabled(not is_busy)
        self.make.setText(f"Make the clip, {length} …" if length else "Make the clip …")
        if is_busy:
            tell(self.said, f"Making the clip: {share:.0%}", "small")
        elif made is not None:
            tell(self.said, f"{made.name} is ready.", "good")
        elif self.said.property("role") != "problem":
            tell(self.said, "")

    def say_problem(self, text: str) -> None:
        """Say why there is no clip; nothing takes it back."""
        tell(self.said, text, "problem" if text else "small")

    def _on_theme_changed(self) -> None:
        self.play.setIcon(icon("play"))
        self.make.setIcon(icon("walkthrough", "on_accent"))
