"""The quiet line below the stages: how far placing has come, and how it goes on."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QToolButton, QWidget

from deliverylab.shell.drawing.elided_label import ElidedLabel
from deliverylab.shell.flow_content import line_texts
from deliverylab.shell.session import Session


class PlacingLinePane(QWidget):
    """Says of the active stage what is placed, and what the next few points give.

    Parameters
    ----------
    session : Session
        What is worked on.
    actions : sequence of QAction
        How placing goes on: each a button that stays pressed.
    """

    def __init__(
        self, session: Session, actions: Sequence[QAction], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._texts: tuple[str, ...] = ("",)
        self._label = ElidedLabel()
        self._label.setAccessibleName("How far placing has come")
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 0, 4, 0)
        row.setSpacing(4)
        row.addWidget(self._label, 1)
        for action in actions:
            button = QToolButton()
            button.setDefaultAction(action)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            row.addWidget(button)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        session.results_updated.connect(self.refresh)
        session.frame_changed.connect(self.refresh)
        session.selection_changed.connect(self.refresh)
        session.display_changed.connect(self.refresh)
        self.refresh()

    @property
    def text(self) -> str:
        """What is said where there is room for all of it."""
        return self._texts[0]

    def refresh(self, *_ignored: object) -> None:
        """Say it anew."""
        self._texts = line_texts(self._session, self._session.active_side)
        self._say()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Say as much as there is room for."""
        super().resizeEvent(event)
        self._say()

    def _say(self) -> None:
        metrics, room = self._label.fontMetrics(), self._label.width()
        fitting = (text for text in self._texts if metrics.horizontalAdvance(text) <= room)
        self._label.setText(next(fitting, self._texts[-1]))
