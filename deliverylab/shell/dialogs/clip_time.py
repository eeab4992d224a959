"""A clip's time: at what rate it was taken, what was found, and the rolling shutter."""

from __future__ import annotations

from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.shell.drawing.text_label import tell
from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.messages import error_text
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_film import Offer
from deliverylab.shell.widgets.tool_panel import ToolPanel

SHUTTER = (
    "A phone reads a picture out row by row, so what is low in the picture is seen a little later "
    "than what is high. The time from the first row to the last stands in tests of the camera. "
    "Where it is not known leave it off: nothing is corrected then. Below zero: the lowest row "
    "comes first."
)
NOTHING = "Nothing odd was found in its times."


class ClipTimePanel(ToolPanel):
    """What holds of a clip's time, and what can be done about it.

    Attributes
    ----------
    read_out, u_read_out : QLineEdit
        Milliseconds from the first row to the last, and its ±; empty is off.
    """

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__("Time of the clip", side, parent)
        self._session = session
        self.read_out, self.u_read_out = QLineEdit(), QLineEdit()
        self.read_out.setPlaceholderText("off")
        self.read_out.setAccessibleName("Read-out of a picture, milliseconds")
        self.u_read_out.setAccessibleName("Read-out of a picture, plus or minus")
        self.look = QPushButton("Look the clip over again")
        self.cards: list[Verdict] = []
        self._lay_out()
        for edit in (self.read_out, self.u_read_out):
            edit.editingFinished.connect(self._on_read_out_typed)
        self.look.clicked.connect(self.look_over)
        session.results_updated.connect(self.refresh)
        session.changed.connect(self._on_changed)
        self._show_read_out()
        self.refresh()

    def _lay_out(self) -> None:
        self._rates = self.add_text("", "")
        self.add_head("What was found")
        self._matters = QVBoxLayout()
        self._matters.setSpacing(6)
        self.column.addLayout(self._matters)
        self._nothing = self.add_text(NOTHING)
        self.column.addWidget(self.look)
        self.column.addWidget(self.working)
        self.add_head("Rolling shutter")
        grid = QGridLayout()
        grid.setHorizontalSpacing(6)
        for column, part in enumerate(
            (QLabel("Read-out"), self.read_out, QLabel("±"), self.u_read_out, QLabel("ms"))
        ):
            grid.addWidget(part, 0, column)
        self.column.addLayout(grid)
        self.column.addWidget(self.problem)
        self.add_text(SHUTTER)
        self.column.addStretch(1)

    def _on_changed(self, _touches: object) -> None:
        self._show_read_out()

    def _show_read_out(self) -> None:
        read_out_s, u_s = self._session.read_out_s(self.side)
        self.read_out.setText(f"{1e3 * read_out_s:.4g}" if read_out_s else "")
        self.u_read_out.setText(f"{1e3 * COVERAGE_FACTOR * u_s:.4g}" if u_s else "")

    def _on_read_out_typed(self) -> None:
        try:
            value, u = (_milliseconds(one) for one in (self.read_out, self.u_read_out))
        except ValueError:
            tell(self.problem, "Give milliseconds as a number, such as 12.")
            return
        if (value, u / COVERAGE_FACTOR) == tuple(
            round(one, 9) for one in self._session.read_out_s(self.side)
        ):
            return
        try:
            self._session.set_read_out(self.side, value, u / COVERAGE_FACTOR)
        except DeliveryLabError as error:
            tell(self.problem, error_text(error))
        else:
            tell(self.problem, "")

    def look_over(self) -> None:
        """Look the clip over anew: what was taken back or trusted comes back where it still holds."""
        work = self._session.look_work(self.side)
        if work is None:
            tell(self.problem, "The clip is not here, so it cannot be looked over.")
            return
        self.working.do(work, self._on_looked, self.show_problem)

    def _on_looked(self, report: object) -> None:
        is_new = self._session.take_look(self.side, report)
        self.said.emit(
            "The clip is looked over again." if is_new else "Nothing new was found in the clip.",
            "good",
        )

    def refresh(self) -> None:
        """Show what holds now."""
        camera = self._session.camera(self.side)
        if camera is None:
            self.closed.emit()
            return
        timing = camera.timing
        tell(
            self._rates,
            f"Stored at {timing.stored_rate_hz:.6g} frames a second; "
            f"{timing.true_rate_hz:.6g} pictures in a second of life.",
        )
        self.look.setEnabled(camera.clip is not None)
        matters = self._session.time_matters(self.side)
        for card in self.cards:
            self._matters.removeWidget(card)
            card.deleteLater()
        self.cards = []
        for matter in matters:
            card = Verdict(self)
            title = f"{matter.title[:1].upper()}{matter.title[1:]}"
            button = matter.offer.button if matter.offer else ""
            is_rate = matter.offer is not None and matter.offer.capture_rate_hz is not None
            card.say(title, matter.text, matter.level, button, is_advised=is_rate)
            card.action_chosen.connect(lambda one=matter.offer: self._accept(one))
            self._matters.addWidget(card)
            self.cards.append(card)
        self._nothing.setVisible(not matters)

    def _accept(self, offer: Offer | None) -> None:
        if offer is not None:
            self._session.accept(offer)
            self.said.emit(offer.said, "good")


def _milliseconds(edit: QLineEdit) -> float:
    """Return the typed time in seconds; empty is zero.

    Raises
    ------
    ValueError
        No number.
    """
    text = edit.text().strip().lower().removesuffix("ms").replace(",", ".").replace("−", "-")
    return 1e-3 * float(text) if text and text != "off" else 0.0
