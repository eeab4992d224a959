"""How pixels become metres: two clicks and a length, the vertical, and where the camera stood."""

from __future__ import annotations

import math

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.vocabulary.views import SIDE_VIEWS
from deliverylab.shell import scale_content
from deliverylab.shell.drawing.handles import Handle
from deliverylab.shell.drawing.scroll_column import scroll_column
from deliverylab.shell.messages import error_text
from deliverylab.shell.quantity_edit import QuantityEdit
from deliverylab.shell.scale_content import KnownLength
from deliverylab.shell.session import Session, Side

PROMPTS = {
    "vertical": "Click two points of a plumb line, a wall's edge or a pole: top and bottom",
    "rubber": "Click the middle of the rubber's front edge",
}


HANDLES = (
    ("scale", "a", "first end", "b", ""),
    ("scale", "b", "second end", "a", ""),
    ("vertical", "top", "plumb line", "bottom", "vertical"),
    ("vertical", "bottom", "plumb line", "top", ""),
    ("rubber", "rubber", "rubber's front edge", "", "rubber"),
)
"""Points on the stage: what asks for them, key, name, the other end, and what is written there."""


class ScalePanel(QFrame):
    """A small form beside the stage on which its points are clicked.

    Signals
    -------
    points_wanted(int, str)
        Wish for so many clicks on the stage, none any more if 0, and what to say there.
    handles_changed(object)
        The points as they are now: a tuple of `Handle`.
    closed()
        Done, or not wanted any more.
    """

    points_wanted = Signal(int, str)
    handles_changed = Signal(object)
    closed = Signal()

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self.side = session, side
        self._asked = ""
        self._points: dict[str, Point] = {}
        system = session.unit_system
        self.known = QComboBox()
        self.length, self.u_length = QuantityEdit("length", system), QuantityEdit("length", system)
        self.distance = QuantityEdit("length", system)
        self.u_distance = QuantityEdit("length", system)
        self.vertical, self.u_vertical = QuantityEdit("angle"), QuantityEdit("angle")
        self.distance.setPlaceholderText("not known")
        self.yaw, self.u_yaw = QuantityEdit("angle"), QuantityEdit("angle")
        self.plate = QComboBox()
        for text, key in (("as view and hand say", None), ("left", "left"), ("right", "right")):
            self.plate.addItem(text, key)
        self._pick = {
            "scale": QPushButton("Click the two points"),
            "vertical": QPushButton("Click a plumb line"),
            "rubber": QPushButton("Click the rubber"),
        }
        self._said = {kind: _small("") for kind in self._pick}
        self._preview, self._problem = QLabel(), QLabel()
        self._preview.setWordWrap(True)
        self._problem.setWordWrap(True)
        self._problem.setProperty("role", "problem")
        self._apply, self._cancel = QPushButton("Use this scale"), QPushButton("Cancel")
        self._apply.setProperty("role", "main")
        for box in (self.known, self.plate):
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(6)
        for edit in self._edits():
            edit.setMinimumWidth(40)
        self._fill_known()
        self._lay_out()
        self._show(session.scale(side))
        self._connect()
        self._on_edited()

    # --------------------------------------------------------------------------------- layout

    def _fill_known(self) -> None:
        delivery, camera = self._session.delivery(self.side), self._session.camera(self.side)
        if delivery is not None and camera is not None:
            others = self._session.scales_alike(self.side)
            for known in scale_content.known_lengths(delivery, camera, others):
                self.known.addItem(known.name, known)

    def _lay_out(self) -> None:
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 6, 4, 8)
        title = QLabel("Scale")
        title.setProperty("role", "heading")
        title.setContentsMargins(4, 0, 0, 0)
        outer.addWidget(title)
        area = scroll_column(takes_focus=True)
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(4, 2, 8, 4)
        column.setSpacing(7)
        self._add_block(column, "Known length, where the athlete moves", "scale")
        column.addWidget(self.known)
        column.addLayout(_pair("Length", self.length, self.u_length))
        self._add_block(column, "Vertical", "vertical")
        column.addLayout(_pair("Lean", self.vertical, self.u_vertical))
        column.addWidget(_head("Where the camera stood"))
        column.addLayout(_pair("Distance", self.distance, self.u_distance))
        column.addLayout(_pair("Off square", self.yaw, self.u_yaw))
        camera = self._session.camera(self.side)
        if camera is not None and camera.view in SIDE_VIEWS:
            row = QHBoxLayout()
            row.addWidget(QLabel("Plate on the"))
            row.addWidget(self.plate, 1)
            column.addLayout(row)
        self._add_block(column, "Rubber, for release ahead of it", "rubber")
        column.addStretch(1)
        area.setWidget(body)
        outer.addWidget(area, 1)
        card = QFrame()
        card.setObjectName("card")
        inside = QVBoxLayout(card)
        inside.setContentsMargins(10, 8, 10, 9)
        inside.addWidget(self._preview)
        inside.addWidget(self._problem)
        outer.addWidget(card)
        buttons = QHBoxLayout()
        buttons.addWidget(self._cancel)
        buttons.addWidget(self._apply, 1)
        outer.addLayout(buttons)

    def _add_block(self, column: QVBoxLayout, title: str, kind: str) -> None:
        column.addWidget(_head(title))
        column.addWidget(self._pick[kind])
        column.addWidget(self._said[kind])

    def _connect(self) -> None:
        for kind, button in self._pick.items():
            button.clicked.connect(lambda _=False, one=kind: self.ask(one))
        self.known.activated.connect(self._on_known_chosen)
        for edit in self._edits():
            edit.value_changed.connect(self._on_edited)
            edit.returnPressed.connect(self._apply.click)
        self._apply.clicked.connect(self.apply)
        self._cancel.clicked.connect(self.closed)
        self._session.frame_changed.connect(self._on_frame_changed)

    def _edits(self) -> tuple[QuantityEdit, ...]:
        lengths = (self.length, self.u_length, self.distance, self.u_distance)
        return (*lengths, self.vertical, self.u_vertical, self.yaw, self.u_yaw)

    def _on_frame_changed(self, side: str, _frame: int) -> None:
        if side == self.side:
            self._on_edited()

    # --------------------------------------------------------------------------------- points

    @property
    def _known(self) -> KnownLength:
        return self.known.currentData() or KnownLength(name="")

    def ask(self, kind: str) -> None:
        """Ask for clicks on the stage: ``scale``, ``vertical`` or ``rubber``."""
        self._asked = kind
        self._show_handles()
        prompt = self._known.prompt if kind == "scale" else PROMPTS[kind]
        self.points_wanted.emit(1 if kind == "rubber" else 2, prompt)

    def take_points(self, points: list[tuple[float, float]]) -> None:
        """Take the clicked points, frame px."""
        kind, self._asked = self._asked, ""
        places = [Point(float(x_px), float(y_px)) for x_px, y_px in points]
        if kind == "scale" and len(places) == 2:
            self._points.update(zip(("a", "b"), places, strict=True))
            self._take_rubber()
            # what is missing now is the length, or a word that all is well
            self.length.setFocus()
            self.length.selectAll()
        elif kind == "vertical" and len(places) == 2:
            self._points.update(zip(("top", "bottom"), places, strict=True))
            self._take_vertical()
        elif kind == "rubber" and len(places) == 1:
            self._points["rubber"] = places[0]
        self._on_edited()

    def give_up_points(self) -> None:
        """Let the points stay where they are: the clicks asked for are not coming."""
        self._asked = ""
        self._on_edited()

    def move_point(self, key: str, x_px: float, y_px: float) -> None:
        """Move a point that was clicked before."""
        if key not in self._points:
            return
        was_together = key == "a" and self._points.get("rubber") == self._points["a"]
        self._points[key] = Point(x_px, y_px)
        if was_together:
            self._points["rubber"] = Point(x_px, y_px)
        if key in {"top", "bottom"}:
            self._take_vertical()
        self._on_edited()

    def _take_rubber(self) -> None:
        if self._known.starts_at_rubber and "a" in self._points:
            self._points["rubber"] = self._points["a"]

    def _take_vertical(self) -> None:
        """Take the lean from two points of a plumb line."""
        places = (self._points["top"], self._points["bottom"])
        top, bottom = sorted(places, key=lambda place: place.y_px)
        lean = math.atan2(top.x_px - bottom.x_px, bottom.y_px - top.y_px)
        self.vertical.set_value(math.degrees(lean))
        length_px = math.hypot(top.x_px - bottom.x_px, top.y_px - bottom.y_px)
        # two clicks, one pixel each, and half a degree for the thing not being plumb
        u_deg = math.hypot(math.degrees(math.sqrt(2.0) / max(length_px, 1.0)), 0.25)
        self.u_vertical.set_value(COVERAGE_FACTOR * u_deg)
        self._said["vertical"].setText(f"clicked, {length_px:.0f} px long")
        self._said["vertical"].show()

    def _show_handles(self, scale: PlanarScale | None = None) -> None:
        """Tell where the points are; those that are being clicked anew are left out."""
        text = scale_content.line_text(scale, self._session.unit_system) if scale else ""
        handles = []
        for kind, key, name, joined_to, said in HANDLES:
            place = self._points.get(key)
            if place is None or kind == self._asked:
                continue
            is_double = key == "rubber" and place == self._points.get("a")
            if not is_double:
                handles.append(
                    Handle(
                        key=key,
                        name=name,
                        x_px=place.x_px,
                        y_px=place.y_px,
                        joined_to=joined_to,
                        text=text if key == "a" else said,
                    )
                )
        self.handles_changed.emit(tuple(handles))

    def _on_known_chosen(self) -> None:
        known = self._known
        if known.like is not None:
            self._asked = ""
            self.points_wanted.emit(0, "")
            self._show(known.like)
            self._on_edited()
            return
        if known.length_m is not None:
            self.length.set_value(known.length_m)
        self.u_length.set_value(known.expanded_u_m)
        self._take_rubber()
        if "a" not in self._points:
            self.ask("scale")
        self._on_edited()

    # ------------------------------------------------------------------------------ the values

    def _show(self, scale: PlanarScale | None) -> None:
        self.u_length.set_value(0.01)
        self.vertical.set_value(0.0)
        self.yaw.set_value(0.0)
        self.u_vertical.set_value(0.6)
        self.u_yaw.set_value(6.0)
        if scale is None:
            return
        self._points.update(a=scale.a, b=scale.b)
        if scale.rubber is not None:
            self._points["rubber"] = scale.rubber
        self.length.set_value(scale.length_m)
        self.u_length.set_value(COVERAGE_FACTOR * scale.u_length_m)
        self.vertical.set_value(scale.vertical_deg)
        self.u_vertical.set_value(COVERAGE_FACTOR * scale.u_vertical_deg)
        self.distance.set_value(scale.distance_m)
        if scale.u_distance_m is not None:
            self.u_distance.set_value(COVERAGE_FACTOR * scale.u_distance_m)
        self.yaw.set_value(scale.yaw_deg)
        self.u_yaw.set_value(COVERAGE_FACTOR * scale.u_yaw_deg)
        self.plate.setCurrentIndex(max(0, self.plate.findData(scale.toward_plate)))

    def made(self) -> PlanarScale | None:
        """Return the scale as it is filled in; None while points or length are missing.

        Raises
        ------
        DeliveryLabError
            A value that cannot be true.
        """
        a, b = self._points.get("a"), self._points.get("b")
        if a is None or b is None or self.length.value is None:
            return None
        u_distance_m = self.u_distance.value
        return PlanarScale(
            a=a,
            b=b,
            length_m=self.length.value,
            u_length_m=(self.u_length.value or 0.0) / COVERAGE_FACTOR,
            vertical_deg=(self.vertical.value or 0.0),
            u_vertical_deg=(self.u_vertical.value or 0.0) / COVERAGE_FACTOR,
            toward_plate=self.plate.currentData(),
            distance_m=self.distance.value,
            u_distance_m=None if u_distance_m is None else u_distance_m / COVERAGE_FACTOR,
            yaw_deg=(self.yaw.value or 0.0),
            u_yaw_deg=(self.u_yaw.value or 0.0) / COVERAGE_FACTOR,
            rubber=self._points.get("rubber"),
        )

    def _on_edited(self) -> None:
        a, b = self._points.get("a"), self._points.get("b")
        if a is not None and b is not None:
            length_px = math.hypot(b.x_px - a.x_px, b.y_px - a.y_px)
            self._said["scale"].setText(f"clicked, {length_px:.0f} px apart")
        if "rubber" in self._points:
            self._said["rubber"].setText("clicked")
        for said in self._said.values():
            said.setVisible(bool(said.text()))
        try:
            scale, problem = self.made(), ""
        except DeliveryLabError as error:
            scale, problem = None, error_text(error)
        self._problem.setText(problem)
        self._problem.setVisible(bool(problem))
        is_wrong = any(edit.is_wrong for edit in self._edits())
        self._apply.setEnabled(scale is not None and not is_wrong)
        self._preview.setVisible(not problem)
        self._preview.setText(self._preview_text(scale))
        self._show_handles(scale)

    def _preview_text(self, scale: PlanarScale | None) -> str:
        session = self._session
        delivery, camera = session.delivery(self.side), session.camera(self.side)
        if scale is None or delivery is None or camera is None:
            return "Click the two points and give their distance."
        metres_per_px = scale.length_m / scale_content.length_px(scale)
        seen_m = session.head_to_heel_m(self.side, metres_per_px)
        return scale_content.meaning_text(scale, delivery, camera, seen_m)

    def apply(self) -> None:
        """Set the scale and close."""
        scale = self.made()
        if scale is not None:
            self._session.set_scale(self.side, scale)
            self.closed.emit()


def _head(text: str) -> QLabel:
    made = QLabel(text)
    made.setProperty("role", "strong")
    made.setWordWrap(True)
    made.setContentsMargins(0, 8, 0, 0)
    return made


def _small(text: str) -> QLabel:
    made = QLabel(text)
    made.setProperty("role", "small")
    return made


def _pair(text: str, value: QWidget, margin: QWidget) -> QGridLayout:
    """Return a line of a form: name, value, ± margin."""
    grid = QGridLayout()
    grid.setHorizontalSpacing(6)
    value.setAccessibleName(text)
    margin.setAccessibleName(f"{text}, plus or minus")
    grid.addWidget(QLabel(text), 0, 0)
    grid.addWidget(value, 0, 1)
    grid.addWidget(QLabel("±"), 0, 2)
    grid.addWidget(margin, 0, 3)
    for column, stretch in ((0, 5), (1, 6), (3, 5)):
        grid.setColumnStretch(column, stretch)
    return grid
