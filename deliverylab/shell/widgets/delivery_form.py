"""Who threw, when, and how it was filmed: the questions that no clip answers itself."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QWidget,
)

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.balls import BALLS
from deliverylab.core.vocabulary.views import BY_KEY, VIEWS
from deliverylab.shell.quantity_edit import QuantityEdit

RATES_HZ = (60, 120, 240, 480, 960)
MASS_TABLES = (
    ("de Leva: living young adults", "de_leva"),
    ("Dempster, by Winter: eight men", "dempster"),
)
WEIGHING = "make the centre of mass; Dempster's, to compare with work that used them"


class DeliveryForm(QWidget):
    """Fields for a delivery and its camera.

    Parameters
    ----------
    known : tuple of Athlete
        Athletes of the project; choosing one fills the rest in.
    system : {"metric", "imperial"}
        The reader's units.

    Signals
    -------
    edited()
        Something is filled in differently.
    """

    edited = Signal()

    def __init__(
        self,
        known: tuple[Athlete, ...],
        system: UnitSystem,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._known = {athlete.name: athlete for athlete in known}
        self.body_height = QuantityEdit("length", system)
        self.body_mass = QuantityEdit("mass", system)
        self.speed = QuantityEdit("speed", system)
        self.athlete_name = QComboBox()
        self.athlete_name.setEditable(True)
        self.athlete_name.addItems(list(self._known))
        self.athlete_name.setCurrentText("")
        self.delivery_name, self.date, self.camera_name = QLineEdit(), QLineEdit(), QLineEdit()
        self.camera_name.setPlaceholderText("a short name, like the view")
        self.date.setPlaceholderText("2026-03-14")
        self.hand = _Choice((("right", "right"), ("left", "left")))
        self.sex = QComboBox()
        for text, key in (("not said", None), ("female", "female"), ("male", "male")):
            self.sex.addItem(text, key)
        self.mass_table = QComboBox()
        for text, table in MASS_TABLES:
            self.mass_table.addItem(text, table)
        self._weighing = QLabel(WEIGHING)
        self.ball = QComboBox()
        for kind in BALLS:
            self.ball.addItem(kind.name, kind.key)
        self.view = QComboBox()
        for view in VIEWS:
            self.view.addItem(view.name, view.key)
        self._standing = QLabel()
        for said in (self._standing, self._weighing):
            said.setProperty("role", "small")
            said.setWordWrap(True)
        self.rate = QComboBox()
        self.rate.setEditable(True)
        self.rate.addItem("as stored")
        self.rate.addItems([str(rate_hz) for rate_hz in RATES_HZ])
        is_metric = system == "metric"
        self.body_height.setPlaceholderText("1.86 m" if is_metric else "6 ft 1 in")
        self.body_mass.setPlaceholderText("optional")
        self.speed.setPlaceholderText("by radar, optional")
        self._lay_out()
        self._connect()
        self._on_view_changed()

    def _lay_out(self) -> None:
        form = self._form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setHorizontalSpacing(16)
        form.setVerticalSpacing(9)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self._body = QWidget()
        body = QHBoxLayout(self._body)
        body.setContentsMargins(0, 0, 0, 0)
        body.setSpacing(8)
        body.addWidget(self.body_height, 2)
        body.addWidget(QLabel("mass"))
        body.addWidget(self.body_mass, 2)
        body.addWidget(self.sex, 1)
        self._thrown = QWidget()
        thrown = QHBoxLayout(self._thrown)
        thrown.setContentsMargins(0, 0, 0, 0)
        thrown.setSpacing(8)
        thrown.addWidget(self.speed, 3)
        thrown.addWidget(self.ball, 2)
        form.addRow("Athlete", self.athlete_name)
        form.addRow("Throws", self.hand)
        form.addRow("Height", self._body)
        form.addRow("Segment weights", self.mass_table)
        form.addRow("", self._weighing)
        form.addRow("Filmed from", self.view)
        form.addRow("", self._standing)
        form.addRow("Captured at", self.rate)
        form.addRow("Ball speed", self._thrown)
        form.addRow("Day", self.date)
        form.addRow("Delivery's name", self.delivery_name)
        form.addRow("Camera's name", self.camera_name)

    def _connect(self) -> None:
        self.athlete_name.currentTextChanged.connect(self._on_name_changed)
        self.view.currentIndexChanged.connect(self._on_view_changed)
        named = (self.delivery_name, self.camera_name, self.date)
        for edit in (*named, self.body_height, self.body_mass, self.speed):
            edit.textChanged.connect(self.edited)
        self.rate.currentTextChanged.connect(self.edited)
        self.hand.chosen.connect(self.edited)
        for box in (self.sex, self.mass_table, self.ball):
            box.currentIndexChanged.connect(self.edited)

    def ask_about(self, *, delivery: bool, camera_name: bool, weights: bool = False) -> None:
        """Ask about the throw and who threw, or only about the camera; by what name, or not.

        The table of segment `weights` is a matter of correcting: a new delivery has the usual one,
        or that of its athlete.
        """
        for field in (
            self.athlete_name,
            self.hand,
            self._body,
            self._thrown,
            self.date,
            self.delivery_name,
        ):
            self._form.setRowVisible(field, delivery)
        for field in (self.mass_table, self._weighing):
            self._form.setRowVisible(field, weights)
        self._form.setRowVisible(self.camera_name, camera_name)

    def show_athlete(self, athlete: Athlete) -> None:
        """Fill in who threw."""
        self.athlete_name.setCurrentText(athlete.name)
        self.hand.choose(athlete.hand)
        self.body_height.set_value(athlete.height_m)
        self.body_mass.set_value(athlete.mass_kg)
        self.sex.setCurrentIndex(max(0, self.sex.findData(athlete.sex)))
        self.mass_table.setCurrentIndex(self.mass_table.findData(athlete.mass_table))

    def athlete(self, known: Athlete | None) -> Athlete:
        """Return who threw, as filled in; what is not asked for is taken from what is `known`.

        Raises
        ------
        DeliveryLabError
            A value that cannot be true.
        """
        return Athlete(
            name=self.athlete_name.currentText().strip(),
            hand="left" if self.hand.value == "left" else "right",
            height_m=self.body_height.value,
            mass_kg=self.body_mass.value,
            sex=self.sex.currentData(),
            mass_table=self.mass_table.currentData(),
            birth_year=known.birth_year if known else None,
            u_height_m=known.u_height_m if known else 0.01,
        )

    @property
    def is_wrong(self) -> bool:
        """Whether a field holds what it cannot mean."""
        return any(edit.is_wrong for edit in (self.body_height, self.body_mass, self.speed))

    @property
    def capture_rate_hz(self) -> float | None:
        """The true rate typed in, frames a second; None for as stored.

        Raises
        ------
        ValueError
            Not a number.
        """
        text = self.rate.currentText().strip().replace(",", ".")
        return None if text in {"", "as stored"} else float(text)

    def _on_name_changed(self, name: str) -> None:
        athlete = self._known.get(name)
        if athlete is not None:
            self.show_athlete(athlete)
        self.edited.emit()

    def _on_view_changed(self) -> None:
        self._standing.setText(f"camera {BY_KEY[self.view.currentData()].standing}")
        self.edited.emit()


class _Choice(QWidget):
    """A few words of which one is chosen."""

    chosen = Signal(str)

    def __init__(self, options: tuple[tuple[str, str], ...]) -> None:
        super().__init__()
        self._group = QButtonGroup(self)
        self._buttons: dict[str, QPushButton] = {}
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        for key, text in options:
            button = QPushButton(text)
            button.setCheckable(True)
            button.setAutoDefault(False)
            button.setProperty("role", "choice")
            button.clicked.connect(lambda _=False, one=key: self.chosen.emit(one))
            self._group.addButton(button)
            self._buttons[key] = button
            row.addWidget(button)
        row.addStretch(1)
        self._buttons[options[0][0]].setChecked(True)

    @property
    def value(self) -> str:
        """The chosen key."""
        return next(key for key, button in self._buttons.items() if button.isChecked())

    def choose(self, key: str) -> None:
        """Choose a key."""
        self._buttons[key].setChecked(True)
