"""A field for a length, a mass, a speed or an angle, in the units of whoever types."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLineEdit, QWidget

from deliverylab.core.units import INCH_M, MPH_M_S, UnitSystem, parse_length_m

Quantity = Literal["length", "offset", "mass", "speed", "angle"]
POUND_KG = 0.45359237
"""One pound in kilograms (exact)."""


def parse(text: str, quantity: Quantity, system: UnitSystem) -> float:
    """Return a typed quantity in SI: metres, kilograms, metres a second; angles in degrees.

    Parameters
    ----------
    text : str
        A number with a unit, or without one in the reader's own.
    quantity, system : str
        What it is, and the reader's units; an offset is a length that may lie on the other side.

    Raises
    ------
    ValueError
        Not a quantity of that kind.
    """
    cleaned = text.strip().lower().replace(",", ".").replace("\u2212", "-")
    if quantity == "angle":
        return float(cleaned.removesuffix("deg").removesuffix("°"))
    is_imperial = system == "imperial"
    if quantity == "offset":
        sign = -1.0 if cleaned.startswith("-") else 1.0
        return sign * parse(cleaned.removeprefix("-"), "length", system)
    if quantity == "length":
        is_bare = cleaned.replace(".", "", 1).isdigit()
        if is_bare and is_imperial:
            return float(cleaned) * INCH_M
        if is_bare and float(cleaned) > 30.0:
            return float(cleaned) * 0.01  # nobody is 186 metres tall: centimetres are meant
        return parse_length_m(cleaned)
    units = (
        {"kg": 1.0, "lb": POUND_KG, "lbs": POUND_KG}
        if quantity == "mass"
        else {"mph": MPH_M_S, "km/h": 1 / 3.6, "m/s": 1.0}
    )
    default = {"mass": "lb", "speed": "mph"} if is_imperial else {"mass": "kg", "speed": "m/s"}
    for unit, factor in units.items():
        if cleaned.endswith(unit):
            return float(cleaned.removesuffix(unit)) * factor
    return float(cleaned) * units[default[quantity]]


def as_text(value: float | None, quantity: Quantity, system: UnitSystem) -> str:
    """Return a quantity as a person would type it: ``1.86 m``, ``6 ft 1 in``, ``82 kg``."""
    if value is None:
        return ""
    if quantity == "angle":
        return f"{value:.1f}°"
    if quantity == "offset":
        return f"{'-' if value < 0.0 else ''}{as_text(abs(value), 'length', system)}"
    if quantity == "length":
        if system == "metric":
            return f"{value:.4g} m"
        inches = round(value / INCH_M, 1)
        if inches < 36:
            return f"{inches:g} in"
        return f"{int(inches // 12)} ft {inches % 12:g} in"
    if quantity == "mass":
        return f"{value:.4g} kg" if system == "metric" else f"{value / POUND_KG:.4g} lb"
    return f"{value:.4g} m/s" if system == "metric" else f"{value / MPH_M_S:.4g} mph"


class QuantityEdit(QLineEdit):
    """A line in which a quantity is typed; it turns red at what it does not understand.

    Signals
    -------
    value_changed()
        What is typed means another value now, or none.
    """

    value_changed = Signal()

    def __init__(
        self,
        quantity: Quantity = "length",
        system: UnitSystem = "metric",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._quantity: Quantity = quantity
        self._system: UnitSystem = system
        self.textChanged.connect(self._on_text_changed)

    @property
    def value(self) -> float | None:
        """SI value; None when empty or not understood."""
        try:
            return parse(self.text(), self._quantity, self._system) if self.text().strip() else None
        except ValueError:
            return None

    @property
    def is_wrong(self) -> bool:
        """Whether there is text that is no such quantity."""
        return bool(self.text().strip()) and self.value is None

    def set_units(self, system: UnitSystem) -> None:
        """Read and write in these units from now on."""
        self._system = system

    def set_value(self, value: float | None) -> None:
        """Show a value in the reader's units."""
        self.setText(as_text(value, self._quantity, self._system))

    def _on_text_changed(self) -> None:
        state = "wrong" if self.is_wrong else ""
        if self.property("state") != state:
            self.setProperty("state", state)
            self.style().unpolish(self)
            self.style().polish(self)
        self.value_changed.emit()
