"""One reading: name, number large, margin small, and what differs from the partner."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.spec import Result
from deliverylab.core.units import UnitSystem
from deliverylab.shell.drawing.reading_detail import ReadingDetail
from deliverylab.shell.drawing.verdict_shape import paint_verdict
from deliverylab.shell.theme import on_theme_changed, theme
from deliverylab.shell.value_text import (
    name_under_heading,
    of_difference,
    of_result,
    verdict_shape,
    verdict_word,
)


class _Face(QWidget):
    """The painted part of a reading."""

    pressed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.name = self.number = self.margin = ""
        self.change = self.change_margin = self.word = self.shape = ""
        self.is_estimated = False
        self._seen: object = None
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        on_theme_changed(self, self._on_theme_changed)

    def _on_theme_changed(self) -> None:
        self._small, self._large = QFont(self.font()), QFont(self.font())
        self._small.setPointSizeF(theme().point_size(0.9))
        self._large.setPointSizeF(theme().point_size(1.45))
        self._large.setWeight(QFont.Weight.DemiBold)
        self._plain = QFont(self.font())
        self._plain.setPointSizeF(theme().point_size(1.05))
        self.updateGeometry()
        self.update()

    def update_if_other(self) -> None:
        """Paint anew only if something else is written now."""
        change = (self.change, self.change_margin, self.word, self.shape)
        seen = (self.name, self.number, self.margin, self.is_estimated, change)
        if seen != self._seen:
            self._seen = seen
            self.update()

    def sizeHint(self) -> QSize:
        """Return the size that holds everything."""
        small, large = QFontMetricsF(self._small), QFontMetricsF(self._large)
        return QSize(220, int(small.height() + large.height() + 12))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Take a click."""
        if self.rect().contains(event.position().toPoint()):
            self.pressed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a key."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space}:
            self.pressed.emit()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        small, large = QFontMetricsF(self._small), QFontMetricsF(self._large)
        width = float(self.width())
        if self.underMouse() or self.hasFocus():
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(look.colour("raised"))
            painter.drawRoundedRect(QRectF(0, 1, width, self.height() - 2), 5, 5)
        left, right = 8.0, width - 8.0
        top = 4.0 + small.ascent()
        base = 4.0 + small.height() + large.ascent() + 1
        shape_size = large.ascent() * 0.55
        change_left = right
        # the shape says it too: where there is no room for both, the name goes before "within ±"
        needed = small.horizontalAdvance(self.name) + small.horizontalAdvance(self.word) + 14
        is_clear = self.shape in {"above", "below"}
        word = self.word if is_clear or needed <= right - left else ""
        if self.shape:
            change_left = self._paint_change(painter, right, top, base, shape_size, word)
        painter.setFont(self._small)
        painter.setPen(look.colour("quiet"))
        room = (right - small.horizontalAdvance(word) - 14) if word else right
        painter.drawText(
            QPointF(left, top),
            small.elidedText(self.name, Qt.TextElideMode.ElideRight, room - left),
        )
        painter.setFont(self._large)
        # what is estimated never stands there like what is measured: in sign, in word, in ink
        painter.setPen(look.colour("quiet" if self.is_estimated else "text"))
        number = f"≈ {self.number}" if self.is_estimated else self.number
        painter.drawText(QPointF(left, base), number)
        x = left + large.horizontalAdvance(number) + 7
        painter.setFont(self._small)
        painter.setPen(look.colour("quiet"))
        painter.drawText(
            QPointF(x, base),
            small.elidedText(self.margin, Qt.TextElideMode.ElideRight, max(0, change_left - x - 4)),
        )
        painter.end()

    def _paint_change(
        self, painter: QPainter, right: float, top: float, base: float, size: float, word: str
    ) -> float:
        look = theme()
        is_clear = self.shape in {"above", "below"}
        ink = look.colour("text" if is_clear else "faint")
        small, plain = QFontMetricsF(self._small), QFontMetricsF(self._plain)
        centre = QPointF(right - size / 2, base - plain.ascent() * 0.38)
        paint_verdict(painter, self.shape, centre, size, ink)
        painter.setFont(self._small)
        painter.setPen(look.colour("text" if is_clear else "quiet"))
        painter.drawText(QPointF(right - small.horizontalAdvance(word), top), word)
        painter.setFont(self._plain)
        painter.setPen(look.colour("text" if is_clear else "quiet"))
        x = right - size - 7 - plain.horizontalAdvance(self.change)
        painter.drawText(QPointF(x, base), self.change)
        return x


