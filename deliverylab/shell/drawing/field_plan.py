"""The field from above as it was solved: rubber, points, every phone, what it saw, how far it turned."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from deliverylab.core.units import UnitSystem
from deliverylab.shell.drawing.field_surface import (
    FieldSurface,
    FloatArray,
    bounds_of,
    turned,
)
from deliverylab.shell.theme import theme

TARGET_M = (0.85, 0.0)
"""Middle of a usual stride, from which distances are counted."""
AHEAD_M = 5.5
LEAST_YAW_DEG = 0.5
REACHES = 1.35
ARC = 46.0


@dataclass(frozen=True, kw_only=True)
class PlanPhone:
    """A phone as it was solved.

    Attributes
    ----------
    name : str
    at_m : tuple of float, m
        X and Y on the field.
    looks_deg, square_deg : float
        Where it looks and where it would look square, degrees from the way to the plate,
        anticlockwise.
    half_deg : float
        Half its angle of view across.
    distance, yaw : str
        How far from the stride and how far off square, as words with their ±.
    """

    name: str
    at_m: tuple[float, float]
    looks_deg: float
    square_deg: float
    half_deg: float
    distance: str
    yaw: str


@dataclass(frozen=True, kw_only=True)
class PlanPoint:
    """A point of the field: where, of what kind, its number."""

    at_m: tuple[float, float]
    kind: str
    number: int


@dataclass(frozen=True, kw_only=True)
class FieldScene:
    """Everything that the plan shows; rubber and plate as corners, shape (n, 2), m."""

    phones: tuple[PlanPhone, ...]
    points: tuple[PlanPoint, ...]
    rubber_m: FloatArray
    plate_m: FloatArray


class FieldPlan(FieldSurface):
    """A plan to scale."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scene: FieldScene | None = None
        self.setMinimumSize(260, 200)

    def sizeHint(self) -> QSize:
        """Return a usual size."""
        return QSize(520, 420)

    def show_scene(self, scene: FieldScene | None, system: UnitSystem) -> None:
        """Show where things stood."""
        self._scene, self._system = scene, system
        if scene is not None:
            places = [
                (-1.2, -1.6),
                (-1.2, 1.6),
                (AHEAD_M, 0.0),
                *(one.at_m for one in scene.phones),
            ]
            self._bounds = bounds_of(places)
            said = "; ".join(f"{one.name} {one.distance}, {one.yaw}" for one in scene.phones)
            self.setAccessibleName(f"Field from above: {said}")
        self.update()

    # -------------------------------------------------------------------------------- painting

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        painter = QPainter(self)
        self._begin(painter)
        scene = self._scene
        if scene is not None:
            self._paint_mound(painter)
            for phone in scene.phones:
                self._paint_sight(painter, phone)
            self._paint_line_to_plate(painter, scene.rubber_m, scene.plate_m)
            for point in scene.points:
                if point.kind != "rubber":
                    self._paint_point(painter, point)
            for phone in scene.phones:
                at = self.to_widget(*phone.at_m)
                self._paint_phone(painter, at, at + self._along(phone.looks_deg))
            self._paint_way_to_plate(painter, float(scene.plate_m[:, 0].max()), is_above=True)
            for phone in scene.phones:
                self._paint_words(painter, phone)
            self._paint_ruler(painter)
        painter.end()

    def _along(self, angle_deg: float) -> QPointF:
        """Return a direction on the field as a step in the widget."""
        turn = math.radians(angle_deg)
        return QPointF(math.cos(turn), -math.sin(turn))

    def _reach_m(self, phone: PlanPhone) -> float:
        return REACHES * math.dist(phone.at_m, TARGET_M)

    def _paint_sight(self, painter: QPainter, phone: PlanPhone) -> None:
        at_m = np.array(phone.at_m)
        along = turned(np.array([1.0, 0.0]), math.radians(phone.looks_deg))
        reach_m = self._reach_m(phone) * along
        self._paint_wedge(painter, at_m, reach_m, phone.half_deg)
        at = self.to_widget(*phone.at_m)
        sight = QLineF(at, self.to_widget(*(at_m + 0.75 * reach_m)))
        painter.drawLine(sight)
        square = QLineF(at, at + self._along(phone.square_deg) * sight.length())
        off_deg = (phone.looks_deg - phone.square_deg + 180.0) % 360.0 - 180.0
        if abs(off_deg) >= LEAST_YAW_DEG:
            self._paint_square_line(painter, square)
            self._paint_arc(painter, square, sight, max(ARC, 0.4 * sight.length()))

    def _paint_point(self, painter: QPainter, point: PlanPoint) -> None:
        """Paint a cone as a triangle, a pole as a ring with a stem, the rest as a dot."""
        at, look = self.to_widget(*point.at_m), theme()
        painter.setPen(QPen(look.colour("raised"), 1.0))
        painter.setBrush(look.colour("throwing"))
        if point.kind == "cone":
            size = max(5.0, 0.10 * self._scale())
            corners = [(0.0, -size), (0.9 * size, 0.8 * size), (-0.9 * size, 0.8 * size)]
            painter.drawPolygon(QPolygonF([at + QPointF(x, y) for x, y in corners]))
        elif point.kind == "pole":
            painter.setPen(QPen(look.colour("throwing"), 1.8))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(at, 6.5, 6.5)
        elif point.kind == "unknown":
            painter.drawRect(QRectF(at.x() - 3.5, at.y() - 3.5, 7.0, 7.0))
        else:
            painter.drawEllipse(at, 2.6, 2.6)
            return
        painter.setPen(look.colour("text"))
        painter.drawText(at + QPointF(9.0, -6.0), str(point.number))

    def _paint_words(self, painter: QPainter, phone: PlanPhone) -> None:
        """Say beside a phone what it is, how far away, how far off square."""
        at = self.to_widget(*phone.at_m)
        metrics = QFontMetricsF(painter.font())
        lines = (phone.name, phone.distance, phone.yaw)
        width = max(metrics.horizontalAdvance(one) for one in lines) + 14.0
        height = len(lines) * metrics.height() + 6.0
        room = QRectF(0.0, 0.0, width, height)
        # beside the line of sight, so that neither that nor the arc is covered
        along = self._along(phone.looks_deg)
        across = QPointF(-along.y(), along.x())
        if (at + across * 60.0).y() < (at - across * 60.0).y():
            across = -across
        room.moveCenter(
            at + QPointF(across.x() * (0.5 * width + 18), across.y() * (0.5 * height + 18))
        )
        room.moveLeft(min(max(room.left(), 4.0), self.width() - width - 4.0))
        room.moveTop(min(max(room.top(), 4.0), self.height() - height - 4.0))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme().colour("pane"))
        painter.drawRoundedRect(room, 5.0, 5.0)
        for number, text in enumerate(lines):
            painter.setPen(theme().colour("quiet" if number else "text"))
            line = QRectF(
                room.left() + 7.0,
                room.top() + 3.0 + number * metrics.height(),
                width,
                metrics.height(),
            )
            painter.drawText(line, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)

    def _paint_ruler(self, painter: QPainter) -> None:
        """Paint a metre, or three feet, in the corner."""
        length_m, text = (1.0, "1 m") if self._system == "metric" else (0.9144, "3 ft")
        length = length_m * self._scale()
        y = self.height() - 12.0
        painter.setPen(QPen(theme().colour("quiet"), 1.4))
        painter.drawLine(QLineF(14.0, y, 14.0 + length, y))
        for x in (14.0, 14.0 + length):
            painter.drawLine(QLineF(x, y - 4.0, x, y + 4.0))
        painter.drawText(QPointF(20.0 + length, y + 4.0), text)
