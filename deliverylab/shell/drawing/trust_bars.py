"""What a set-up would make of each metric: expected error and ± as bars up to the limit of use."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.core.units import UnitSystem, format_number, format_part, format_value, shown_unit
from deliverylab.shell.set_up_plan import Expectation
from deliverylab.shell.theme import on_theme_changed, theme

HEADS = ("", "± up to its limit", "error", "±", "limited most by")
WIDEST = ("0.0000", "± 00.00 % of height")
"""Text that the columns of numbers must hold."""
SHARES = (0.46, 0.25, 0.29)
"""Shares of what is left: name, bars, what limits it."""
GAP = 14.0
STALE_OPACITY = 0.45
MOSTLY = 0.95
"""What is shown in fewer deliveries says so."""


def columns(width: float, metrics: QFontMetricsF) -> list[tuple[float, float]]:
    """Return left and width of each column: name, bars, error, ±, what limits it."""
    numbers_px = [metrics.horizontalAdvance(text) + GAP for text in WIDEST]
    rest = max(0.0, width - 20.0 - sum(numbers_px))
    name, bars, limited = (share * rest for share in SHARES)
    left, found = 10.0, []
    for room in (name, bars, *numbers_px, limited):
        found.append((left, room - GAP))
        left += room
    return found


class _TableLine(QWidget):
    """A painted line in the table's columns."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        on_theme_changed(self, self._on_theme_changed)

    def _on_theme_changed(self) -> None:
        self._type = QFont()
        self._type.setPointSizeF(theme().point_size(0.95))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return the size of one line."""
        return QSize(480, round(QFontMetricsF(self._type).height() + 9.0))

    def _put(self, painter: QPainter, text: str, column: tuple[float, float], ink: QColor) -> None:
        metrics = QFontMetricsF(self._type)
        base = 0.5 * (self.height() - metrics.height()) + metrics.ascent()
        painter.setPen(ink)
        shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, column[1])
        painter.drawText(QPointF(column[0], base), shown)


class TrustHead(_TableLine):
    """Names of the columns."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        painter = QPainter(self)
        painter.setFont(self._type)
        places = columns(self.width(), QFontMetricsF(self._type))
        for text, column in zip(HEADS, places, strict=True):
            self._put(painter, text, column, theme().colour("quiet"))
        painter.end()


class TrustBar(_TableLine):
    """One metric of a set-up that would be shown."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._one: Expectation | None = None
        self._system: UnitSystem = "metric"
        self._is_stale = False

    def show_expectation(self, one: Expectation, system: UnitSystem) -> None:
        """Show what is to be expected of a metric."""
        self._one, self._system = one, system
        error, margin = numbers(one, system)
        said = f"{one.name} {one.when}: expected error {error}, ± {margin}"
        limit = format_value(one.limit, None, one.unit, one.decimals, system)
        self.setAccessibleName(said)
        tip = f"{said}\nuseful up to ± {limit}; limited most by: {one.limited_by}"
        if one.n_shown < one.n:
            tip += f"\nshown in {one.n_shown} of {one.n}; else: {one.reason}; {one.remedy}"
        self.setToolTip(tip)
        self.update()

    def set_stale(self, is_stale: bool) -> None:
        """Say whether this is of another set-up than the one asked about now."""
        if is_stale != self._is_stale:
            self._is_stale = is_stale
            self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        if self._one is None:
            return
        one, look = self._one, theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._type)
        painter.setOpacity(STALE_OPACITY if self._is_stale else 1.0)
        name, bars, off, sure, limited = columns(self.width(), QFontMetricsF(self._type))
        self._put(painter, f"{one.name} {one.when}", name, look.colour("text"))
        self._paint_bars(painter, one, bars)
        error, margin = numbers(one, self._system)
        self._put(painter, error, off, look.colour("quiet"))
        self._put(painter, f"± {margin}", sure, look.colour("text"))
        share = one.n_shown / one.n
        seldom = f" · shown in {100.0 * share:.0f} %" if share < MOSTLY else ""
        self._put(painter, one.limited_by + seldom, limited, look.colour("quiet"))
        painter.end()

    def _paint_bars(self, painter: QPainter, one: Expectation, column: tuple[float, float]) -> None:
        """Paint the ± as a broad bar and the error as a slim one; the track ends at the limit."""
        look, (left, width) = theme(), column
        middle, height = 0.5 * self.height(), 10.0
        track = QRectF(left, middle - height / 2, width, height)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("line"))
        painter.drawRoundedRect(track, 3.0, 3.0)
        broad = QRectF(track)
        broad.setWidth(max(3.0, width * min(1.0, one.margin / one.limit)))
        ink = look.colour("quiet")
        painter.setBrush(ink)
        painter.drawRoundedRect(broad, 3.0, 3.0)
        slim = QRectF(left, middle - 2.0, max(3.0, width * min(1.0, one.error / one.limit)), 4.0)
        painter.setBrush(look.colour("pane"))
        painter.drawRoundedRect(slim, 2.0, 2.0)
        painter.setPen(QPen(look.colour("text"), 1.4))
        painter.drawLine(
            QPointF(track.right(), track.top() - 2), QPointF(track.right(), track.bottom() + 2)
        )


def numbers(one: Expectation, system: UnitSystem) -> tuple[str, str]:
    """Return expected error and ±, with the unit behind the second."""
    shown = shown_unit(one.unit, system)
    places = max(0, one.decimals + shown.extra_decimals) + 1
    error = format_number(one.error * shown.factor, places)
    return error, format_part(one.margin, one.unit, one.decimals, system)
