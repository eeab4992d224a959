"""The field as it was laid: its size, what lies beside the rubber, and each point's place and ±."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.field import FieldPoint, FieldSetUp, Place
from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.field import FIELDS
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.field_edits import (
    ADDITIONS,
    LAYOUT_NAMES,
    added,
    laid,
    layout_of,
    of_size,
    removed,
    with_place,
)
from deliverylab.shell.quantity_edit import QuantityEdit, as_text

OWN = "own points"
AXES = (
    ("Ahead", "ahead of the rubber's front edge, to the plate"),
    ("Left", "to the pitcher's left; a minus is to the right"),
    ("Up", "above the top of the rubber; a minus is below"),
)


class FieldForm(QWidget):
    """Ask how the field was laid.

    Signals
    -------
    edited(object)
        The field as it is filled in now, a `FieldSetUp`.
    """

    edited = Signal(object)

    def __init__(self, system: UnitSystem, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._system: UnitSystem = system
        self._field = FieldSetUp()
        self._shown_as: tuple[FieldSetUp, UnitSystem] | None = None
        self.field_size, self.laid, self.point = QComboBox(), QComboBox(), QComboBox()
        self.field_size.setAccessibleName("Size of the field")
        for one in FIELDS:
            self.field_size.addItem(one.name, one.key)
        self.laid.setAccessibleName("What is laid")
        for key, name in LAYOUT_NAMES.items():
            self.laid.addItem(name, key)
        self.point.setAccessibleName("Point")
        for box in (self.field_size, self.laid, self.point):
            # as wide as the panel, not as the longest entry
            box.setMinimumContentsLength(12)
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
        self.unfold = QPushButton("Places and ± …")
        self.unfold.setCheckable(True)
        self.places = [QuantityEdit("offset", system) for _ in AXES]
        self.margins = [QuantityEdit("length", system) for _ in AXES]
        self.add, self.remove = QPushButton("Add"), QPushButton("Remove")
        self._fold = QWidget()
        self._counts_from = text_label(role="small")
        self._lay_out()
        self.field_size.activated.connect(self._on_laid)
        self.laid.activated.connect(self._on_laid)
        self.point.activated.connect(self._show_point)
        self.unfold.toggled.connect(self._fold.setVisible)
        self.remove.clicked.connect(self._on_removed)
        for edit in (*self.places, *self.margins):
            edit.editingFinished.connect(self._on_place_edited)

    def _lay_out(self) -> None:
        menu = QMenu(self.add)
        for key, name in ADDITIONS.items():
            menu.addAction(name).triggered.connect(lambda _=False, one=key: self._on_added(one))
        self.add.setMenu(menu)
        grid = QGridLayout()
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(4)
        for line, ((name, meaning), place, margin) in enumerate(
            zip(AXES, self.places, self.margins, strict=True)
        ):
            label = QLabel(name)
            label.setToolTip(meaning)
            place.setToolTip(meaning)
            place.setAccessibleName(f"{name}: {meaning}")
            margin.setAccessibleName(f"± of {name.lower()}")
            margin.setToolTip("In 19 of 20 cases it is right within this; empty: nobody measured")
            for at, part in enumerate((label, place, QLabel("±"), margin)):
                grid.addWidget(part, line, at)
        grid.setColumnStretch(1, 3)
        grid.setColumnStretch(3, 2)
        buttons = QHBoxLayout()
        buttons.addWidget(self.add)
        buttons.addWidget(self.remove)
        buttons.addStretch(1)
        inside = QVBoxLayout(self._fold)
        inside.setContentsMargins(0, 2, 0, 0)
        inside.setSpacing(5)
        inside.addWidget(self.point)
        inside.addWidget(self._counts_from)
        inside.addLayout(grid)
        inside.addLayout(buttons)
        self._fold.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(5)
        for below in (self.field_size, self.laid, self.unfold, self._fold):
            column.addWidget(below)

    def show_field(self, field: FieldSetUp, system: UnitSystem) -> None:
        """Show a field in the reader's units; one that is shown already stays as it is typed."""
        if self._shown_as == (field, system):
            return
        self._shown_as = (field, system)
        self._field, self._system = field, system
        self.field_size.setCurrentIndex(self.field_size.findData(field.size))
        layout, own = layout_of(field), self.laid.findText(OWN)
        if not layout and own < 0:
            self.laid.addItem(OWN, "")
        elif layout and own >= 0:
            self.laid.removeItem(own)
        self.laid.setCurrentIndex(self.laid.findData(layout))
        chosen = self.point.currentData()
        self.point.clear()
        for number, point in enumerate(field.points, 1):
            self.point.addItem(f"{number}  {point.name}", point.key)
        self.point.setCurrentIndex(max(0, self.point.findData(chosen)))
        for edit in (*self.places, *self.margins):
            edit.set_units(system)
        self._show_point()

    def _shown(self) -> FieldPoint | None:
        key = self.point.currentData()
        return next((point for point in self._field.points if point.key == key), None)

    def _show_point(self, *_ignored: object) -> None:
        point = self._shown()
        for widget in (*self.places, *self.margins, self.remove):
            widget.setEnabled(point is not None)
        if point is None:
            return
        above = point.above and self._field.point(point.above).name
        tell(self._counts_from, f"Counted from: {above}" if above else "")
        for edit, value in zip(self.places, point.place_m, strict=True):
            edit.set_value(value)
        for edit, u_m in zip(self.margins, point.u_m, strict=True):
            edit.set_value(None if u_m is None else COVERAGE_FACTOR * u_m)

    def _on_laid(self, _index: int) -> None:
        layout = self.laid.currentData()
        if layout:
            self._tell(laid(self.field_size.currentData(), layout))
        else:
            self._tell(of_size(self._field, self.field_size.currentData()))

    def _on_place_edited(self) -> None:
        """Take what was typed and is not what stood there; the rest keeps its exact value."""
        point = self._shown()
        if point is None or any(edit.is_wrong for edit in (*self.places, *self.margins)):
            return
        place = [
            old if edit.text() == as_text(old, "offset", self._system) else edit.value
            for edit, old in zip(self.places, point.place_m, strict=True)
        ]
        u_m = []
        for edit, old in zip(self.margins, point.u_m, strict=True):
            shown = as_text(None if old is None else COVERAGE_FACTOR * old, "length", self._system)
            typed = edit.value
            u_m.append(old if edit.text() == shown else typed / COVERAGE_FACTOR if typed else None)
        known: Place = tuple(  # type: ignore[assignment]
            old if new is None else new for new, old in zip(place, point.place_m, strict=True)
        )
        self._tell(with_place(self._field, point.key, known, (u_m[0], u_m[1], u_m[2])))

    def _on_added(self, kind: str) -> None:
        field = added(self._field, kind)
        self._tell(field)
        self.unfold.setChecked(True)
        self.point.setCurrentIndex(self.point.count() - 1)
        self._show_point()

    def _on_removed(self) -> None:
        point = self._shown()
        if point is not None:
            self._tell(removed(self._field, point.key))

    def _tell(self, field: FieldSetUp) -> None:
        if field != self._field:
            self.edited.emit(field)
