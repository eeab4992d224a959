"""How one phone stood, as far as somebody knows: its zoom, whether it was levelled, its turn."""

from __future__ import annotations

from PySide6.QtCore import QLocale, Signal
from PySide6.QtWidgets import QCheckBox, QDoubleSpinBox, QGridLayout, QLabel, QWidget

from deliverylab.core.model.field import CameraStand
from deliverylab.shell.field_edits import stood
from deliverylab.shell.quantity_edit import QuantityEdit

LEVELLED_DEG = 1.0


class PhoneForm(QWidget):
    """Ask how a phone stood.

    Signals
    -------
    edited(object)
        The stand as it is filled in now, a `CameraStand`.
    """

    edited = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._stand = CameraStand()
        self.zoom = QDoubleSpinBox()
        # a decimal point everywhere, as in all that the window writes
        self.zoom.setLocale(QLocale.c())
        self.zoom.setRange(0.2, 50.0)
        self.zoom.setSingleStep(0.5)
        self.zoom.setDecimals(1)
        self.zoom.setSuffix(" ×")
        self.zoom.setAccessibleName("Zoom of the phone")
        self.zoom.setToolTip("1 is the main lens; 0.5 and 2 or 3 are usual others")
        self.level = QCheckBox("levelled")
        self.level.setToolTip("Somebody looked at a level: within a degree")
        self.turn = QuantityEdit("angle")
        self.turn.setAccessibleName("Turn from the view, anticlockwise from above")
        self.turn.setToolTip(
            "How far it was turned from its view, anticlockwise seen from above; 0 is square"
        )
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(5)
        grid.addWidget(QLabel("Zoom"), 0, 0)
        grid.addWidget(self.zoom, 0, 1)
        grid.addWidget(self.level, 0, 2)
        grid.addWidget(QLabel("Turned"), 1, 0)
        grid.addWidget(self.turn, 1, 1)
        grid.addWidget(QLabel("from its view"), 1, 2)
        grid.setColumnStretch(2, 1)
        self.zoom.editingFinished.connect(self._on_edited)
        self.level.clicked.connect(self._on_edited)
        self.turn.editingFinished.connect(self._on_edited)
        self.show_stand(self._stand)

    def show_stand(self, stand: CameraStand) -> None:
        """Show how a phone stood."""
        self._stand = stand
        if self.zoom.value() != stand.zoom:
            self.zoom.setValue(stand.zoom)
        self.level.setChecked(stand.u_level_deg is not None)
        if self.turn.value != stand.turn_deg:
            self.turn.set_value(stand.turn_deg)

    def _on_edited(self) -> None:
        """Tell what is filled in, where that is something else; what is wrong is kept to itself."""
        level_deg = None
        if self.level.isChecked():
            level_deg = self._stand.u_level_deg or LEVELLED_DEG
        turn_deg = self.turn.value
        if turn_deg is None or abs(turn_deg) > 180.0:
            turn_deg = self._stand.turn_deg
        # the field rounds what it shows: only what was typed is taken
        zoom = self.zoom.value()
        if abs(zoom - self._stand.zoom) < 0.05:
            zoom = self._stand.zoom
        stand = stood(self._stand, zoom=zoom, u_level_deg=level_deg, turn_deg=turn_deg)
        if stand != self._stand:
            self.edited.emit(stand)
