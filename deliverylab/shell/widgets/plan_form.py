"""Fields for a set-up that is tried: where the phone stands, how it films, how closely one places."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import QComboBox, QFormLayout, QHBoxLayout, QLabel, QSlider, QWidget

from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.views import VIEWS
from deliverylab.shell.quantity_edit import QuantityEdit, as_text
from deliverylab.shell.set_up_plan import DISTANCES_M, YAWS_DEG, Plan
from deliverylab.shell.theme import on_theme_changed

RATES_HZ: Final = (30.0, 60.0, 120.0, 240.0, 480.0, 960.0)
LENSES: Final = (
    ("fills the picture", None),
    ("1×, 65° wide", 65.0),
    ("2×, 35° wide", 35.0),
    ("3×, 24° wide", 24.0),
)
PLACINGS: Final = (
    ("usual, 10–20 mm", None),
    ("closely, 6 mm", 0.006),
    ("hurried, 30 mm", 0.030),
)
YAW_DOUBTS: Final = (
    ("1°, taped out", 1.0),
    ("3°, by a line", 3.0),
    ("6°, by eye", 6.0),
)
DISTANCE_STEPS: Final = 10
"""Steps of the slider a metre."""
WIDEST: Final = "98 ft 5 in"
HEIGHTS_M: Final = (1.0, 2.4)


class PlanForm(QWidget):
    """The fields of a `Plan`.

    Signals
    -------
    edited()
        Another plan now.
    """

    edited = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plan = Plan()
        self._system: UnitSystem = "metric"
        self.view, self.rate = QComboBox(), QComboBox()
        self.lens, self.placing, self.yaw_doubt = QComboBox(), QComboBox(), QComboBox()
        for view in VIEWS:
            if view.key != "top":
                self.view.addItem(view.name, view.key)
        for rate_hz in RATES_HZ:
            self.rate.addItem(f"{rate_hz:g} a second", rate_hz)
        for box, choices in (
            (self.lens, LENSES),
            (self.placing, PLACINGS),
            (self.yaw_doubt, YAW_DOUBTS),
        ):
            for text, value in choices:
                box.addItem(text, value)
        self.distance = _slider(DISTANCES_M, DISTANCE_STEPS)
        self.yaw = _slider(YAWS_DEG, 1)
        self._metres, self._degrees = QLabel(), QLabel()
        self.height_edit = QuantityEdit("length")
        self.hand = QComboBox()
        for hand in ("right", "left"):
            self.hand.addItem(hand, hand)
        self._lay_out()
        for box in (self.view, self.rate, self.lens, self.placing, self.yaw_doubt, self.hand):
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(4 if box is self.hand else 12)
            box.currentIndexChanged.connect(self._on_edited)
        for slider in (self.distance, self.yaw):
            slider.valueChanged.connect(self._on_edited)
        self.height_edit.value_changed.connect(self._on_edited)
        self.show_plan(self._plan, "metric")
        on_theme_changed(self, self._on_theme_changed)

    def _lay_out(self) -> None:
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setHorizontalSpacing(10)
        form.setVerticalSpacing(6)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        for name, field in (
            ("Film from", self.view),
            ("Distance", _with_value(self.distance, self._metres)),
            ("Off square", _with_value(self.yaw, self._degrees)),
            ("Known to", self.yaw_doubt),
            ("Zoom", self.lens),
            ("Frames", self.rate),
            ("Placing", self.placing),
            ("Athlete", _beside(self.height_edit, self.hand)),
        ):
            form.addRow(name, field)
        for widget, name in (
            (self.view, "Film from"),
            (self.distance, "Distance of the camera"),
            (self.yaw, "Degrees off square"),
            (self.yaw_doubt, "How well the yaw is known"),
            (self.lens, "Zoom"),
            (self.rate, "Frames a second"),
            (self.placing, "How closely landmarks are placed"),
            (self.height_edit, "Body height"),
            (self.hand, "Throwing hand"),
        ):
            widget.setAccessibleName(name)

    @property
    def plan(self) -> Plan:
        """What is filled in; a height that cannot be is left as it was."""
        return self._plan

    def show_plan(self, plan: Plan, system: UnitSystem) -> None:
        """Fill a plan in; nothing is emitted."""
        self._system = system
        fields = (self.view, self.rate, self.lens, self.placing, self.yaw_doubt, self.hand)
        blockers = [
            QSignalBlocker(one) for one in (*fields, self.distance, self.yaw, self.height_edit)
        ]
        self.view.setCurrentIndex(max(0, self.view.findData(plan.view)))
        self.hand.setCurrentIndex(self.hand.findData(plan.hand))
        if self.rate.findData(plan.rate_hz) < 0:
            self.rate.addItem(f"{plan.rate_hz:.4g} a second", plan.rate_hz)
        self.rate.setCurrentIndex(self.rate.findData(plan.rate_hz))
        for box, value in (
            (self.lens, plan.field_of_view_deg),
            (self.placing, plan.placing_m),
            (self.yaw_doubt, plan.u_yaw_deg),
        ):
            values = [box.itemData(index) for index in range(box.count())]
            box.setCurrentIndex(values.index(value) if value in values else 0)
        self.distance.setValue(round(DISTANCE_STEPS * plan.distance_m))
        self.yaw.setValue(round(plan.yaw_deg))
        self.height_edit.set_units(system)
        self.height_edit.set_value(plan.height_m)
        for blocker in blockers:
            blocker.unblock()
        self._plan = plan
        self._read()

    def _read(self) -> None:
        height_m = self.height_edit.value
        is_height = height_m is not None and HEIGHTS_M[0] <= height_m <= HEIGHTS_M[1]
        self._plan = replace(
            self._plan,
            view=self.view.currentData(),
            distance_m=self.distance.value() / DISTANCE_STEPS,
            yaw_deg=float(self.yaw.value()),
            rate_hz=self.rate.currentData(),
            field_of_view_deg=self.lens.currentData(),
            placing_m=self.placing.currentData(),
            u_yaw_deg=self.yaw_doubt.currentData(),
            hand=self.hand.currentData(),
            height_m=height_m if height_m is not None and is_height else self._plan.height_m,
        )
        self._metres.setText(as_text(self._plan.distance_m, "length", self._system))
        self._degrees.setText(f"{self.yaw.value()}°".replace("-", "\u2212"))

    def _on_theme_changed(self) -> None:
        """Give what is written the width that its size needs."""
        widest = self.fontMetrics().horizontalAdvance(WIDEST)
        self._metres.setMinimumWidth(widest)
        self._degrees.setMinimumWidth(widest)
        self.height_edit.setMinimumWidth(widest + self.fontMetrics().height())

    def _on_edited(self) -> None:
        before = self._plan
        self._read()
        if self._plan != before:
            self.edited.emit()


def _slider(ends: tuple[float, float], steps: int) -> QSlider:
    slider = QSlider(Qt.Orientation.Horizontal)
    slider.setRange(round(ends[0] * steps), round(ends[1] * steps))
    slider.setPageStep(steps if steps > 1 else 5)
    return slider


def _beside(first: QWidget, second: QWidget, *, share: int = 1) -> QWidget:
    """Return two fields beside each other, the first so many times as wide."""
    together = QWidget()
    row = QHBoxLayout(together)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(6)
    row.addWidget(first, share)
    row.addWidget(second, 1)
    return together


def _with_value(slider: QSlider, value: QLabel) -> QWidget:
    """Return a slider with its value behind it, in a place of constant width."""
    value.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    return _beside(slider, value, share=3)
