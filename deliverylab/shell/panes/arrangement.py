"""The line above the stages: how the two are shown, and what is to be known of that."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QToolButton, QWidget

from deliverylab.shell.drawing.elided_label import ElidedLabel
from deliverylab.shell.overlay_content import stages_note
from deliverylab.shell.session import Session

BESIDE_WORDS = 46
"""What a button takes beside its words: icon, padding and gap, px."""


class ArrangementPane(QWidget):
    """Buttons that stay pressed, and a note on what lies over what, or on two different views.

    Parameters
    ----------
    session : Session
        What is worked on.
    actions : sequence of QAction
        How the deliveries are shown.
    """

    def __init__(
        self, session: Session, actions: Sequence[QAction], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._note = ElidedLabel()
        self._note.setAccessibleName("What can be compared")
        self.buttons: list[QToolButton] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(4, 0, 8, 0)
        row.setSpacing(4)
        for action in actions:
            row.addWidget(self._button(action))
        row.addWidget(self._note, 1)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        session.results_updated.connect(self.refresh)
        session.selection_changed.connect(self.refresh)
        session.display_changed.connect(self.refresh)
        session.frame_changed.connect(self._on_frame_changed)
        self.refresh()

    def _button(self, action: QAction) -> QToolButton:
        button = QToolButton()
        button.setDefaultAction(action)
        button.setIconSize(QSize(18, 18))
        button.setAccessibleName(action.text())
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        action.changed.connect(lambda: button.setVisible(action.isVisible()))
        self.buttons.append(button)
        return button

    @property
    def note(self) -> str:
        """What is said of what the stages show."""
        return self._note.full_text

    def refresh(self, *_ignored: object) -> None:
        """Say anew what is laid over what, or what can be compared."""
        self._note.setText(stages_note(self._session))
        self._share_out()

    def _on_frame_changed(self, *_ignored: object) -> None:
        if self._session.arrangement == "over" and not self._session.is_playing:
            self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the line out anew."""
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        """Let the buttons say what they are where there is room beside the note."""
        metrics = self.fontMetrics()
        words = sum(
            metrics.horizontalAdvance(button.defaultAction().iconText()) + BESIDE_WORDS
            for button in self.buttons
            if not button.isHidden()
        )
        note = min(metrics.horizontalAdvance(self.note), self.width() // 2)
        kind = Qt.ToolButtonStyle
        is_tight = words + note > self.width()
        style = kind.ToolButtonIconOnly if is_tight else kind.ToolButtonTextBesideIcon
        for button in self.buttons:
            if button.toolButtonStyle() != style:
                button.setToolButtonStyle(style)
