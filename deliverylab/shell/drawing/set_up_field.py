"""The field from above: rubber, plate, athlete, and the camera, which can be dragged."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QLinearGradient,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.core.cameras.ground import MOUND_CENTRE_X_M, MOUND_RADIUS_M
from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.segments import DRAWN, MIDPOINTS
from deliverylab.shell.drawing import palette
from deliverylab.shell.quantity_edit import as_text
from deliverylab.shell.set_up_plan import PlanScene
from deliverylab.shell.theme import on_theme_changed, theme

MARGIN = 26.0
GRID_M = 2.0
CAMERA_REACH = 18.0
"""How near the camera a press takes it, px."""
LEAST_RUBBER = 9.0
"""Least length at which the rubber is drawn, px: to scale it would hardly be seen."""
LEAST_YAW_DEG = 0.5
AHEAD_M = 5.0
"""How far towards the plate is seen at least, m."""


class FieldView(QWidget):
    """What stands where, seen from above; the plate lies to the right.

    Signals
    -------
    camera_moved(float, float)
        Where the hand puts the camera, m on the field.
    """

    camera_moved = Signal(float, float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scene: PlanScene | None = None
        self._hand: Hand = "right"
        self._yaw_deg = 0.0
        self._system: UnitSystem = "metric"
        self._is_held = False
        self._bounds = QRectF(-2.0, -10.0, 22.0, 12.0)
        self.setMouseTracking(True)
        self.setMinimumSize(200, 150)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setToolTip("Drag the camera to where it would stand")
        on_theme_changed(self, self.update)

    def sizeHint(self) -> QSize:
        """Return a usual size."""
        return QSize(380, 280)

    def show_scene(self, scene: PlanScene, hand: Hand, yaw_deg: float, system: UnitSystem) -> None:
        """Show where things stand; the scale stays while the camera is in the hand."""
        self._scene, self._hand, self._yaw_deg, self._system = scene, hand, yaw_deg, system
        if not self._is_held:
            self._bounds = _bounds(scene)
        metres = as_text(_distance_m(scene), "length", system)
        self.setAccessibleName(f"Field from above: camera {metres} away, {yaw_deg:.0f}° off square")
        self.update()

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

    # ---------------------------------------------------------------------------------- mouse

    def _is_at_camera(self, at: QPointF) -> bool:
        if self._scene is None:
            return False
        apart = at - self.to_widget(*self._scene.camera_m)
        return math.hypot(apart.x(), apart.y()) <= CAMERA_REACH

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the camera."""
        if event.button() == Qt.MouseButton.LeftButton and self._is_at_camera(event.position()):
            self._is_held = True
            self.setCursor(Qt.CursorShape.ClosedHandCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Carry it."""
        if self._is_held:
            self.camera_moved.emit(*self.to_field(event.position()))
        else:
            is_near = self._is_at_camera(event.position())
            shape = Qt.CursorShape.OpenHandCursor if is_near else Qt.CursorShape.ArrowCursor
            self.setCursor(shape)

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Put it down; the scale follows."""
        if self._is_held and self._scene is not None:
            self._is_held = False
            self.setCursor(Qt.CursorShape.OpenHandCursor)
            self._bounds = _bounds(self._scene)
            self.update()

    # --------------------------------------------------------------------------------- painting

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        whole = QPainterPath()
        whole.addRoundedRect(QRectF(self.rect()), 8.0, 8.0)
        painter.setClipPath(whole)
        painter.fillRect(self.rect(), theme().colour("raised"))
        font = QFont(self.font())
        font.setPointSizeF(theme().point_size(0.85))
        painter.setFont(font)
        self._paint_grid(painter)
        if self._scene is not None:
            self._paint_mound(painter)
            self._paint_line_to_plate(painter, self._scene)
            self._paint_view(painter, self._scene)
            self._paint_body(painter, self._scene)
            self._paint_camera(painter, self._scene)
            self._paint_words(painter, self._scene)
        painter.end()

    def _paint_grid(self, painter: QPainter) -> None:
        painter.setPen(QPen(_faded(theme().colour("line"), 150), 1.0))
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
        painter.setBrush(_faded(theme().colour("throwing"), 22))
        radius = MOUND_RADIUS_M * self._scale()
        painter.drawEllipse(self.to_widget(MOUND_CENTRE_X_M, 0.0), radius, radius)

    def _paint_line_to_plate(self, painter: QPainter, scene: PlanScene) -> None:
        look = theme()
        pen = QPen(look.colour("faint"), 1.0)
        pen.setDashPattern([5.0, 4.0])
        painter.setPen(pen)
        painter.drawLine(self.to_widget(0.0, 0.0), self.to_widget(scene.plate_m[0][0], 0.0))
        painter.setPen(QPen(look.colour("quiet"), 1.2))
        painter.setBrush(look.colour("pane"))
        painter.drawPolygon(self._polygon(scene.plate_m, LEAST_RUBBER))
        painter.setBrush(look.colour("text"))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawPolygon(self._polygon(scene.rubber_m, LEAST_RUBBER))

    def _polygon(self, corners_m: NDArray[np.float64], least: float) -> QPolygonF:
        """Return corners in the widget, enlarged about their middle where they would be too small."""
        middle = corners_m.mean(axis=0)
        extent = float(np.ptp(corners_m, axis=0).max())
        grow = max(1.0, least / (extent * self._scale()))
        return QPolygonF([self.to_widget(*(middle + grow * (at - middle))) for at in corners_m])

    def _paint_view(self, painter: QPainter, scene: PlanScene) -> None:
        """Paint what the lens takes in, fading beyond the athlete, and the square line."""
        look = theme()
        camera, target = np.array(scene.camera_m), np.array(scene.target_m)
        reach = 1.5 * (target - camera)
        half = math.radians(scene.half_angle_deg)
        edges = [camera + _turned(reach, turn) / math.cos(half) for turn in (half, -half)]
        at, far = self.to_widget(*camera), self.to_widget(*(camera + reach))
        shade = QLinearGradient(at, far)
        ink = look.colour("accent")
        for place, alpha in ((0.0, 70), (0.66, 38), (1.0, 0)):
            shade.setColorAt(place, _faded(ink, alpha))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(shade)
        painter.drawPolygon(QPolygonF([at, *(self.to_widget(*edge) for edge in edges)]))
        pen = QPen(_faded(ink, 120), 1.0)
        painter.setPen(pen)
        for edge in edges:
            painter.drawLine(at, self.to_widget(*(camera + 0.72 * (edge - camera))))
        painter.drawLine(at, self.to_widget(*target))
        if abs(self._yaw_deg) >= LEAST_YAW_DEG:
            pen = QPen(look.colour("faint"), 1.2)
            pen.setDashPattern([3.0, 3.0])
            painter.setPen(pen)
            painter.drawLine(self.to_widget(*scene.square_m), self.to_widget(*target))
            self._paint_yaw(painter, scene)

    def _paint_yaw(self, painter: QPainter, scene: PlanScene) -> None:
        target = self.to_widget(*scene.target_m)
        square = QLineF(target, self.to_widget(*scene.square_m))
        now = QLineF(target, self.to_widget(*scene.camera_m))
        radius = 0.62 * square.length()
        span = (now.angle() - square.angle() + 180.0) % 360.0 - 180.0
        around = QRectF(target.x() - radius, target.y() - radius, 2 * radius, 2 * radius)
        painter.setPen(QPen(theme().colour("text"), 1.4))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawArc(around, round(16 * square.angle()), round(16 * span))

    def _paint_body(self, painter: QPainter, scene: PlanScene) -> None:
        places = {key: np.array(at) for key, at in scene.body_m.items()}
        for middle, (left, right) in MIDPOINTS.items():
            places[middle] = (places[left] + places[right]) / 2.0
        size = max(1.4, min(3.0, 0.07 * self._scale()))
        names = {"throwing": "throwing", "glove": "glove", "middle": "text"}
        for start, end in DRAWN:
            is_across = start.partition("_")[2] == end.partition("_")[2] or start in MIDPOINTS
            side = "middle" if is_across else palette.side_of(start, self._hand)
            pen = QPen(theme().colour(names[side]), size)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            painter.setPen(pen)
            painter.drawLine(self.to_widget(*places[start]), self.to_widget(*places[end]))
        painter.setPen(QPen(theme().colour("text"), size))
        painter.setBrush(theme().colour("raised"))
        radius = max(3.0, 0.11 * self._scale())
        painter.drawEllipse(self.to_widget(*places["head_top"]), radius, radius)

    def _paint_camera(self, painter: QPainter, scene: PlanScene) -> None:
        at, target = self.to_widget(*scene.camera_m), self.to_widget(*scene.target_m)
        painter.save()
        painter.translate(at)
        painter.rotate(-QLineF(at, target).angle())
        painter.setPen(QPen(theme().colour("raised"), 1.5))
        painter.setBrush(theme().colour("accent"))
        painter.drawPolygon(QPolygonF([QPointF(2, 0), QPointF(11, -6), QPointF(11, 6)]))
        painter.drawRoundedRect(QRectF(-9.0, -8.0, 13.0, 16.0), 3.0, 3.0)
        painter.restore()

    def _paint_words(self, painter: QPainter, scene: PlanScene) -> None:
        camera, target = self.to_widget(*scene.camera_m), self.to_widget(*scene.target_m)
        sight = QLineF(camera, target)
        self._paint_tag(
            painter, sight.pointAt(0.4), as_text(_distance_m(scene), "length", self._system)
        )
        if abs(self._yaw_deg) >= LEAST_YAW_DEG:
            square = QLineF(target, self.to_widget(*scene.square_m))
            text = f"{abs(self._yaw_deg):.0f}° off square"
            beside = square.pointAt(0.75) - sight.pointAt(0.25)
            apart = math.hypot(beside.x(), beside.y()) or 1.0
            width = QFontMetricsF(painter.font()).horizontalAdvance(text)
            out = beside * ((0.5 * width + 14.0) / apart)
            self._paint_tag(painter, square.pointAt(0.75) + out, text)
        self._paint_way_to_plate(painter, scene, is_above=camera.y() > target.y() + 1.0)

    def _paint_way_to_plate(self, painter: QPainter, scene: PlanScene, *, is_above: bool) -> None:
        """Name the plate, or, where it lies outside, say how far it is."""
        far_m = float(scene.plate_m[3][0])
        plate = self.to_widget(far_m, 0.0)
        is_inside = plate.x() < self.width()
        text = "plate" if is_inside else f"plate {as_text(far_m, 'length', self._system)} →"
        metrics = QFontMetricsF(painter.font())
        width = metrics.horizontalAdvance(text)
        x = min(plate.x() - width / 2, self.width() - width - 8.0)
        y = plate.y() - 12.0 if is_above else plate.y() + 12.0 + metrics.ascent()
        painter.setPen(theme().colour("quiet"))
        painter.drawText(QPointF(x, y), text)

    def _paint_tag(self, painter: QPainter, at: QPointF, text: str) -> None:
        """Paint words on a small ground, inside the widget."""
        metrics = QFontMetricsF(painter.font())
        room = QRectF(0.0, 0.0, metrics.horizontalAdvance(text) + 12.0, metrics.height() + 4.0)
        room.moveCenter(at)
        room.moveLeft(min(max(room.left(), 4.0), self.width() - room.width() - 4.0))
        room.moveTop(min(max(room.top(), 4.0), self.height() - room.height() - 4.0))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(_faded(theme().colour("pane"), 225))
        painter.drawRoundedRect(room, 4.0, 4.0)
        painter.setPen(theme().colour("text"))
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, text)


def _distance_m(scene: PlanScene) -> float:
    return math.dist(scene.camera_m, scene.target_m)


def _bounds(scene: PlanScene) -> QRectF:
    """Return what has to be seen, m: the mound and the camera, square and as it stands."""
    mound = [
        (MOUND_CENTRE_X_M + x * MOUND_RADIUS_M, y * MOUND_RADIUS_M)
        for x in (-1, 1)
        for y in (-1, 1)
    ]
    places = np.array([*mound, (AHEAD_M, 0.0), scene.camera_m, scene.square_m])
    low, high = places.min(axis=0), places.max(axis=0)
    return QRectF(*low.tolist(), *(high - low).tolist())


def _turned(vector: NDArray[np.float64], turn_rad: float) -> NDArray[np.float64]:
    c, s = math.cos(turn_rad), math.sin(turn_rad)
    return np.array([c * vector[0] - s * vector[1], s * vector[0] + c * vector[1]])


def _faded(colour: QColor, alpha: int) -> QColor:
    other = QColor(colour)
    other.setAlpha(alpha)
    return other
