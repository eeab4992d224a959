"""A card that asks which end of a limb is nearer to the camera, for an estimate from one view."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.shell.session_depth import DepthQuestion

TITLE = "Throwing elbow from this one view"
WHY = (
    "One picture does not show how far the arm points out of it. Say which end is nearer to the "
    "camera, and its flexion is estimated (about ± 20°), not measured."
)


class DepthCard(QFrame):
    """Two answers a limb, by event; the chosen one pressed again takes it back.

    Signals
    -------
    told(str, str, object)
        Event, limb, and the choice or None.
    instant_wanted(str)
        Wish to see the frame of this event.
    """

    told = Signal(str, str, object)
    instant_wanted = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._asked: tuple[DepthQuestion, ...] = ()
        self._body: QWidget | None = None
        self.buttons: dict[tuple[str, str, str], QPushButton] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(9, 7, 9, 8)
        self._column.setSpacing(4)
        for text, role in ((TITLE, ""), (WHY, "small")):
            label = QLabel(text)
            label.setWordWrap(True)
            label.setProperty("role", role)
            self._column.addWidget(label)
        self.hide()

    def show_questions(self, asked: Sequence[DepthQuestion]) -> None:
        """Ask these; buttons that are there already only follow what was said."""
        asked = tuple(asked)
        if asked == self._asked:
            return
        if [one._replace(choice=None) for one in asked] != [
            one._replace(choice=None) for one in self._asked
        ]:
            self._build(asked)
        self._asked = asked
        for one in asked:
            for _, choice in one.ends:
                self.buttons[one.event, one.limb, choice].setChecked(choice == one.choice)
        self.setVisible(bool(asked))

    def _build(self, asked: Sequence[DepthQuestion]) -> None:
        if self._body is not None:
            self._body.deleteLater()
        self._body = QWidget()
        grid = QGridLayout(self._body)
        grid.setContentsMargins(0, 2, 0, 0)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(3)
        grid.setColumnStretch(0, 1)
        self.buttons = {}
        event = ""
        for one in asked:
            if one.event != event:
                event = one.event
                self._add_head(grid, one)
            row = grid.rowCount()
            limb = QLabel(one.limb_name[:1].upper() + one.limb_name[1:])
            limb.setProperty("role", "small")
            grid.addWidget(limb, row, 0)
            for column, (end, choice) in enumerate(one.ends, start=1):
                button = QPushButton(end[:1].upper() + end[1:])
                button.setProperty("role", "choice")
                button.setCheckable(True)
                name = f"{one.limb_name} at {one.event_name}: {end} nearer to the camera"
                button.setAccessibleName(name)
                button.setToolTip(f"At {one.event_name} the {end} is nearer to the camera")
                button.clicked.connect(partial(self._on_clicked, one.event, one.limb, choice))
                self.buttons[one.event, one.limb, choice] = button
                grid.addWidget(button, row, column)
        self._column.addWidget(self._body)

    def _add_head(self, grid: QGridLayout, one: DepthQuestion) -> None:
        """Name an event above its limbs; a click shows its frame."""
        row = grid.rowCount()
        name = one.event_name[:1].upper() + one.event_name[1:]
        head = QPushButton(f"{name}: nearer to the camera?")
        head.setProperty("role", "link")
        head.setToolTip(f"Show the frame of {one.event_name}")
        head.clicked.connect(partial(self._on_head_clicked, one.event))
        grid.addWidget(head, row, 0, 1, 3, Qt.AlignmentFlag.AlignLeft)

    def _on_head_clicked(self, event: str) -> None:
        self.instant_wanted.emit(event)

    def _on_clicked(self, event: str, limb: str, choice: str) -> None:
        is_told = self.buttons[event, limb, choice].isChecked()
        self.told.emit(event, limb, choice if is_told else None)
