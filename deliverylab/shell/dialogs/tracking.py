"""Following landmarks through the clip, beside the stage: progress, what came of it, what was lost."""

from __future__ import annotations

from functools import partial
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QPushButton, QVBoxLayout, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.scroll_column import clear, settle
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_detecting import Footage
from deliverylab.shell.session_tracking import LostPlace
from deliverylab.shell.widgets.look_card import LookCard
from deliverylab.shell.widgets.tool_panel import ToolPanel

N_SHOWN = 30
MARKERS = (
    "On the stage: full markers are placed by hand, half-dark ones tracked, hollow ones detected, "
    "dashed ones bridged. What you place is never replaced."
)
STOPPED = "Stopped. Nothing was changed."


class TrackPanel(ToolPanel):
    """Follow landmarks between the places that a person set.

    Signals
    -------
    stage_wanted(str)
        A place is shown on this side's stage: it wants the keyboard.
    """

    stage_wanted = Signal(str)

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__("Track landmarks", side, parent)
        self._session = session
        self._footage: Footage | None = None
        self._lost: tuple[LostPlace, ...] = ()
        self.all = QPushButton("Track all")
        self.all.setProperty("role", "main")
        self.one = QPushButton("Only this one")
        self.fill = QPushButton("Bridge short gaps")
        self.fill.setToolTip("Where it is lost for a few frames, with its own, larger ±")
        self.all.setToolTip("All that something is placed of (T)")
        self.one.setToolTip("The current landmark, or the one asked for (Shift+T)")
        self.answer = Verdict()
        self.anew = QCheckBox("Follow anew beside corrections")
        self.anew.setChecked(session.follows_corrections)
        self.cards: tuple[LookCard, ...] = ()
        self.add_text("Between placed points, forwards and backwards.")
        self.add_row(self.all, self.one)
        self.column.addWidget(self.fill)
        self.column.addWidget(self.working)
        self.column.addWidget(self.problem)
        self.column.addWidget(self.answer)
        self.column.addWidget(self.anew)
        self.add_text(MARKERS)
        self._head = self.add_text("", "strong")
        self._listed = QVBoxLayout()
        self._listed.setSpacing(5)
        self.column.addLayout(self._listed)
        self.column.addStretch(1)
        self.all.clicked.connect(lambda _on: self.follow())
        self.one.clicked.connect(lambda _on: self.follow_one())
        self.fill.clicked.connect(lambda _on: self.bridge())
        self.anew.toggled.connect(session.set_following_corrections)
        self.working.stop.clicked.connect(lambda: self.answer.say(STOPPED))
        self.working.ended.connect(self.refresh)
        session.current_landmark_changed.connect(self.refresh)
        session.next_landmark_changed.connect(self.refresh)
        self.refresh()

    def follow_one(self) -> None:
        """Follow the landmark that is current, or asked for."""
        landmark = self._session.tracking_landmark(self.side)
        if landmark:
            self.follow((landmark,))

    def follow(self, landmarks: tuple[str, ...] | None = None) -> None:
        """Follow landmarks; all of which something is placed without a choice."""
        if self.working.is_busy:
            return
        tell(self.problem, "")
        self.answer.say("")
        try:
            work = self._session.tracking_work(self.side, landmarks)
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self._footage = self._session.footage(self.side)
        self.working.do(work, self._on_followed, self._on_failed)
        self.refresh()

    def _on_followed(self, tracking: Any) -> None:
        try:
            done = self._session.take_tracking(self.side, self._footage, tracking)
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        points = f"{done.n_points} point{'s' if done.n_points != 1 else ''}"
        landmarks = f"{done.n_landmarks} landmark{'s' if done.n_landmarks != 1 else ''}"
        n_lost = len(done.lost)
        lost = f"lost in {n_lost} place{'s' if n_lost != 1 else ''}" if n_lost else "none lost"
        if done.n_bridged:
            lost = f"{done.n_bridged} bridged, {lost}"
        self.answer.say(
            f"{points} of {landmarks} tracked, {lost}", "", "good" if done.n_points else "caution"
        )
        self.said.emit(f"Tracked: {points} of {landmarks}, {lost}.", "good")
        self._show_lost(done.lost)
        self.refresh()

    def bridge(self) -> None:
        """Bridge the short gaps of all landmarks."""
        if self.working.is_busy:
            return
        tell(self.problem, "")
        self.answer.say("")
        self._footage = self._session.footage(self.side)
        work = self._session.filling_work(self.side)
        self.working.do(work, self._on_bridged, self._on_failed, is_measured=False)
        self.refresh()

    def _on_bridged(self, filling: Any) -> None:
        try:
            done = self._session.take_filling(self.side, self._footage, filling)
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        n_open = len(done.lost)
        stay = f"{n_open} gap{'s' if n_open != 1 else ''} stay{'' if n_open != 1 else 's'} open"
        points = f"{done.n_points} point{'s' if done.n_points != 1 else ''}"
        said = f"{points} bridged, {stay if n_open else 'no gap stays open'}"
        self.answer.say(said, "", "good" if done.n_points else "note")
        self.said.emit(f"{said}.", "good")
        self._show_lost(done.lost)
        self.refresh()

    def _on_failed(self, error: BaseException) -> None:
        self.show_problem(error)
        self.refresh()

    def _show_lost(self, lost: tuple[LostPlace, ...]) -> None:
        self._lost = lost
        clear(self._listed)
        cards = []
        for place in lost[:N_SHOWN]:
            card = LookCard(place.what, place.why, level="caution")
            card.pressed.connect(partial(self._go_to, place))
            self._listed.addWidget(card)
            card.show()
            cards.append(card)
        if len(lost) > N_SHOWN:
            more = f"and {len(lost) - N_SHOWN} shorter ones"
            self._listed.addWidget(text_label(more, "small"))
        self.cards = tuple(cards)
        settle(self._listed)

    def _go_to(self, place: LostPlace) -> None:
        state = self._session.state(self.side)
        try:
            side = self._session.look_at_point(
                state.delivery or "", state.camera or "", place.frame, place.landmark
            )
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self.stage_wanted.emit(side)

    def refresh(self, *_ignored: object) -> None:
        """Show what can be done now."""
        is_free = not self.working.is_busy
        self.all.setEnabled(is_free)
        self.fill.setEnabled(is_free)
        self.one.setEnabled(is_free and bool(self._session.tracking_landmark(self.side)))
        tell(self._head, "Without places, the longest first" if self._lost else "")
