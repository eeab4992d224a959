"""The points of the field in one picture: which is asked for, which are clicked, what a solve leaves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.vocabulary.field import FieldSize
from deliverylab.shell.drawing.field_key import FieldKey, KeyPoint
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.field_content import PointRow

KEYS = "S leaves it out · Backspace takes the last one back · arrow keys move it"


class FieldClicks(QWidget):
    """What is to be clicked in the picture that is shown.

    Signals
    -------
    camera_chosen(str)
        Wish to see another clip.
    skipped()
        The point asked for cannot be seen here.
    """

    camera_chosen = Signal(str)
    skipped = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.cameras: dict[str, QToolButton] = {}
        self._group = QButtonGroup(self)
        self._switch = QHBoxLayout()
        self._switch.setSpacing(6)
        self._asked, self._how = text_label(role="strong"), text_label(role="small")
        self.key = FieldKey()
        self.skip = QPushButton("It cannot be seen here")
        self.skip.clicked.connect(self.skipped)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addLayout(self._switch)
        column.addWidget(self._asked)
        column.addWidget(self._how)
        column.addWidget(self.key)
        column.addWidget(self.skip)

    def show_cameras(self, counts: Mapping[str, str], shown: str) -> None:
        """Show every clip with how many points are clicked in it."""
        if list(self.cameras) != list(counts):
            for button in self.cameras.values():
                self._switch.removeWidget(button)
                self._group.removeButton(button)
                button.hide()
                button.deleteLater()
            self.cameras = {}
            for name in counts:
                button = QToolButton()
                button.setCheckable(True)
                button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
                self._group.addButton(button)
                button.clicked.connect(lambda _=False, one=name: self.camera_chosen.emit(one))
                self._switch.addWidget(button, 1)
                self.cameras[name] = button
        for name, count in counts.items():
            # an & would be a shortcut
            self.cameras[name].setText(f"{name}\n{count}".replace("&", "&&"))
            self.cameras[name].setChecked(name == shown)
            self.cameras[name].setAccessibleName(f"{name}: {count} points are clicked")

    def show_points(
        self,
        rows: Sequence[PointRow],
        drawn: Mapping[str, KeyPoint],
        size: FieldSize,
        looks_along_deg: float | None,
        all_done: str,
    ) -> None:
        """Show the points, and which is asked for; `all_done` is said where none is."""
        asked = next((row for row in rows if row.state == "asked"), None)
        tell(self._asked, f"Click {asked.number}: {asked.name}" if asked else all_done)
        tell(self._how, KEYS if asked else "")
        for part in (self.skip, self.key):
            part.setVisible(asked is not None)
        self.key.show_points(drawn, asked.key if asked else "", size, looks_along_deg)
