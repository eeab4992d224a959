"""The ball after release: found or placed by hand, and its speed beside the radar's."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QPushButton, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.vocabulary.balls import BALLS
from deliverylab.shell.drawing.text_label import tell
from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.session import Session, Side
from deliverylab.shell.widgets.tool_panel import ToolPanel

BY_HAND = (
    "Place it by hand in three frames or more: click its middle, or the middle of its streak, and "
    "the next frame comes by itself. Key . leaves a frame out, Esc ends it."
)


class BallPanel(ToolPanel):
    """Find the ball after release, or place it, and see what it says.

    Signals
    -------
    hand_wanted(int, int, int)
        Wish to place the ball by hand: first and last frame, and every how many.
    """

    hand_wanted = Signal(int, int, int)

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__("Ball", side, parent)
        self._session = session
        self.kind = QComboBox()
        self.kind.setAccessibleName("Kind of ball")
        for entry in BALLS:
            self.kind.addItem(entry.name, entry.key)
        self.look = QPushButton("Find it after release")
        self.look.setProperty("role", "main")
        self.by_hand = QPushButton("Place it by hand")
        self.take_away = QPushButton("Take it away")
        self.answer, self.speed = Verdict(), Verdict()
        self._answered: object = None
        self._lay_out()
        self.kind.activated.connect(self._on_kind_chosen)
        self.look.clicked.connect(self.search)
        self.by_hand.clicked.connect(self.place_by_hand)
        self.take_away.clicked.connect(self._on_taken_away)
        self.speed.action_chosen.connect(self._on_offer_accepted)
        session.results_updated.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        self.column.addWidget(self.kind)
        self.add_head("In flight, after release")
        self.column.addWidget(self.look)
        self.add_row(self.by_hand, self.take_away)
        self.column.addWidget(self.working)
        self.column.addWidget(self.problem)
        self.column.addWidget(self.answer)
        self._how = self.add_text("")
        self._places = self.add_text("")
        self.add_head("Speed at release")
        self.column.addWidget(self.speed)
        self._none = self.add_text("It stands here once the ball is placed in three frames.")
        self.column.addStretch(1)

    def search(self) -> None:
        """Look for the ball; what is missing for that is said instead."""
        tell(self.problem, "")
        tell(self._how, "")
        self.answer.say("")
        try:
            work = self._session.ball_work(self.side)
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self.look.setEnabled(False)
        self.working.do(work, self._on_found, self._on_failed)

    def _on_found(self, found: object) -> None:
        is_found, said = self._session.place_ball(self.side, found)
        if is_found:
            self.said.emit(f"Ball: {said[:1].lower()}{said[1:]}", "good")
            self._session.show_frame(self.side, self._session.first_ball_frame(self.side))
        self._answered = self._facts()
        self.answer.say(said, "" if is_found else BY_HAND, "good" if is_found else "caution")
        self.refresh()

    def _facts(self) -> object:
        """Return what an answer of the search holds for: where the ball is, and release."""
        camera = self._session.camera(self.side)
        return camera and (camera.track("ball"), camera.marks.get("release"))

    def _on_failed(self, error: BaseException) -> None:
        self.show_problem(error)
        self.refresh()

    def place_by_hand(self) -> None:
        """Ask for the ball frame by frame on the stage, from release on."""
        camera = self._session.camera(self.side)
        if camera is not None:
            tell(self._how, BY_HAND)
            first = self._session.first_ball_frame(self.side)
            self.hand_wanted.emit(first, camera.end_frame, 1)

    def _on_taken_away(self) -> None:
        self.answer.say("")
        self._session.take_ball_away(self.side)
        self.said.emit("The ball is taken away.", "note")

    def _on_kind_chosen(self) -> None:
        self._session.set_ball(self.side, self.kind.currentData())

    def _on_offer_accepted(self) -> None:
        offer = self._session.ball_said(self.side).offer
        if offer is not None:
            self._session.accept(offer)
            self.said.emit(offer.said, "good")

    def refresh(self) -> None:
        """Show what the ball says now."""
        delivery = self._session.delivery(self.side)
        if delivery is None:
            self.closed.emit()
            return
        if self._facts() != self._answered:
            self.answer.say("")
        self.kind.setCurrentIndex(self.kind.findData(delivery.ball))
        self.look.setEnabled(not self.working.is_busy)
        said = self._session.ball_said(self.side)
        self.take_away.setEnabled(said.is_placed)
        # an answer of the search says in which frames as well
        tell(self._places, said.places if not said.is_placed or not self.answer.text else "")
        shares = []
        if said.speed:
            shares.append(f"{said.speed} from the clip")
        if said.radar:
            shares.append(f"{said.radar} by radar")
        has_ball = bool(said.speed or said.verdict)
        self._none.setVisible(not has_ball)
        button = said.offer.button if said.offer else ""
        strong = "\n".join(shares) if has_ball else ""
        self.speed.say(strong, said.verdict, said.level, button, is_advised=True)
