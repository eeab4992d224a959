"""How pixels become metres: two clicks and a length, the vertical, and where the camera stood."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.vocabulary.field import FIELDS
from deliverylab.core.vocabulary.views import END_VIEWS, SIDE_VIEWS
from deliverylab.shell.messages import error_text
from deliverylab.shell.quantity_edit import QuantityEdit
from deliverylab.shell.session import Session, Side

PROMPTS = {
    "scale": "Click the two ends of the known length",
    "vertical": "Click two points of a plumb line, a wall's edge or a pole: top and bottom",
    "rubber": "Click the middle of the rubber's front edge",
}


class ScalePanel(QFrame):
    """A small form beside the stage on which its points are clicked.

    Signals
    -------
    points_wanted(int, str)
        Wish for so many clicks on the stage, and what to say there.
    closed()
        Done, or not wanted any more.
    """

    points_wanted = Signal(int, str)
    closed = Signal()

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self.side = session, side
        self._asked = ""
        self._a: Point | None = None
        self._b: Point | None = None
        self._rubber: Point | None = None
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
        self.known.addItem("a length of your own", None)
        delivery = self._session.delivery(self.side)
        if delivery is not None and delivery.athlete.height_m is not None:
            athlete = delivery.athlete
            self.known.addItem(f"{athlete.name} standing upright", athlete.height_m)
        for width_m in sorted({size.rubber_width_m for size in FIELDS}):
            inches = round(width_m / 0.0254)
            self.known.addItem(f"the rubber, {inches} in wide", width_m)

    def _lay_out(self) -> None:
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 6, 4, 8)
        title = QLabel("Scale")
        title.setProperty("role", "heading")
        title.setContentsMargins(4, 0, 0, 0)
        outer.addWidget(title)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
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
        self._apply.clicked.connect(self.apply)
        self._cancel.clicked.connect(self.closed)

    def _edits(self) -> tuple[QuantityEdit, ...]:
        lengths = (self.length, self.u_length, self.distance, self.u_distance)
        return (*lengths, self.vertical, self.u_vertical, self.yaw, self.u_yaw)

    # --------------------------------------------------------------------------------- points

    def ask(self, kind: str) -> None:
        """Ask for clicks on the stage: ``scale``, ``vertical`` or ``rubber``."""
        self._asked = kind
        self.points_wanted.emit(1 if kind == "rubber" else 2, PROMPTS[kind])

    def take_points(self, points: list[tuple[float, float]]) -> None:
        """Take the clicked points, frame px."""
        kind, self._asked = self._asked, ""
        places = [Point(float(x_px), float(y_px)) for x_px, y_px in points]
        if kind == "scale" and len(places) == 2:
            self._a, self._b = places
        elif kind == "vertical" and len(places) == 2:
            top, bottom = sorted(places, key=lambda place: place.y_px)
            lean = math.atan2(top.x_px - bottom.x_px, bottom.y_px - top.y_px)
            self.vertical.set_value(math.degrees(lean))
            length_px = math.hypot(top.x_px - bottom.x_px, top.y_px - bottom.y_px)
            # two clicks, one pixel each, and half a degree for the thing not being plumb
            u_deg = math.hypot(math.degrees(math.sqrt(2.0) / max(length_px, 1.0)), 0.25)
            self.u_vertical.set_value(COVERAGE_FACTOR * u_deg)
            self._said["vertical"].setText(f"clicked, {length_px:.0f} px long")
            self._said["vertical"].show()
        elif kind == "rubber" and len(places) == 1:
            self._rubber = places[0]
        self._on_edited()

    def _on_known_chosen(self) -> None:
        length_m = self.known.currentData()
        if length_m is not None:
            self.length.set_value(length_m)
            is_height = "standing" in self.known.currentText()
            self.u_length.set_value(0.03 if is_height else 0.005)

    # ------------------------------------------------------------------------------ the values

    def _show(self, scale: PlanarScale | None) -> None:
        self.u_length.set_value(0.01)
        self.vertical.set_value(0.0)
        self.yaw.set_value(0.0)
        self.u_vertical.set_value(0.6)
        self.u_yaw.set_value(6.0)
        if scale is None:
            return
        self._a, self._b, self._rubber = scale.a, scale.b, scale.rubber
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
        if self._a is None or self._b is None or self.length.value is None:
            return None
        u_distance_m = self.u_distance.value
        return PlanarScale(
            a=self._a,
            b=self._b,
            length_m=self.length.value,
            u_length_m=(self.u_length.value or 0.0) / COVERAGE_FACTOR,
            vertical_deg=(self.vertical.value or 0.0),
            u_vertical_deg=(self.u_vertical.value or 0.0) / COVERAGE_FACTOR,
            toward_plate=self.plate.currentData(),
            distance_m=self.distance.value,
            u_distance_m=None if u_distance_m is None else u_distance_m / COVERAGE_FACTOR,
            yaw_deg=(self.yaw.value or 0.0),
            u_yaw_deg=(self.u_yaw.value or 0.0) / COVERAGE_FACTOR,
            rubber=self._rubber,
        )

    def _on_edited(self) -> None:
        places = {"scale": self._a and self._b, "rubber": self._rubber, "vertical": None}
        for kind, place in places.items():
            self._said[kind].setVisible(place is not None or bool(self._said[kind].text()))
        if self._a is not None and self._b is not None:
            length_px = math.hypot(self._b.x_px - self._a.x_px, self._b.y_px - self._a.y_px)
            self._said["scale"].setText(f"clicked, {length_px:.0f} px apart")
        if self._rubber is not None:
            self._said["rubber"].setText("clicked")
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

    def _preview_text(self, scale: PlanarScale | None) -> str:
        if scale is None:
            return "Click the two points and give their distance."
        length_px = math.hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px)
        mm = 1000.0 * scale.length_m / length_px
        share = math.hypot(
            scale.u_length_m / scale.length_m, math.sqrt(2.0) * scale.u_point_px / length_px
        )
        lines = [f"1 px is {mm:.2f} mm, ± {100 * COVERAGE_FACTOR * share:.1f} %."]
        delivery = self._session.delivery(self.side)
        if delivery is not None and delivery.athlete.height_m is not None:
            tall_px = 1000.0 * delivery.athlete.height_m / mm
            lines.append(f"{delivery.athlete.name} would stand {tall_px:.0f} px tall.")
        seen_m = self._session.head_to_heel_m(self.side, mm / 1000.0)
        if seen_m is not None:
            lines.append(f"In this frame head to lower heel is {seen_m:.2f} m.")
        camera = self._session.camera(self.side)
        if scale.distance_m is None and camera is not None and camera.view not in END_VIEWS:
            lines.append("Without the distance a near camera is assumed, which widens every ±.")
        return "\n".join(lines)

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
