"""What is measured of the active delivery, by phase, and what is not shown and why."""

from __future__ import annotations

from collections import defaultdict

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.spec import Result
from deliverylab.shell.session import Session
from deliverylab.shell.value_text import PHASE_OF_EVENT, phase_of
from deliverylab.shell.widgets.reading_row import ReadingRow, Rule

PHASES = ("leg lift", "stride", "foot contact", "layback", "release", "timing", "ball")
Key = tuple[str, str]


def label(text: str, role: str = "", *, wraps: bool = False) -> QLabel:
    """Return a label in one of the style sheet's roles."""
    made = QLabel(text)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setWordWrap(wraps)
    if role:
        made.setProperty("role", role)
    return made


class ReadingsPane(QWidget):
    """Readings of the athlete's delivery; with a partner, what differs stands beside each.

    The readings are those of the active stage when it shows another delivery than the pair's
    first: whoever places landmarks sees the numbers that they move.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: dict[Key, ReadingRow] = {}
        self._groups: dict[str, QWidget] = {}
        self._phase = ""
        self._layout_key: object = None
        self._is_due = True
        self._title, self._partner = label("", "heading"), label("", "small")
        self._partner.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        head = QHBoxLayout()
        head.setContentsMargins(8, 0, 12, 4)
        head.addWidget(self._title, 1)
        head.addWidget(self._partner)
        self._area = QScrollArea()
        self._area.setWidgetResizable(True)
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 4, 4, 6)
        column.setSpacing(2)
        column.addLayout(head)
        column.addWidget(self._area, 1)
        session.results_updated.connect(self._on_results_updated)
        session.selection_changed.connect(self._on_results_updated)
        session.display_changed.connect(self._on_results_updated)
        session.frame_changed.connect(self._on_frame_changed)

    @property
    def rows(self) -> dict[Key, ReadingRow]:
        """The shown readings by (metric, event)."""
        return dict(self._rows)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what was missed while hidden."""
        super().showEvent(event)
        if self._is_due:
            self.refresh()

    def _on_results_updated(self, *_ignored: object) -> None:
        if self.isVisible():
            self.refresh()
        else:
            self._is_due = True

    def _on_frame_changed(self, side: str, _frame: int) -> None:
        """Bring the readings of an event into sight when its frame is shown."""
        if side != self._session.active_side:
            return
        event = self._session.event_at_frame(self._session.active_side)
        phase = PHASE_OF_EVENT.get(event, "")
        if phase and phase != self._phase and phase in self._groups:
            self._area.verticalScrollBar().setValue(self._groups[phase].y())
        self._phase = phase

    def refresh(self) -> None:
        """Show the session's present results."""
        self._is_due = False
        session = self._session
        side = session.active_side
        delivery = session.delivery(side)
        results = session.results(side)
        differences: dict[Key, Difference] = {}
        if side == "athlete":
            differences = {(one.metric, one.event): one for one in session.differences()}
        self._title.setText(delivery.name if delivery else "Readings")
        model = session.delivery("model") if side == "athlete" else None
        self._partner.setText(f"difference to {model.name}" if model else "")
        shown = [one for one in results if one.is_shown]
        absent = [one for one in results if not one.is_shown]
        layout_key = (
            tuple((one.metric, one.event) for one in shown),
            tuple((one.metric, one.event, one.reason, one.remedy) for one in absent),
            delivery is None,
        )
        if layout_key != self._layout_key:
            self._layout_key = layout_key
            self._rebuild(shown, absent, is_empty=delivery is None)
        for result in shown:
            key = (result.metric, result.event)
            self._rows[key].show_result(result, differences.get(key), session.unit_system)

    def _rebuild(self, shown: list[Result], absent: list[Result], *, is_empty: bool) -> None:
        at = self._area.verticalScrollBar().value()
        open_rows = {key for key, row in self._rows.items() if row.is_open}
        self._rows, self._groups = {}, {}
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 6, 8)
        column.setSpacing(0)
        by_phase: dict[str, list[Result]] = defaultdict(list)
        for result in shown:
            by_phase[phase_of(result)].append(result)
        for phase in PHASES:
            if by_phase[phase]:
                self._groups[phase] = self._group(phase, by_phase[phase])
                column.addWidget(self._groups[phase])
        if is_empty:
            column.addWidget(
                label("The numbers stand here once a delivery is added.", "small", wraps=True)
            )
        if absent:
            column.addWidget(self._not_shown(absent))
        column.addStretch(1)
        self._area.setWidget(body)
        for key in open_rows & set(self._rows):
            self._rows[key].toggle()
        self._area.verticalScrollBar().setValue(at)

    def _group(self, phase: str, results: list[Result]) -> QWidget:
        from deliverylab.core.metrics.catalogue import BY_KEY

        group = QWidget()
        column = QVBoxLayout(group)
        column.setContentsMargins(0, 8, 0, 4)
        column.setSpacing(0)
        head = label(phase[:1].upper() + phase[1:], "strong")
        head.setContentsMargins(8, 0, 8, 3)
        column.addWidget(head)
        for number, result in enumerate(results):
            spec = BY_KEY.get(result.metric)
            row = ReadingRow(result, spec.meaning if spec else "", spec.limit if spec else "")
            row.instant_wanted.connect(self._session.go_to_event)
            self._rows[result.metric, result.event] = row
            if number:
                column.addWidget(Rule())
            column.addWidget(row)
        return group

    def _not_shown(self, absent: list[Result]) -> QWidget:
        by_reason: dict[tuple[str, str], list[str]] = defaultdict(list)
        for result in absent:
            names = by_reason[result.reason, result.remedy]
            if result.name not in names:
                names.append(result.name)
        group = QWidget()
        column = QVBoxLayout(group)
        column.setContentsMargins(2, 14, 2, 0)
        column.setSpacing(6)
        head = label("Not shown", "strong")
        head.setContentsMargins(6, 0, 0, 0)
        column.addWidget(head)
        for (reason, remedy), names in by_reason.items():
            card = QFrame()
            card.setObjectName("card")
            inside = QVBoxLayout(card)
            inside.setContentsMargins(9, 7, 9, 8)
            inside.setSpacing(2)
            listed = [names[0], *(name[:1].lower() + name[1:] for name in names[1:])]
            inside.addWidget(label(", ".join(listed), wraps=True))
            inside.addWidget(label(reason[:1].upper() + reason[1:], "small", wraps=True))
            if remedy:
                inside.addWidget(label(f"→ {remedy}", "small", wraps=True))
            column.addWidget(card)
        return group
