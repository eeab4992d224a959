"""A falling ball as a check of scale and frame rate: how to film it, its frames, what g comes out."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.text_label import tell
from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.messages import error_text
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_film import Offer
from deliverylab.shell.widgets.tool_panel import ToolPanel

HOW = (
    "Leave the camera where it stood for the throw. Toss a ball up half a metre, or drop it from "
    "head height, above the line where the athlete moves, and film that with the same settings. "
    "Add that clip as a delivery, give it the same scale, and check it here."
)
BY_HAND = (
    "Choose the frames more closely, or place it by hand: click its middle in about ten frames, the "
    "next one comes by itself."
)
OTHERS_TOO = "The throws filmed with the same settings need it too."
WHY = (
    "Everything falls at 9.81 m/s². What comes out here grows with the scale, and four times with "
    "a frame rate that is taken for twice the true one."
)


class FallPanel(ToolPanel):
    """Ask for the frames of a fall and the ball in them, and tell what g they give.

    Signals
    -------
    hand_wanted(int, int, int)
        Wish to place the ball by hand: first and last frame, and every how many.
    """

    hand_wanted = Signal(int, int, int)

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__("Falling ball", side, parent)
        self._session = session
        self._offer: Offer | None = None
        camera = session.camera(side)
        frames = camera.track("ball").frames.tolist() if camera is not None else []
        last = camera.end_frame if camera is not None else 0
        first = camera.first_frame if camera is not None else 0
        # a ball that is placed already tells which frames are meant
        self.first_frame: int = frames[0] if frames else first
        self.last_frame: int = frames[-1] if frames else last
        self.start, self.end = QPushButton(), QPushButton()
        self.start.setToolTip("Take the shown frame: the ball has just left the hand")
        self.end.setToolTip("Take the shown frame: the ball has not touched anything yet")
        self.look = QPushButton("Find it")
        self.look.setProperty("role", "main")
        self.by_hand = QPushButton("Place it by hand")
        self.answer, self.verdict = Verdict(), Verdict()
        self._lay_out()
        self.start.clicked.connect(lambda: self._take_frame("start"))
        self.end.clicked.connect(lambda: self._take_frame("end"))
        self.look.clicked.connect(self.search)
        self.by_hand.clicked.connect(self.place_by_hand)
        self.verdict.action_chosen.connect(self._on_offer_accepted)
        session.results_updated.connect(self.refresh)
        session.frame_changed.connect(self._on_frame_changed)
        self.refresh()

    def _lay_out(self) -> None:
        self.add_head("Film it")
        self.add_text(HOW)
        self.add_text(WHY)
        self.add_head("Frames of free flight")
        self.add_row(self.start, self.end)
        self._chosen = self.add_text("")
        self.add_head("The ball in them")
        self.add_row(self.look, self.by_hand)
        self.column.addWidget(self.working)
        self.column.addWidget(self.problem)
        self.column.addWidget(self.answer)
        self._places = self.add_text("")
        self.add_head("What comes out")
        self.column.addWidget(self.verdict)
        self._missing = self.add_text("")
        self.column.addStretch(1)

    def _on_frame_changed(self, side: str, _frame: int) -> None:
        if side == self.side:
            self._name_frames()

    def _name_frames(self) -> None:
        shown = self._session.state(self.side).frame
        self.start.setText(f"Starts here ({shown})")
        self.end.setText(f"Ends here ({shown})")
        tell(self._chosen, f"Now from frame {self.first_frame} to {self.last_frame}.")

    def _take_frame(self, which: str) -> None:
        shown = self._session.state(self.side).frame
        if which == "start":
            self.first_frame, self.last_frame = shown, max(shown, self.last_frame)
        else:
            self.first_frame, self.last_frame = min(shown, self.first_frame), shown
        self.refresh()

    def search(self) -> None:
        """Look for the ball in the frames of its flight."""
        tell(self.problem, "")
        self.answer.say("")
        self.look.setEnabled(False)
        work = self._session.fall_work(self.side, self.first_frame, self.last_frame)
        self.working.do(work, self._on_found, self._on_failed)

    def _on_found(self, found: object) -> None:
        is_found, said = self._session.place_ball(self.side, found)
        if is_found:
            self.said.emit(f"Ball: {said[:1].lower()}{said[1:]}", "good")
        else:
            self.answer.say(said, BY_HAND, "caution")
        self.look.setEnabled(True)

    def _on_failed(self, error: BaseException) -> None:
        self.look.setEnabled(True)
        self.show_problem(error)

    def place_by_hand(self) -> None:
        """Ask for the ball on the stage, in frames spread over the fall."""
        self.answer.say("")
        step = self._session.ball_step(self.first_frame, self.last_frame)
        self.hand_wanted.emit(self.first_frame, self.last_frame, step)

    def _on_offer_accepted(self) -> None:
        if self._offer is not None:
            offer = self._offer
            self._session.accept(offer)
            self.said.emit(f"{offer.said} {OTHERS_TOO}", "good")

    def refresh(self) -> None:
        """Work g out from the ball as it is placed now."""
        camera = self._session.camera(self.side)
        if camera is None:
            self.closed.emit()
            return
        self._name_frames()
        frames = [
            frame
            for frame in camera.track("ball").frames.tolist()
            if self.first_frame <= frame <= self.last_frame
        ]
        tell(self._places, f"Placed in {len(frames)} of these frames.")
        self._offer = None
        try:
            said = self._session.fall_said(self.side, self.first_frame, self.last_frame)
        except DeliveryLabError as error:
            self.verdict.say("")
            tell(self._missing, error_text(error))
            return
        tell(self._missing, "")
        self._offer = said.offer
        button = said.offer.button if said.offer else ""
        self.verdict.say(said.verdict, said.meaning, said.level, button, is_advised=True)
