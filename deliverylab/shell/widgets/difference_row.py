"""One ranked difference: both numbers, how far apart, and whether that is outside the margin."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.units import UnitSystem
from deliverylab.shell.drawing.verdict_shape import paint_verdict
from deliverylab.shell.theme import on_theme_changed, theme
from deliverylab.shell.value_text import (
    name_and_instant,
    number_and_margin,
    of_difference,
    of_result,
    verdict_shape,
    verdict_word,
)

EDGE = 10.0
LINE_GAP = 2.0


class DifferenceRow(QWidget):
    """A difference with its verdict; a click or Enter asks for its instant.

    Signals
    -------
    instant_wanted(str)
        Wish to see the frames of this event.
    """

    instant_wanted = Signal(str)

    def __init__(self, difference: Difference, system: UnitSystem) -> None:
        super().__init__()
        self.difference = difference
        self.system = system
        self._is_shown = False
        self._below: list[str] = []
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        if difference.event:
            self.setCursor(Qt.CursorShape.PointingHandCursor)
        on_theme_changed(self, self._on_theme_changed)
        self.show_difference(difference, system)

    def show_difference(self, difference: Difference, system: UnitSystem) -> None:
        """Show this difference from now on."""
        if self._is_shown and (difference, system) == (self.difference, self.system):
            return
        self._is_shown = True
        self.difference, self.system = difference, system
        number, margin = of_difference(difference, system)
        self._change, self._margin = number, margin
        self._word, self._shape = verdict_word(difference), verdict_shape(difference)
        a, b = (of_result(one, system) for one in (difference.a, difference.b))
        # the unit stands once, behind the second
        a_margin = " ".join(a[1].split()[:2])
        self._both = f"{a[0]} {a_margin}  against  {b[0]} {b[1]}"
        self._name = name_and_instant(difference.a)
        below = (means_text(difference, system), rank_text(difference))
        lines = [line for line in below if line]
        if len(lines) != len(self._below):
            self.updateGeometry()
        self._below = lines
        notes = (difference.yardstick_source, difference.reason, *difference.b.cautions)
        tips = [self._both, *lines, *notes]
        self.setToolTip("\n".join(tip for tip in tips if tip))
        said = "; ".join((f"{self._name}: {number} {margin}, {self._word}", self._both, *lines))
        if said != self.accessibleName():
            self.setAccessibleName(said)
        self.update()

    def _on_theme_changed(self) -> None:
        self._small, self._strong = QFont(self.font()), QFont(self.font())
        self._small.setPointSizeF(theme().point_size(0.9))
        self._strong.setPointSizeF(theme().point_size(1.25))
        self._strong.setWeight(QFont.Weight.DemiBold)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return the size that holds everything."""
        small, strong = QFontMetricsF(self._small), QFontMetricsF(self._strong)
        below = len(self._below) * (small.height() + LINE_GAP)
        return QSize(220, int(2 * small.height() + below + strong.height() + 2 * EDGE + 24))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Take a click."""
        if self.difference.event and self.rect().contains(event.position().toPoint()):
            self.instant_wanted.emit(self.difference.event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a key."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and self.difference.event:
            self.instant_wanted.emit(self.difference.event)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(look.colour("quiet"), 1) if self.hasFocus() else Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("raised"))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 7, 7)
        small, strong = QFontMetricsF(self._small), QFontMetricsF(self._strong)
        right = self.width() - EDGE
        base = EDGE + small.ascent() - 1
        painter.setFont(self._small)
        painter.setPen(look.colour("quiet"))
        self._elided(painter, small, self._name, base, right)
        base += small.descent() + strong.ascent() + 4
        size = strong.ascent() * 0.62
        centre = QPointF(right - size / 2, base - strong.ascent() * 0.36)
        paint_verdict(painter, self._shape, centre, size, look.colour("text"))
        painter.setPen(look.colour("text"))
        word_x = right - size - 7 - small.horizontalAdvance(self._word)
        painter.drawText(QPointF(word_x, base), self._word)
        painter.setFont(self._strong)
        painter.drawText(QPointF(EDGE, base), self._change)
        painter.setFont(self._small)
        painter.setPen(look.colour("quiet"))
        margin_x = EDGE + strong.horizontalAdvance(self._change) + 7
        room = max(0.0, word_x - 8 - margin_x)
        painter.drawText(
            QPointF(margin_x, base),
            small.elidedText(self._margin, Qt.TextElideMode.ElideRight, room),
        )
        base += strong.descent() + small.ascent() + 3
        self._elided(painter, small, self._both, base, right)
        for line in self._below:
            base += small.height() + LINE_GAP
            self._elided(painter, small, line, base, right)
        top = base + small.descent() + 4
        self._paint_bar(painter, QRectF(EDGE, top, right - EDGE, 14.0))
        painter.end()

    def _elided(
        self, painter: QPainter, metrics: QFontMetricsF, text: str, base: float, right: float
    ) -> None:
        room = max(0.0, right - EDGE)
        painter.drawText(
            QPointF(EDGE, base), metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
        )

    def _paint_bar(self, painter: QPainter, box: QRectF) -> None:
        """Paint the difference as a dot and the margin around zero as a band: outside is clear."""
        d, margin = self.difference.d, self.difference.expanded_u
        if d is None or margin is None:
            return
        look = theme()
        reach = 1.1 * max(abs(d), margin, 1e-12)
        middle = box.center()
        half = box.width() / 2
        band = half * margin / reach
        painter.setPen(Qt.PenStyle.NoPen)
        shade = look.colour("faint")
        shade.setAlphaF(0.55)
        painter.setBrush(shade)
        painter.drawRoundedRect(QRectF(middle.x() - band, middle.y() - 3, 2 * band, 6), 3, 3)
        painter.setPen(QPen(look.colour("faint"), 1))
        painter.drawLine(QPointF(box.left(), middle.y()), QPointF(box.right(), middle.y()))
        painter.drawLine(middle - QPointF(0, 5), middle + QPointF(0, 5))
        painter.setPen(Qt.PenStyle.NoPen)
        is_clear = self.difference.verdict == "clear"
        painter.setBrush(look.colour("throwing" if is_clear else "faint"))
        at = QPointF(middle.x() + half * d / reach, middle.y())
        painter.drawRect(QRectF(at.x() - 4, at.y() - 4, 8, 8))


def means_text(difference: Difference, system: UnitSystem) -> str:
    """Return of how many either value is the mean, and how far those spread; empty of single ones."""
    if difference.n_a <= 1 and difference.n_b <= 1:
        return ""
    result = difference.a
    spreads = [
        number_and_margin(spread, None, result.unit, result.decimals, system)[0].split()[0]
        for spread in (difference.spread_a, difference.spread_b)
    ]
    if difference.n_a <= 1:
        return f"one against the mean of {difference.n_b} · spread {spreads[1]}"
    if difference.n_b <= 1:
        return f"mean of {difference.n_a} against one · spread {spreads[0]}"
    return f"mean of {difference.n_a} and {difference.n_b} · spread {spreads[0]} and {spreads[1]}"


def rank_text(difference: Difference) -> str:
    """Return which rank a clear difference has, and what it is set against; else nothing."""
    if difference.rank is None or difference.d is None:
        return ""
    if not difference.yardstick:
        return f"No. {difference.rank}: no spread known to set it against"
    against = difference.yardstick_source.partition(",")[0].partition(" (")[0]
    ratio = abs(difference.d) / difference.yardstick
    return f"No. {difference.rank}: {ratio:.1f} × {against.replace('between', 'of')}"
