"""Parts of an uncertainty as lines, each on a bar as long as its share."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.core.metrics.spec import Result
from deliverylab.core.units import UnitSystem, format_part
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.shell.theme import on_theme_changed, theme

N_LARGEST = 5
_ROW_GAP = 3.0
_BAR_ALPHA = 84


class BudgetLine(NamedTuple):
    """One part: what it is, its share of u² from 0 to 1, and how much of the ± it makes alone."""

    name: str
    share: float
    amount: str = ""


def budget_lines(result: Result, system: UnitSystem) -> tuple[BudgetLine, ...]:
    """Return the largest parts of a result's u, and all the others as one."""
    lines = []
    for part, share in zip(result.budget, result.variance_shares, strict=True):
        is_elsewhere = part.landmark and part.event not in {"", result.event}
        at = f" at {EVENTS[part.event].name}" if is_elsewhere else ""
        amount = format_part(result.coverage_factor * part.u, result.unit, result.decimals, system)
        lines.append(BudgetLine(part.name + at, share, amount))
    rest = lines[N_LARGEST:]
    if len(rest) > 1:
        share = sum(line.share for line in rest)
        return (*lines[:N_LARGEST], BudgetLine(f"{len(rest)} others together", share))
    return tuple(lines)


class BudgetBars(QWidget):
    """Painted lines of a budget, the largest first."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines: tuple[BudgetLine, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        on_theme_changed(self, self._on_theme_changed)

    @property
    def lines(self) -> tuple[BudgetLine, ...]:
        """What is shown."""
        return self._lines

    def show_lines(self, lines: Sequence[BudgetLine]) -> None:
        """Show these lines."""
        self._lines = tuple(lines)
        said = "; ".join(
            f"{line.name} {_percent(line.share)}{line.amount and f', ± {line.amount} alone'}"
            for line in lines
        )
        self.setAccessibleName(f"The ± comes from: {said}")
        self.setToolTip(said.replace("; ", "\n"))
        self.updateGeometry()
        self.update()

    def _on_theme_changed(self) -> None:
        font = QFont()
        font.setPointSizeF(theme().point_size(0.88))
        self._type = font
        self.updateGeometry()
        self.update()

    def _row_height(self) -> float:
        return QFontMetricsF(self._type).height() + 4.0

    def sizeHint(self) -> QSize:
        """Return the room that all lines take."""
        return QSize(200, round(len(self._lines) * (self._row_height() + _ROW_GAP)))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._type)
        metrics, height = QFontMetricsF(self._type), self._row_height()
        look, width = theme(), float(self.width())
        for number, line in enumerate(self._lines):
            top = number * (height + _ROW_GAP)
            bar = QRectF(0.0, top, width, height)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(look.colour("raised"))
            painter.drawRoundedRect(bar, 3.0, 3.0)
            bar.setWidth(max(3.0, min(line.share, 1.0) * width))
            ink = look.colour("quiet")
            ink.setAlpha(_BAR_ALPHA)
            painter.setBrush(ink)
            painter.drawRoundedRect(bar, 3.0, 3.0)
            base = top + 2.0 + metrics.ascent()
            share = _percent(line.share)
            left = width - 7.0 - metrics.horizontalAdvance(share)
            painter.setPen(look.colour("text"))
            painter.drawText(QPointF(left, base), share)
            room = left - 7.0 - 8.0
            name = metrics.elidedText(line.name, Qt.TextElideMode.ElideRight, room)
            painter.drawText(QPointF(7.0, base), name)
        painter.end()


def _percent(share: float) -> str:
    percent = round(100.0 * share)
    return f"{percent} %" if percent else "< 1 %"