class ReadingRow(QWidget):
    """A reading with its explanation, which a click or Enter unfolds.

    Signals
    -------
    instant_wanted(str)
        Wish to see the frame of this event.
    act_wanted(RemedyAct)
        Wish to make the largest part of the ± smaller.
    check_wanted()
        Wish to check the ± by simulation.
    """

    instant_wanted = Signal(str)
    act_wanted = Signal(object)
    check_wanted = Signal()

    def __init__(self, result: Result, meaning: str = "", limit: str = "") -> None:
        super().__init__()
        self.result = result
        self._meaning, self._limit = meaning, limit
        self._system: UnitSystem = "metric"
        self._face = _Face()
        self._detail: ReadingDetail | None = None
        self._note: QLabel | None = None
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self._rule = Rule()
        self._rule.hide()
        column.addWidget(self._rule)
        column.addWidget(self._face)
        self._face.pressed.connect(self.toggle)
        self._face.setToolTip("Click for what it means and where its ± comes from")

    def set_ruled(self, is_ruled: bool) -> None:
        """Draw a hairline above it, or not."""
        self._rule.setVisible(is_ruled)

    def set_note(self, text: str, level: str) -> None:
        """Say something below the number, always in sight: ``good``, ``note`` or ``caution``."""
        if self._note is None:
            if not text:
                return
            self._note = QLabel()
            self._note.setWordWrap(True)
            self._note.setTextFormat(Qt.TextFormat.PlainText)
            self._note.setContentsMargins(8, 0, 8, 6)
            self._column.insertWidget(2, self._note)
        role = "small" if level == "note" else level
        if (self._note.text(), self._note.property("role")) != (text, role):
            self._note.setText(text)
            self._note.setProperty("role", role)
            self._note.style().unpolish(self._note)
            self._note.style().polish(self._note)
            self._note.setVisible(bool(text))

    @property
    def is_open(self) -> bool:
        """Whether the explanation is unfolded."""
        return self._detail is not None and not self._detail.isHidden()

    def show_result(
        self, result: Result, difference: Difference | None, system: UnitSystem
    ) -> None:
        """Show a result of the same metric, beside its difference from the partner's."""
        is_changed = result is not self.result or system != self._system
        self.result, self._system = result, system
        face = self._face
        face.name = name_under_heading(result)
        face.number, face.margin = of_result(result, system)
        face.is_estimated = result.status == "estimated"
        if face.is_estimated:
            face.margin = f"{face.margin}, estimated".removeprefix(", ")
        said = f"{face.name}: {face.number} {face.margin}"
        if difference is not None:
            face.shape, face.word = verdict_shape(difference), verdict_word(difference)
            face.change, face.change_margin = of_difference(difference, system)
            if difference.verdict == "not_comparable":
                face.change = ""
            said += f"; difference {face.change} {face.change_margin}, {face.word}"
        else:
            face.shape = face.word = face.change = ""
        if face.accessibleName() != said:
            face.setAccessibleName(said)
        face.update_if_other()
        if self.is_open and is_changed:
            self._fill()

    def toggle(self) -> None:
        """Unfold or fold the explanation."""
        if self._detail is None:
            self._detail = ReadingDetail(self._meaning, self._limit)
            self._detail.instant_wanted.connect(lambda: self.instant_wanted.emit(self.result.event))
            self._detail.act_wanted.connect(self.act_wanted)
            self._detail.check_wanted.connect(self.check_wanted)
            self._column.addWidget(self._detail)
            self._fill()
            self._detail.show()
        else:
            self._detail.setVisible(self._detail.isHidden())
            self._fill()

    def show_check(self, html: str) -> None:
        """Show what a check by simulation gave, or that it is under way."""
        if self._detail is not None:
            self._detail.show_check(html)

    def _fill(self) -> None:
        if self._detail is not None:
            self._detail.show_result(self.result, self._system)


class Rule(QWidget):
    """A hairline between readings."""

    def __init__(self) -> None:
        super().__init__()
        self.setFixedHeight(1)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        painter = QPainter(self)
        painter.setPen(QPen(theme().colour("line"), 1))
        painter.drawLine(8, 0, self.width() - 8, 0)
        painter.end()
