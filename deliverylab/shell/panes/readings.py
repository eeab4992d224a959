"""What is measured of the active delivery, by phase, and what is not shown and why."""

from __future__ import annotations

from collections import defaultdict
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.spec import Result
from deliverylab.core.vocabulary.landmarks import key_for_role
from deliverylab.shell.checking import check_html, check_work
from deliverylab.shell.drawing.elided_label import ElidedLabel
from deliverylab.shell.drawing.scroll_column import scroll_column
from deliverylab.shell.jobs import Job
from deliverylab.shell.remedy_acts import RemedyAct, Surer, surest_ways
from deliverylab.shell.session import Session
from deliverylab.shell.session_ball import BALL_SPEED
from deliverylab.shell.value_text import PHASE_OF_EVENT, effort_of, phase_of
from deliverylab.shell.widgets.depth_card import DepthCard
from deliverylab.shell.widgets.reading_row import ReadingRow
from deliverylab.shell.widgets.surer_card import N_WAYS, SurerCard

if TYPE_CHECKING:
    from deliverylab.core.metrics.cross_check import CrossCheck
    from deliverylab.core.model.delivery import DepthChoice

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

    Signals
    -------
    action_wanted(str, str)
        Side, and key of the action that a remedy asks for.
    stage_wanted()
        The stage shows what is to be done: it wants the keyboard.
    """

    action_wanted = Signal(str, str)
    stage_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._all_rows: dict[Key, ReadingRow] = {}
        self._phase_of_row: dict[Key, str] = {}
        self._shown_keys: tuple[Key, ...] = ()
        self._groups = {phase: _Group(phase) for phase in PHASES}
        self._phase = ""
        self._is_due = True
        self._title, self._partner = label("", "heading"), ElidedLabel()
        self._partner.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        head = QHBoxLayout()
        head.setContentsMargins(8, 0, 12, 4)
        head.setSpacing(8)
        head.addWidget(self._title)
        head.addWidget(self._partner, 1)
        self._area = scroll_column()
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 4, 4, 6)
        column.setSpacing(2)
        column.addLayout(head)
        column.addWidget(self._area, 1)
        self._empty = label("The numbers stand here once a delivery is added.", "small", wraps=True)
        self.depths = DepthCard()
        self.depths.instant_wanted.connect(session.go_to_event)
        self.depths.told.connect(self._on_depth_told)
        self._not_shown = NotShown()
        self._not_shown.plan_wanted.connect(self._on_plan_wanted)
        self._not_shown.ball_wanted.connect(self._on_ball_wanted)
        self._not_shown.field_wanted.connect(self._on_field_wanted)
        self.surer = SurerCard(self._surest_ways)
        self.surer.act_wanted.connect(self._on_act_wanted)
        self.surer.hide()
        body = QWidget()
        inside = QVBoxLayout(body)
        inside.setContentsMargins(0, 0, 6, 8)
        inside.setSpacing(0)
        for part in (*self._groups.values(), self._empty):
            inside.addWidget(part)
        inside.addSpacing(8)
        inside.addWidget(self.surer)
        inside.addSpacing(6)
        inside.addWidget(self.depths)
        inside.addWidget(self._not_shown)
        inside.addStretch(1)
        self._area.setWidget(body)
        session.results_updated.connect(self._on_results_updated)
        session.selection_changed.connect(self._on_results_updated)
        session.display_changed.connect(self._on_results_updated)
        session.frame_changed.connect(self._on_frame_changed)

    @property
    def rows(self) -> dict[Key, ReadingRow]:
        """The shown readings by (metric, event)."""
        return {key: self._all_rows[key] for key in self._shown_keys}

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
        group = self._groups.get(phase)
        if phase != self._phase and group is not None and not group.isHidden():
            self._area.verticalScrollBar().setValue(group.y())
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
        model = session.sides()[1] if side == "athlete" else None
        self._partner.setText(f"difference to {model.name}" if model else "")
        self._empty.setVisible(delivery is None)
        shown = [one for one in results if one.is_shown]
        self._follow({(one.metric, one.event): one for one in shown}, results)
        for result in shown:
            key = (result.metric, result.event)
            self._all_rows[key].show_result(result, differences.get(key), session.unit_system)
            if result.metric == BALL_SPEED:
                said = session.ball_said(side)
                self._all_rows[key].set_note(said.verdict, said.level)
        self.depths.show_questions(session.depth_questions(side))
        self._not_shown.show_absent([one for one in results if not one.is_shown])
        self.surer.setVisible(bool(shown))
        self.surer.set_due()

    def _surest_ways(self) -> tuple[Surer, ...]:
        return surest_ways(self._session.results(self._session.active_side), N_WAYS)

    def _on_act_wanted(self, act: RemedyAct) -> None:
        """Go where something can be done about a part of a ±."""
        session, side = self._session, self._session.active_side
        delivery = session.delivery(side)
        if delivery is None:
            return
        if act.camera != session.state(side).camera:
            session.select(side, delivery.name, act.camera)
        if act.event:
            session.go_to_event(act.event)
        if act.place == "landmark":
            session.choose_landmark(side, key_for_role(act.role, delivery.athlete.hand))
        if act.event:
            self.stage_wanted.emit()
        else:
            self.action_wanted.emit(side, act.place)

    def _on_depth_told(self, event: str, limb: str, choice: DepthChoice | None) -> None:
        """Take somebody's word, with the frame in sight that it is about."""
        self._session.go_to_event(event)
        self._session.tell_depth(self._session.active_side, event, limb, choice)

    def _on_plan_wanted(self) -> None:
        self.action_wanted.emit(self._session.active_side, "plan")

    def _on_ball_wanted(self) -> None:
        self.action_wanted.emit(self._session.active_side, "find_ball")

    def _on_field_wanted(self) -> None:
        self.action_wanted.emit(self._session.active_side, "field")

    def _check(self, row: ReadingRow) -> None:
        """Check a reading's ± beside the window; an outcome that is no longer its own is dropped."""
        delivery, result = self._session.delivery(self._session.active_side), row.result
        if delivery is None:
            return

        def show(check: CrossCheck | None) -> None:
            if check is not None and row.result is result:
                row.show_check(check_html(check, self._session.unit_system))

        job = Job(check_work(delivery, result), self)
        job.finished.connect(show)
        job.failed.connect(_raise)
        job.start()

    def _follow(self, shown: dict[Key, Result], results: tuple[Result, ...]) -> None:
        """See to it that just the shown results have a row in sight, in the catalogue's order.

        Rows stay when their result goes, and wait for it: while a point is dragged, results come
        and go, and making rows anew would hold the hand up.
        """
        order = {(one.metric, one.event): n for n, one in enumerate(results)}
        if tuple(shown) == self._shown_keys:
            return
        self._shown_keys = tuple(shown)
        for key in shown.keys() - self._all_rows.keys():
            self._add_row(key, shown[key], order)
        seen: set[str] = set()
        for key in sorted(self._all_rows, key=lambda one: order.get(one, len(order))):
            row, phase = self._all_rows[key], self._phase_of_row[key]
            row.setVisible(key in shown)
            if key in shown:
                row.set_ruled(phase in seen)
                seen.add(phase)
        for phase, group in self._groups.items():
            group.setVisible(phase in seen)

    def _add_row(self, key: Key, result: Result, order: dict[Key, int]) -> None:
        from deliverylab.core.metrics.catalogue import BY_KEY

        spec = BY_KEY.get(result.metric)
        row = ReadingRow(result, spec.meaning if spec else "", spec.limit if spec else "")
        row.instant_wanted.connect(self._session.go_to_event)
        row.act_wanted.connect(self._on_act_wanted)
        row.check_wanted.connect(partial(self._check, row))
        phase = phase_of(result)
        before = [
            one
            for one, where in self._phase_of_row.items()
            if where == phase and order.get(one, len(order)) < order[key]
        ]
        self._all_rows[key], self._phase_of_row[key] = row, phase
        self._groups[phase].insert(len(before), row)


