"""A field seen from above: the ground, the way to the plate, phones and what they see."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.core.cameras.ground import MOUND_CENTRE_X_M, MOUND_RADIUS_M
from deliverylab.core.units import UnitSystem
from deliverylab.shell.quantity_edit import as_text
from deliverylab.shell.theme import on_theme_changed, theme

FloatArray = NDArray[np.float64]
MARGIN = 26.0
GRID_M = 2.0
LEAST_RUBBER = 9.0
"""Least length at which the rubber is drawn, px: to scale it would hardly be seen."""


class FieldSurface(QWidget):
    """Paint a field to scale; the plate lies to the right. What stands on it is a subclass's."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._system: UnitSystem = "metric"
        self._bounds = QRectF(-2.0, -10.0, 22.0, 12.0)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        on_theme_changed(self, self.update)

    # --------------------------------------------------------------------------------- places

    def _scale(self) -> float:
        """Return px a metre."""
        room_x, room_y = self.width() - 2 * MARGIN, self.height() - 2 * MARGIN
        fit = min(room_x / self._bounds.width(), room_y / self._bounds.height())
        return max(1.0, fit)

    def to_widget(self, x_m: float, y_m: float) -> QPointF:
        """Return the widget's place of a place on the field."""
        middle, scale = self._bounds.center(), self._scale()
        return QPointF(
            self.width() / 2 + scale * (x_m - middle.x()),
            self.height() / 2 - scale * (y_m - middle.y()),
        )

    def to_field(self, at: QPointF) -> tuple[float, float]:
        """Return the field's place of a place in the widget, m."""
        middle, scale = self._bounds.center(), self._scale()
        return (
            middle.x() + (at.x() - self.width() / 2) / scale,
            middle.y() - (at.y() - self.height() / 2) / scale,
        )

    # -------------------------------------------------------------------------------- painting

    def _begin(self, painter: QPainter) -> None:
        """Paint the ground and its grid, and set the type."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        whole = QPainterPath()
        whole.addRoundedRect(QRectF(self.rect()), 8.0, 8.0)
        painter.setClipPath(whole)
        painter.fillRect(self.rect(), theme().colour("raised"))
        font = QFont(self.font())
        font.setPointSizeF(theme().point_size(0.85))
        painter.setFont(font)
        self._paint_grid(painter)

    def _paint_grid(self, painter: QPainter) -> None:
        painter.setPen(QPen(faded(theme().colour("line"), 150), 1.0))
        low_x, high_y = self.to_field(QPointF(0.0, 0.0))
        high_x, low_y = self.to_field(QPointF(self.width(), self.height()))
        for step in range(math.ceil(low_x / GRID_M), math.floor(high_x / GRID_M) + 1):
            x = self.to_widget(GRID_M * step, 0.0).x()
            painter.drawLine(QLineF(x, 0.0, x, self.height()))
        for step in range(math.ceil(low_y / GRID_M), math.floor(high_y / GRID_M) + 1):
            y = self.to_widget(0.0, GRID_M * step).y()
            painter.drawLine(QLineF(0.0, y, self.width(), y))

    def _paint_mound(self, painter: QPainter) -> None:
        painter.setPen(QPen(theme().colour("line"), 1.2))
        painter.setBrush(faded(theme().colour("throwing"), 22))
        radius = MOUND_RADIUS_M * self._scale()
        painter.drawEllipse(self.to_widget(MOUND_CENTRE_X_M, 0.0), radius, radius)

    def _paint_line_to_plate(
        self, painter: QPainter, rubber_m: FloatArray, plate_m: FloatArray
    ) -> None:
        look = theme()
        pen = QPen(look.colour("faint"), 1.0)
        pen.setDashPattern([5.0, 4.0])
        painter.setPen(pen)
        painter.drawLine(self.to_widget(0.0, 0.0), self.to_widget(plate_m[0][0], 0.0))
        painter.setPen(QPen(look.colour("quiet"), 1.2))
        painter.setBrush(look.colour("pane"))
        painter.drawPolygon(self._polygon(plate_m, LEAST_RUBBER))
        painter.setBrush(look.colour("text"))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawPolygon(self._polygon(rubber_m, LEAST_RUBBER))

    def _polygon(self, corners_m: FloatArray, least: float) -> QPolygonF:
        """Return corners in the widget, enlarged about their middle where they would be too small."""
        middle = corners_m.mean(axis=0)
        extent = float(np.ptp(corners_m, axis=0).max())
        grow = max(1.0, least / (extent * self._scale()))
        return QPolygonF([self.to_widget(*(middle + grow * (at - middle))) for at in corners_m])

    def _paint_wedge(
        self, painter: QPainter, camera_m: FloatArray, reach_m: FloatArray, half_deg: float
    ) -> None:
        """Paint what a lens takes in, fading along its reach."""
        half = math.radians(half_deg)
        edges = [camera_m + turned(reach_m, turn) / math.cos(half) for turn in (half, -half)]
        at, far = self.to_widget(*camera_m), self.to_widget(*(camera_m + reach_m))
        shade = QLinearGradient(at, far)
        ink = theme().colour("accent")
        for place, alpha in ((0.0, 70), (0.66, 38), (1.0, 0)):
            shade.setColorAt(place, faded(ink, alpha))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(shade)
        painter.drawPolygon(QPolygonF([at, *(self.to_widget(*edge) for edge in edges)]))
        painter.setPen(QPen(faded(ink, 120), 1.0))
        for edge in edges:
            painter.drawLine(at, self.to_widget(*(camera_m + 0.72 * (edge - camera_m))))

    def _paint_square_line(self, painter: QPainter, line: QLineF) -> None:
        """Paint where a phone would stand or look square."""
        pen = QPen(theme().colour("faint"), 1.2)
        pen.setDashPattern([3.0, 3.0])
        painter.setPen(pen)
        painter.drawLine(line)

    def _paint_arc(self, painter: QPainter, start: QLineF, end: QLineF, radius: float) -> None:
        """Paint the angle between two lines that begin at one place."""
        span = (end.angle() - start.angle() + 180.0) % 360.0 - 180.0
        middle = start.p1()
        around = QRectF(middle.x() - radius, middle.y() - radius, 2 * radius, 2 * radius)
        painter.setPen(QPen(theme().colour("text"), 1.4))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawArc(around, round(16 * start.angle()), round(16 * span))

    def _paint_phone(self, painter: QPainter, at: QPointF, towards: QPointF) -> None:
        painter.save()
        painter.translate(at)
        painter.rotate(-QLineF(at, towards).angle())
        painter.setPen(QPen(theme().colour("raised"), 1.5))
        painter.setBrush(theme().colour("accent"))
        painter.drawPolygon(QPolygonF([QPointF(2, 0), QPointF(11, -6), QPointF(11, 6)]))
        painter.drawRoundedRect(QRectF(-9.0, -8.0, 13.0, 16.0), 3.0, 3.0)
        painter.restore()

    def _paint_way_to_plate(self, painter: QPainter, far_m: float, *, is_above: bool) -> None:
        """Name the plate, or, where it lies outside, say how far it is."""
        plate = self.to_widget(far_m, 0.0)
        is_inside = plate.x() < self.width()
        text = "plate" if is_inside else f"plate {as_text(far_m, 'length', self._system)} →"
        metrics = QFontMetricsF(painter.font())
        width = metrics.horizontalAdvance(text)
        x = min(plate.x() - width / 2, self.width() - width - 8.0)
        y = plate.y() - 12.0 if is_above else plate.y() + 12.0 + metrics.ascent()
        painter.setPen(theme().colour("quiet"))
        painter.drawText(QPointF(x, y), text)

    def _paint_tag(self, painter: QPainter, at: QPointF, text: str) -> QRectF:
        """Paint words on a small ground, inside the widget; return where."""
        metrics = QFontMetricsF(painter.font())
        room = QRectF(0.0, 0.0, metrics.horizontalAdvance(text) + 12.0, metrics.height() + 4.0)
        room.moveCenter(at)
        room.moveLeft(min(max(room.left(), 4.0), self.width() - room.width() - 4.0))
        room.moveTop(min(max(room.top(), 4.0), self.height() - room.height() - 4.0))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(faded(theme().colour("pane"), 225))
        painter.drawRoundedRect(room, 4.0, 4.0)
        painter.setPen(theme().colour("text"))
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, text)
        return room


def mound_ends_m() -> list[tuple[float, float]]:
    """Return corners about the mound, m."""
    return [
        (MOUND_CENTRE_X_M + x * MOUND_RADIUS_M, y * MOUND_RADIUS_M)
        for x in (-1, 1)
        for y in (-1, 1)
    ]


def bounds_of(places_m: list[tuple[float, float]]) -> QRectF:
    """Return the rectangle about places on the field, m."""
    places = np.array(places_m)
    low, high = places.min(axis=0), places.max(axis=0)
    return QRectF(*low.tolist(), *(high - low).tolist())


def turned(vector: FloatArray, turn_rad: float) -> FloatArray:
    """Return a vector turned anticlockwise as seen from above."""
    c, s = math.cos(turn_rad), math.sin(turn_rad)
    return np.array([c * vector[0] - s * vector[1], s * vector[0] + c * vector[1]])


def faded(colour: QColor, alpha: int) -> QColor:
    """Return a colour that lets something through."""
    made = QColor(colour)
    made.setAlpha(alpha)
    return made
