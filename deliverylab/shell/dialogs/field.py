"""Cameras on the field: points are clicked clip by clip, and the cameras are solved from them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QPushButton, QVBoxLayout, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.field import FieldSetUp
from deliverylab.core.vocabulary.field import BY_KEY as FIELD_SIZES
from deliverylab.shell import field_content
from deliverylab.shell.drawing.text_label import tell
from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.field_content import Said
from deliverylab.shell.field_request import FieldRequest, drawn_points, field_request
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_film import Report
from deliverylab.shell.widgets.field_answer import FieldAnswer
from deliverylab.shell.widgets.field_clicks import FieldClicks
from deliverylab.shell.widgets.field_form import FieldForm
from deliverylab.shell.widgets.phone_form import PhoneForm
from deliverylab.shell.widgets.step_row import StepRow
from deliverylab.shell.widgets.tool_panel import ToolPanel

OWN_CLICKS = "Clicked in its own clips"
ONE_CLIP = Said(
    strong="One clip only",
    more="Two phones are needed to measure in space. What the second one filmed is added here.",
)
SOLVE, SOLVE_ALONE = "Solve the cameras", "Solve this phone alone"
SOLVING = "Solving …"
ALL_CLICKED = "All points are clicked in this picture."
LEFT = "The clicks made in {name} hold: nobody moved, turned or zoomed a phone since."
STOPPED = "Clicking is stopped: choose a point below to go on."
STATES = {"clicked": "done", "asked": "next", "skipped": "missing", "open": "missing"}
"""How a point's state is shown, as a step's."""
TOUCHES = frozenset({"space", "deliveries", "project"})


class FieldPanel(ToolPanel):
    """Click the field's points in every clip, say how phones stood, solve, and read what came out.

    Signals
    -------
    wanted(object)
        What the stage is to show and to ask for, a `FieldRequest`.
    second_clip_wanted(), above_wanted(), sheet_wanted()
        Wish to add a clip; to see the field from above as it was solved; to see the set-up sheet.
    """

    wanted = Signal(object)
    second_clip_wanted = Signal()
    above_wanted = Signal()
    sheet_wanted = Signal()

    follows_clips = True

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__("Cameras on the field", side, parent)
        self._session = session
        self._name = session.state(side).delivery
        self._chosen, self._last, self._is_stopped = "", "", False
        self._alone: tuple[Said, list[Said]] | None = None
        self._skipped: dict[str, set[str]] = {}
        self.source = QComboBox()
        self.source.setAccessibleName("Whose clicks hold")
        self.second = Verdict()
        self.clicks, self.answer = FieldClicks(), FieldAnswer()
        self.solve_button = QPushButton(SOLVE)
        self.above = QPushButton("From above, clocks …")
        self.sheet = QPushButton("Set-up sheet …")
        self.form, self.phone = FieldForm(session.unit_system), PhoneForm()
        self._lay_out()
        self.second.action_chosen.connect(self.second_clip_wanted)
        self.source.activated.connect(self._on_source_chosen)
        self.clicks.camera_chosen.connect(self.show_camera)
        self.rows: dict[str, StepRow] = {}
        self._named: dict[str, str] = {}
        self.clicks.skipped.connect(self.skip)
        self.solve_button.clicked.connect(self.solve)
        self.above.clicked.connect(self.above_wanted)
        self.sheet.clicked.connect(self.sheet_wanted)
        self.form.edited.connect(lambda field: self._try(lambda: session.set_field(side, field)))
        self.phone.edited.connect(lambda stand: self._try(lambda: session.set_stand(side, stand)))
        session.changed.connect(self._on_changed)
        session.results_updated.connect(self._show_answer)
        session.selection_changed.connect(self._on_selection_changed)

    def _lay_out(self) -> None:
        self.column.addWidget(self.source)
        self._left = self.add_text("")
        self.column.addWidget(self.second)
        self.column.addWidget(self.clicks)
        self.column.addWidget(self.solve_button)
        self.column.addWidget(self.working)
        self.column.addWidget(self.problem)
        self.column.addWidget(self.answer)
        self.column.addWidget(self.above)
        self._points = QVBoxLayout()
        self._points.setSpacing(0)
        self.column.addLayout(self._points)
        self.add_head("This phone")
        self.column.addWidget(self.phone)
        self.add_head("The field")
        self.column.addWidget(self.form)
        self.column.addWidget(self.sheet)
        self.column.addStretch(1)

    # ------------------------------------------------------------------------------- clicking

    @property
    def asked(self) -> str:
        """The point that is asked for in the picture shown; empty where none is."""
        camera = self._session.camera(self.side)
        if camera is None or self._is_stopped or not self._is_own:
            return ""
        field = self._session.field(self.side)
        if self._chosen and self._chosen not in camera.control:
            return self._chosen
        skipped = self._skipped.get(camera.name, set())
        is_undone = self._last in {point.key for point in field.points} - skipped - {
            *camera.control
        }
        return (
            self._last
            if is_undone
            else field_content.next_point(field, camera, skipped, self._last)
        )

    @property
    def _is_own(self) -> bool:
        """Whether the clicks of this delivery's own clips hold."""
        delivery = self._session.delivery(self.side)
        return delivery is not None and not delivery.cameras_from

    def take(self, x_px: float, y_px: float, zoom: float) -> None:
        """Take a click in the picture for the point that is asked for; the next one follows."""
        key = self.asked
        if key:
            self._chosen, self._last = "", key
            self._session.click_field(self.side, key, x_px, y_px, zoom=zoom)
            self._go_on()

    def move_click(self, key: str, x_px: float, y_px: float, zoom: float) -> None:
        """Move a click: a drag, or arrow keys."""
        self._last = key
        self._session.click_field(
            self.side, key, x_px, y_px, zoom=zoom, gesture="move a click on the field"
        )

    def skip(self) -> None:
        """Leave the point that is asked for out in this picture."""
        key, camera = self.asked, self._session.camera(self.side)
        if key and camera is not None:
            self._skipped.setdefault(camera.name, set()).add(key)
            self._chosen, self._last = "", key
            self._go_on()
            self.refresh()

    def take_back(self) -> None:
        """Take the last click in this picture back, and ask for it again."""
        camera = self._session.camera(self.side)
        if camera is not None and self._last:
            key = self._last
            self._skipped.get(camera.name, set()).discard(key)
            before = [point.key for point in self._session.field(self.side).points]
            clicked = [one for one in before[: before.index(key)] if one in camera.control]
            self._chosen, self._last = key, clicked[-1] if clicked else ""
            self._session.take_click_away(self.side, key)
            self.refresh()

    def stop(self) -> None:
        """Ask for nothing until a point is chosen."""
        self._is_stopped = True
        self.refresh()

    def choose(self, key: str) -> None:
        """Ask for this point, or let arrow keys move its click."""
        camera = self._session.camera(self.side)
        self._is_stopped = False
        if camera is not None and key in camera.control:
            self._last = key
        else:
            self._chosen = key
            if camera is not None:
                self._skipped.get(camera.name, set()).discard(key)
        self.refresh()

    def show_camera(self, name: str) -> None:
        """Show another clip of the delivery."""
        self._is_stopped = False
        self._session.select(self.side, self._name, name)

    def _go_on(self) -> None:
        """Go to the next clip with open points once this one has none."""
        delivery, shown = self._session.delivery(self.side), self._session.camera(self.side)
        if delivery is None or shown is None or self.asked:
            return
        field = self._session.field(self.side)
        names = [camera.name for camera in delivery.cameras]
        at = names.index(shown.name)
        for name in (*names[at + 1 :], *names[:at]):
            skipped = self._skipped.get(name, set())
            if field_content.next_point(field, delivery.camera(name), skipped):
                self.show_camera(name)
                return
        self.solve_button.setFocus()

    # -------------------------------------------------------------------------------- solving

    def solve(self) -> None:
        """Solve the cameras beside the window."""
        tell(self.problem, "")
        session, is_alone = self._session, self._is_alone
        try:
            work: Callable[[Report], object] = (
                session.solve_alone_work(self.side) if is_alone else session.solve_work(self.side)
            )
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self.solve_button.setText(SOLVING)
        react = self._on_solved_alone if is_alone else self._on_solved
        self.working.do(work, react, self._on_failed)

    @property
    def _is_alone(self) -> bool:
        """Whether there is one clip only."""
        delivery = self._session.delivery(self.side)
        return delivery is not None and len(delivery.cameras) < 2

    def _on_solved_alone(self, outcome: Any) -> None:
        if not self._took(lambda: self._session.take_alone(outcome)):
            return
        verdict = field_content.alone(outcome, self._session.unit_system)
        self._alone = (verdict, [field_content.finding(one) for one in outcome.findings])
        self.said.emit(f"{verdict.strong}.", verdict.level)
        self.refresh()

    def _took(self, intent: Callable[[], object]) -> bool:
        """Keep what was solved, unless the cameras are others meanwhile."""
        try:
            intent()
        except DeliveryLabError as error:
            self._on_failed(error)
            return False
        return True

    def _on_solved(self, outcome: Any) -> None:
        if not self._took(lambda: self._session.take_solution(outcome)):
            return
        delivery = self._session.delivery(self.side)
        space = delivery.space if delivery is not None else None
        if space is not None:
            said = field_content.quality(space, "")
            done = "" if space.is_refused else "The cameras are solved. "
            self.said.emit(f"{done}{said.strong}.", said.level)
        tell(self.problem, "\n".join(outcome.messages), "small")
        self.refresh()

    def _on_failed(self, error: BaseException) -> None:
        self.refresh()
        tell(self.problem, "", "problem")
        self.show_problem(error)

    # ------------------------------------------------------------------------ following, showing

    def _on_changed(self, touches: frozenset[str]) -> None:
        if touches & TOUCHES:
            self._alone = None
            self.refresh()

    def _on_selection_changed(self, side: str) -> None:
        if side == self.side:
            self._chosen = self._last = ""
            self.refresh()

    def _on_source_chosen(self, _index: int) -> None:
        source = self.source.currentData()
        self._try(lambda: self._session.leave_cameras_in_place(self.side, source))

    def _try(self, intent: Callable[[], object]) -> None:
        tell(self.problem, "")
        try:
            intent()
        except DeliveryLabError as error:
            self.show_problem(error)
        self.refresh()

    def refresh(self) -> None:
        """Show how far it has come, and tell the stage what to ask for."""
        session, side = self._session, self.side
        delivery, camera = session.delivery(side), session.camera(side)
        if delivery is None or camera is None or delivery.name != self._name:
            self.closed.emit()
            return
        field = session.field(side)
        has_two = len(delivery.cameras) > 1
        two = (ONE_CLIP.strong, ONE_CLIP.more, "caution", "Add the second clip …")
        self.second.say(*(("",) if has_two else two), is_advised=not has_two)
        self._show_source(delivery)
        self.clicks.setVisible(self._is_own)
        counts = {one.name: field_content.counted(field, one) for one in delivery.cameras}
        self.clicks.show_cameras(counts, camera.name)
        self._show_points(field, camera, delivery)
        n_clicked = [field_content.n_clicked(field, one) for one in delivery.cameras]
        n_pictures = sum(n > 0 for n in n_clicked)
        is_ready = n_pictures > 1 or not self._is_own or (not has_two and n_pictures > 0)
        self.solve_button.setEnabled(is_ready)
        if not self.working.is_busy:
            self.solve_button.setText(SOLVE if has_two else SOLVE_ALONE)
        self.above.setVisible(delivery.space is not None)
        self.form.setEnabled(self._is_own)
        self.form.show_field(field, session.unit_system)
        self.phone.setEnabled(self._is_own)
        self.phone.show_stand(camera.stand)
        self._show_answer()
        self._ask_stage(field, camera, delivery)

    def _show_source(self, delivery: Delivery) -> None:
        names = self._session.left_in_place_since(self.side)
        if delivery.cameras_from and delivery.cameras_from not in names:
            names = (delivery.cameras_from, *names)
        self.source.clear()
        self.source.addItem(OWN_CLICKS, "")
        for name in names:
            self.source.addItem(f"Left in place since {name}", name)
        self.source.setCurrentIndex(max(0, self.source.findData(delivery.cameras_from)))
        self.source.setVisible(bool(names))
        tell(self._left, LEFT.format(name=delivery.cameras_from) if delivery.cameras_from else "")

    def _show_points(self, field: FieldSetUp, camera: Camera, delivery: Delivery) -> None:
        skipped = self._skipped.get(camera.name, set())
        rows = field_content.point_rows(
            field, camera, delivery.space, self.asked, skipped, self._session.unit_system
        )
        self.clicks.show_points(
            rows,
            drawn_points(field, camera),
            FIELD_SIZES[field.size],
            self._session.looks_along_deg(self.side),
            STOPPED if self._is_stopped else ALL_CLICKED,
        )
        names = {row.key: f"{row.number}  {row.name}" for row in rows}
        if list(self._named.items()) != list(names.items()):
            self._make_rows(names)
        for row in rows:
            text = "left out" if row.state == "skipped" else row.text
            if row.is_worst and row.text:
                text = f"◆ fits least: {row.text}"
            self.rows[row.key].show_state(STATES[row.state], text)
            self.rows[row.key].setVisible(self._is_own)

    def _make_rows(self, names: dict[str, str]) -> None:
        for row in self.rows.values():
            self._points.removeWidget(row)
            row.hide()
            row.deleteLater()
        self._named, self.rows = names, {}
        for key, name in names.items():
            row = StepRow(key, name)
            row.pressed.connect(self.choose)
            self._points.addWidget(row)
            self.rows[key] = row

    def _show_answer(self) -> None:
        delivery = self._session.delivery(self.side)
        space = delivery.space if delivery is not None else None
        if space is None or self._is_alone:
            self.answer.say(*(self._alone or (None,)))
            return
        verdict = field_content.quality(space, self._session.space_freshness(self.side))
        self.answer.say(verdict, [field_content.finding(one) for one in space.findings])

    def _ask_stage(self, field: FieldSetUp, camera: Camera, delivery: Delivery) -> None:
        request = FieldRequest(hint=f"clicked in {delivery.cameras_from}")
        if self._is_own:
            system = self._session.unit_system
            request = field_request(field, camera, delivery.space, self.asked, self._last, system)
        self.wanted.emit(request)