def _raise(error: BaseException) -> None:
    raise error


class _Group(QWidget):
    """The place of a phase's rows, with its name above them."""

    def __init__(self, phase: str) -> None:
        super().__init__()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 8, 0, 4)
        self._column.setSpacing(0)
        head = label(phase[:1].upper() + phase[1:], "strong")
        head.setContentsMargins(8, 0, 8, 3)
        self._column.addWidget(head)
        self.hide()

    def insert(self, number: int, row: QWidget) -> None:
        """Put a row behind so many others."""
        self._column.insertWidget(1 + number, row)


class NotShown(QWidget):
    """What is not shown, together under each reason, with what would help: the nearest first.

    Signals
    -------
    plan_wanted()
        Wish to see what another set-up would show.
    ball_wanted()
        Wish to have the ball looked for.
    field_wanted()
        Wish to click the field and solve the cameras.
    """

    plan_wanted = Signal()
    field_wanted = Signal()
    ball_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._cards: list[tuple[QFrame, tuple[QLabel, QLabel, QLabel]]] = []
        self._said: list[tuple[str, str, str]] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(2, 14, 2, 0)
        self._column.setSpacing(6)
        head = label("Not shown", "strong")
        head.setContentsMargins(6, 0, 0, 0)
        self._plan = QPushButton("Try another set-up")
        self._plan.setProperty("role", "link")
        self._plan.clicked.connect(self.plan_wanted)
        self._ball = QPushButton("Find the ball after release")
        self._ball.setProperty("role", "link")
        self._ball.clicked.connect(self.ball_wanted)
        self._field = QPushButton("Cameras on the field")
        self._field.setProperty("role", "link")
        self._field.clicked.connect(self.field_wanted)
        self._column.addWidget(head)
        for link in (self._ball, self._field, self._plan):
            self._column.addWidget(link, 0, Qt.AlignmentFlag.AlignLeft)
        self.hide()

    def show_absent(self, absent: list[Result]) -> None:
        """List these results; cards that are there already only get other words."""
        by_reason: dict[tuple[str, str], list[str]] = defaultdict(list)
        for result in absent:
            names = by_reason[result.reason, result.remedy]
            if result.name not in names:
                names.append(result.name)
        said = [
            (
                ", ".join([names[0], *(name[:1].lower() + name[1:] for name in names[1:])]),
                reason[:1].upper() + reason[1:],
                f"→ {remedy}" if remedy else "",
            )
            for (reason, remedy), names in sorted(
                by_reason.items(), key=lambda one: effort_of(one[0][1])
            )
        ]
        if said == self._said:
            return
        self._said = said
        while len(self._cards) < len(said):
            self._add_card()
        for number, (card, texts) in enumerate(self._cards):
            card.setVisible(number < len(said))
            if number < len(said):
                for text, words in zip(texts, said[number], strict=True):
                    if text.text() != words:
                        text.setText(words)
                    text.setVisible(bool(words))
        self._ball.setVisible(any("let it be looked for" in remedy for _, _, remedy in said))
        self._field.setVisible(any("solve the cameras" in remedy for _, _, remedy in said))
        self._plan.setVisible(any(remedy.startswith("→ film") for _, _, remedy in said))
        self.setVisible(bool(said))

    def _add_card(self) -> None:
        card = QFrame()
        card.setObjectName("card")
        inside = QVBoxLayout(card)
        inside.setContentsMargins(9, 7, 9, 8)
        inside.setSpacing(2)
        names, reason, remedy = (label("", role, wraps=True) for role in ("", "small", "small"))
        for text in (names, reason, remedy):
            inside.addWidget(text)
        self._cards.append((card, (names, reason, remedy)))
        self._column.insertWidget(len(self._cards), card)
