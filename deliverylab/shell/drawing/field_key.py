"""Which point of the field is meant: the field from above, as the pitcher faces the plate."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.core.vocabulary.field import FieldSize
from deliverylab.shell.theme import on_theme_changed, theme

RUBBER_GROWS = 2.3
"""Times the rubber is drawn larger, so that its corners can be told apart."""
PLATE_GROWS, PLATE_AT_M = 1.6, 2.9
AHEAD_M, BEHIND_M, BESIDE_M = 3.5, 1.9, 1.9
POLE_LEANS = QPointF(7.0, -20.0)
UNKNOWN_AT_M = (1.2, -1.4)
DOT, ASKED = 4.0, 8.0


@dataclass(frozen=True, kw_only=True)
class KeyPoint:
    """A point of the drawing.

    Attributes
    ----------
    kind : str
        As the field has it.
    x_m, y_m : float
        Ahead of the rubber, and to the pitcher's left.
    number : int
    is_clicked, is_known : bool
        Whether it is clicked in the picture shown; whether anything is known of its place.
    """

    kind: str
    x_m: float
    y_m: float
    number: int
    is_clicked: bool = False
    is_known: bool = True


class FieldKey(QWidget):
    """A small drawing, not to scale, that rings the point that is asked for."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._points: Mapping[str, KeyPoint] = {}
        self._asked = ""
        self._size: FieldSize | None = None
        self._looks_along_deg: float | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        on_theme_changed(self, self._on_theme_changed)

    def sizeHint(self) -> QSize:
        """Return a size that grows with the type."""
        return QSize(240, round(17.5 * theme().point_size()))

    def show_points(
        self,
        points: Mapping[str, KeyPoint],
        asked: str,
        size: FieldSize,
        looks_along_deg: float | None,
    ) -> None:
        """Show a field's points, the one asked for, and from where the phone looks."""
        self._points, self._asked = points, asked
        self._size, self._looks_along_deg = size, looks_along_deg
        self.setAccessibleName(
            "Drawing of the field" + (f": point {points[asked].number} is meant" if asked else "")
        )
        self.update()

    # ---------------------------------------------------------------------------------- places

    def _scale(self) -> float:
        return min(
            (self.height() - 8.0) / (AHEAD_M + BEHIND_M), (self.width() - 8.0) / (2 * BESIDE_M)
        )

    def _at(self, x_m: float, y_m: float) -> QPointF:
        """Return the place of a place on the field: the plate lies above, left is left."""
        scale = self._scale()
        return QPointF(self.width() / 2 - scale * y_m, 4.0 + scale * (AHEAD_M - x_m))

    def place(self, point: KeyPoint) -> QPointF:
        """Return where a point is drawn, px of the widget."""
        if not point.is_known and point.kind != "pole":
            return self._at(*UNKNOWN_AT_M)
        if point.kind == "rubber":
            return self._at(RUBBER_GROWS * point.x_m, RUBBER_GROWS * point.y_m)
        if point.kind == "plate" and self._size is not None:
            ahead = PLATE_AT_M + PLATE_GROWS * (point.x_m - self._size.pitching_distance_m)
            return self._at(ahead, PLATE_GROWS * point.y_m)
        x_m, y_m = (point.x_m, point.y_m) if point.is_known else UNKNOWN_AT_M
        x_m = min(max(x_m, 0.2 - BEHIND_M), AHEAD_M - 0.4)
        y_m = min(max(y_m, 0.2 - BESIDE_M), BESIDE_M - 0.2)
        return self._at(x_m, y_m) + (POLE_LEANS if point.kind == "pole" else QPointF())

    # -------------------------------------------------------------------------------- painting

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        whole = QPainterPath()
        whole.addRoundedRect(QRectF(self.rect()), 7.0, 7.0)
        painter.fillPath(whole, theme().colour("raised"))
        font = QFont(self.font())
        font.setPointSizeF(theme().point_size(0.85))
        painter.setFont(font)
        self._paint_ground(painter)
        self._paint_phone(painter)
        for key, point in self._points.items():
            if key != self._asked:
                self._paint_point(painter, point)
        if self._asked in self._points:
            self._paint_asked(painter, self._points[self._asked])
        painter.end()

    def _paint_ground(self, painter: QPainter) -> None:
        look, size = theme(), self._size
        if size is None:
            return
        half, depth = 0.5 * size.rubber_width_m, size.rubber_depth_m
        corners = [(0.0, half), (0.0, -half), (-depth, -half), (-depth, half)]
        painter.setPen(QPen(look.colour("quiet"), 1.2))
        painter.setBrush(look.colour("pane"))
        painter.drawPolygon(
            QPolygonF([self._at(RUBBER_GROWS * x, RUBBER_GROWS * y) for x, y in corners])
        )
        pen = QPen(look.colour("faint"), 1.0)
        pen.setDashPattern([4.0, 4.0])
        painter.setPen(pen)
        top = 6.0 + painter.fontMetrics().height()
        front = self._at(0.1, 0.0)
        painter.drawLine(QLineF(front, QPointF(front.x(), top + 6.0)))
        painter.setPen(look.colour("quiet"))
        words = QRectF(0.0, 4.0, self.width(), painter.fontMetrics().height())
        painter.drawText(words, Qt.AlignmentFlag.AlignCenter, "to the plate ↑")
        middle = self._at(-0.5 * depth * RUBBER_GROWS, 0.0).y()
        line = painter.fontMetrics().height()
        for text, side in (
            ("pitcher's left", Qt.AlignmentFlag.AlignLeft),
            ("pitcher's right", Qt.AlignmentFlag.AlignRight),
        ):
            room = QRectF(8.0, middle + 0.4 * self._scale(), self.width() - 16.0, line)
            painter.drawText(room, side | Qt.AlignmentFlag.AlignVCenter, text)

    def _paint_phone(self, painter: QPainter) -> None:
        """Paint at the edge from where the picture was taken."""
        if self._looks_along_deg is None:
            return
        turn = math.radians(self._looks_along_deg)
        along = QPointF(-math.sin(turn), -math.cos(turn))
        target = self._at(0.6, 0.0)
        room = QRectF(self.rect()).adjusted(16.0, 16.0, -16.0, -16.0)
        reach = min(
            _reach(target.x(), -along.x(), room.left(), room.right()),
            _reach(target.y(), -along.y(), room.top(), room.bottom()),
        )
        at = target - along * reach
        painter.setPen(QPen(theme().colour("faint"), 1.0))
        across = QPointF(-along.y(), along.x())
        for side in (-0.32, 0.32):
            painter.drawLine(QLineF(at, at + (along + across * side) * 20.0))
        painter.save()
        painter.translate(at)
        painter.rotate(math.degrees(math.atan2(along.y(), along.x())))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme().colour("accent"))
        painter.drawRoundedRect(QRectF(-4.0, -8.0, 7.0, 16.0), 2.0, 2.0)
        painter.restore()

    def _paint_point(self, painter: QPainter, point: KeyPoint) -> None:
        at, look = self.place(point), theme()
        ink = look.colour("good" if point.is_clicked else "quiet")
        self._paint_foot(painter, point, at)
        painter.setPen(QPen(ink, 1.6))
        painter.setBrush(ink if point.is_clicked else look.colour("raised"))
        painter.drawEllipse(at, DOT, DOT)

    def _paint_foot(self, painter: QPainter, point: KeyPoint, at: QPointF) -> None:
        if point.kind == "pole":
            painter.setPen(QPen(theme().colour("quiet"), 1.6))
            painter.drawLine(QLineF(at, at - POLE_LEANS))

    def _paint_asked(self, painter: QPainter, point: KeyPoint) -> None:
        at, look = self.place(point), theme()
        self._paint_foot(painter, point, at)
        ink = look.colour("throwing")
        painter.setPen(QPen(ink, 2.4))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(at, ASKED, ASKED)
        painter.setBrush(ink)
        painter.drawEllipse(at, 2.2, 2.2)
        bold = QFont(painter.font())
        bold.setWeight(QFont.Weight.DemiBold)
        painter.setFont(bold)
        text = str(point.number)
        metrics = QFontMetricsF(bold)
        side = -1.0 if at.x() < self.width() / 2 - 1.0 else 1.0
        width = metrics.horizontalAdvance(text)
        x = at.x() + side * (ASKED + 5.0) - (width if side < 0 else 0.0)
        painter.setPen(look.colour("text"))
        painter.drawText(QPointF(x, at.y() + 0.35 * metrics.height()), text)

    def _on_theme_changed(self) -> None:
        self.updateGeometry()
        self.update()


def _reach(start: float, step: float, low: float, high: float) -> float:
    """Return how far one may go before the room ends."""
    if abs(step) < 1e-6:
        return math.inf
    return ((high if step > 0 else low) - start) / step
