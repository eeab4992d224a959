"""A reading's curves of both deliveries over the phase, in place of the stages."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from deliverylab.shell.drawing.elided_label import ElidedLabel
from deliverylab.shell.phase_content import phase_scene
from deliverylab.shell.scrub_content import COURSES, playhead_label
from deliverylab.shell.session import SIDES, Session, Side
from deliverylab.shell.widgets.scrub_bar import ScrubBar

SETTLE_MS = 60
ABOUT = "Over the phase: 0 % leg lift, 100 % foot contact, 200 % release. Bands are ±."


class PhaseCurvesPane(QFrame):
    """Two curves with their bands on one phase axis; a drag goes through the frames.

    Attributes
    ----------
    bar : ScrubBar
        The same drawing as below the frames, with the phase as its axis.
    head : QHBoxLayout
        The line above it, which takes the window's own buttons as well.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setObjectName("pane")
        self.bar = ScrubBar()
        self.bar.setAccessibleName("Curves over phase")
        self._metric = next(iter(COURSES))
        about = ElidedLabel()
        about.setText(ABOUT)
        self.head = QHBoxLayout()
        self.head.setContentsMargins(4, 0, 10, 0)
        self.head.setSpacing(6)
        self.head.addWidget(about, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 6, 4, 6)
        column.setSpacing(4)
        column.addLayout(self.head)
        column.addWidget(self.bar, 1)
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self.refresh)
        self._connect()

    def _connect(self) -> None:
        session, bar = self._session, self.bar
        for signal in (session.changed, session.selection_changed, session.results_updated):
            signal.connect(self._on_changed)
        session.display_changed.connect(self._on_changed)
        session.frame_changed.connect(self._on_frame_changed)
        bar.frame_requested.connect(self._on_frame_requested)
        bar.frames_stepped.connect(session.step)
        bar.events_stepped.connect(session.next_event)
        bar.event_chosen.connect(session.go_to_event)
        bar.side_chosen.connect(lambda side: session.activate(_side(side)))

    def choose(self, metric: str) -> None:
        """Draw this reading's curve."""
        self._metric = metric
        self._on_changed()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what was missed while hidden."""
        super().showEvent(event)
        self.refresh()

    def refresh(self) -> None:
        """Draw anew."""
        self._settle.stop()
        self.bar.set_active(self._session.active_side)
        self.bar.set_scene(phase_scene(self._session, self._metric))
        self._show_frames()

    def _on_changed(self, *_ignored: object) -> None:
        if self.isVisible():
            self._settle.start()

    def _on_frame_changed(self, *_ignored: object) -> None:
        if self.isVisible():
            self._show_frames()

    def _show_frames(self) -> None:
        session = self._session
        frames: dict[str, int] = {
            side: session.state(side).frame for side in SIDES if session.camera(side) is not None
        }
        self.bar.set_frames(frames, playhead_label(session, session.active_side))

    def _on_frame_requested(self, side: str, frame: int) -> None:
        self._session.activate(_side(side))
        self._session.show_frame(_side(side), frame)


def _side(text: str) -> Side:
    return "model" if text == "model" else "athlete"
