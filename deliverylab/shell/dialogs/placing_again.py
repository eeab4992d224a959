"""Landmarks placed again in hidden order, so that one's own scatter becomes known."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QProgressBar, QPushButton, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.vocabulary.landmarks import landmark, role_for_key, role_name
from deliverylab.shell.drawing.text_label import tell
from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_state import placing_keys
from deliverylab.shell.widgets.tool_panel import ToolPanel

WHAT_FOR: Final = (
    "Landmarks that are placed already are asked for again, in frames and in an order that you "
    "cannot foresee. How far the two lie apart is your own ±, and takes the place of the judged one."
)
HOW: Final = (
    "Click where it is, as you always do; Enter places at the pointer, S leaves out what cannot be "
    "seen, Backspace takes the last back. What was placed before is hidden. Esc stops, and you can "
    "go on later."
)
PARTS: Final[dict[str, tuple[str, ...]]] = {
    "All landmarks": (),
    "Legs and hips": ("hip", "knee", "ankle", "heel", "toe"),
    "Trunk and head": ("head_top", "neck", "shoulder", "hip"),
    "Arms": ("shoulder", "elbow", "wrist", "hand"),
}
FRAMES_EACH: Final = (6, 4, 8)


class PlacingAgainPanel(ToolPanel):
    """Begin, go on with and end a run of placing again.

    Signals
    -------
    point_wanted(int, str)
        Wish for one click in this frame, and what is to be clicked.
    nothing_wanted()
        No click is wanted any more.
    report_wanted()
        Wish to see what the placings say.
    placer_named(str)
        Who places, to be remembered.
    """

    point_wanted = Signal(int, str)
    nothing_wanted = Signal()
    report_wanted = Signal()
    placer_named = Signal(str)

    def __init__(
        self, session: Session, side: Side, placer: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__("Place again", side, parent)
        self._session = session
        self.run_name = ""
        self.placer = QLineEdit(placer)
        self.placer.setPlaceholderText("Who places")
        self.placer.setAccessibleName("Who places")
        self.parts, self.frames = QComboBox(), QComboBox()
        self.parts.addItems(list(PARTS))
        self.parts.setAccessibleName("Which landmarks")
        for number in FRAMES_EACH:
            self.frames.addItem(f"{number} frames each", number)
        self.frames.setAccessibleName("How many frames of each")
        self.begin = QPushButton("Begin")
        self.begin.setProperty("role", "main")
        self.resume = QPushButton("Go on where I stopped")
        self.skip, self.back = QPushButton("Cannot see it"), QPushButton("Take the last back")
        self.report = QPushButton("What my placings say")
        self.progress = QProgressBar()
        self.asked = Verdict()
        self._lay_out()
        self.begin.clicked.connect(self._on_begun)
        self.placer.returnPressed.connect(self._on_begun)
        self.resume.clicked.connect(self._on_resumed)
        self.skip.clicked.connect(lambda: self._session.skip_again(self.side, self.run_name))
        self.back.clicked.connect(lambda: self._session.take_back_again(self.side, self.run_name))
        self.report.clicked.connect(self.report_wanted)
        session.changed.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        self._what_for = self.add_text(WHAT_FOR)
        self._setting: tuple[QWidget, ...] = (self._what_for, self.placer, self.parts, self.frames)
        for part in self._setting[1:]:
            self.column.addWidget(part)
        self.column.addWidget(self.begin)
        self.column.addWidget(self.resume)
        self.column.addWidget(self.problem)
        self.column.addWidget(self.asked)
        self.column.addWidget(self.progress)
        self._count = QLabel()
        self._count.setProperty("role", "small")
        self.column.addWidget(self._count)
        self.add_row(self.back, self.skip)
        self._how = self.add_text(HOW)
        self.column.addWidget(self.report)
        self.column.addStretch(1)

    def _on_begun(self) -> None:
        """Begin a run, unless nobody is named or nothing is placed."""
        tell(self.problem, "")
        if not self.placer.text().strip():
            tell(self.problem, "Say who places: figures belong to a person.")
            self.placer.setFocus()
            return
        delivery = self._session.delivery(self.side)
        if delivery is None:
            return
        wanted = PARTS[self.parts.currentText()]
        keys = [key for key in placing_keys(delivery.athlete.hand) if key.endswith(wanted)]
        try:
            self.run_name = self._session.begin_placing_again(
                self.side, self.placer.text(), keys if wanted else (), self.frames.currentData()
            )
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self.placer_named.emit(self.placer.text().strip())
        self._start()

    def _on_resumed(self) -> None:
        self.run_name = self._session.unfinished_runs(self.side)[-1].name
        self._start()

    def _start(self) -> None:
        self._session.hide_places(self.side, True)
        self.refresh()

    def take(self, x_px: float, y_px: float) -> None:
        """Take a click for what is asked."""
        self._session.place_again(self.side, self.run_name, x_px, y_px)

    def refresh(self, *_ignored: object) -> None:
        """Ask for what is next, or say how it stands."""
        session, side = self._session, self.side
        run = session.placing_run(side, self.run_name)
        is_running = run is not None and bool(run.waiting)
        for part in (*self._setting, self.begin):
            part.setVisible(run is None)
        waiting = session.unfinished_runs(side) if run is None else ()
        self.resume.setVisible(bool(waiting))
        if waiting:
            self.resume.setText(f"Go on: {waiting[-1].name}, {len(waiting[-1].waiting)} to come")
        for part in (self.skip, self._how, self.progress, self._count):
            part.setVisible(is_running)
        n_placed = 0 if run is None else len(run.placed)
        self.back.setVisible(is_running and n_placed > 0)
        self.done.setText("Stop for now" if is_running else "Done")
        delivery = session.delivery(side)
        has_runs = delivery is not None and any(one.placed for one in delivery.placing_runs)
        self.report.setVisible(not is_running and has_runs)
        if run is None:
            self.asked.say("")
        elif is_running:
            self._ask()
        else:
            self.asked.say(f"Done: {n_placed} points placed again.", level="good")
        if not is_running:
            session.hide_places(side, False)
            self.nothing_wanted.emit()

    def _ask(self) -> None:
        session, side = self._session, self.side
        delivery, run = session.delivery(side), session.placing_run(side, self.run_name)
        target = session.asked_again(side, self.run_name)
        if delivery is None or run is None or target is None:
            return
        name = role_name(role_for_key(target.landmark, delivery.athlete.hand))
        n_placed, n_all = len(run.placed), len(run.placed) + len(run.waiting)
        self.asked.say(f"Place the {name}", landmark(target.landmark).hint)
        self.progress.setRange(0, n_all)
        self.progress.setTextVisible(False)
        self.progress.setValue(n_placed)
        self._count.setText(f"{n_placed} of {n_all} placed")
        self.point_wanted.emit(target.frame, f"Place the {name}")

    def give_up(self) -> None:
        """Stop asking; the run is kept and can be gone on with."""
        super().give_up()
        self._session.changed.disconnect(self.refresh)
        self._session.hide_places(self.side, False)
        self.nothing_wanted.emit()
