"""The field from above: rubber, plate, athlete, and the camera, which can be dragged."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFontMetricsF,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QWidget

from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.segments import DRAWN, MIDPOINTS
from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.field_surface import FieldSurface, bounds_of, mound_ends_m
from deliverylab.shell.quantity_edit import as_text
from deliverylab.shell.set_up_plan import PlanScene
from deliverylab.shell.theme import theme

CAMERA_REACH = 18.0
"""How near the camera a press takes it, px."""
LEAST_YAW_DEG = 0.5
AHEAD_M = 5.0
"""How far towards the plate is seen at least, m."""


class FieldView(FieldSurface):
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
        self._is_held = False
        self.setMouseTracking(True)
        self.setMinimumSize(200, 150)
        self.setToolTip("Drag the camera to where it would stand")

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
        self._begin(painter)
        if self._scene is not None:
            scene = self._scene
            self._paint_mound(painter)
            self._paint_line_to_plate(painter, scene.rubber_m, scene.plate_m)
            self._paint_view(painter, scene)
            self._paint_body(painter, scene)
            camera, target = self.to_widget(*scene.camera_m), self.to_widget(*scene.target_m)
            self._paint_phone(painter, camera, target)
            self._paint_words(painter, scene)
        painter.end()

    def _paint_view(self, painter: QPainter, scene: PlanScene) -> None:
        """Paint what the lens takes in, fading beyond the athlete, and the square line."""
        camera, target = np.array(scene.camera_m), np.array(scene.target_m)
        self._paint_wedge(painter, camera, 1.5 * (target - camera), scene.half_angle_deg)
        painter.drawLine(self.to_widget(*camera), self.to_widget(*target))
        if abs(self._yaw_deg) >= LEAST_YAW_DEG:
            middle = self.to_widget(*target)
            square = QLineF(middle, self.to_widget(*scene.square_m))
            self._paint_square_line(painter, square)
            now = QLineF(middle, self.to_widget(*camera))
            self._paint_arc(painter, square, now, 0.62 * square.length())

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
        is_above = camera.y() > target.y() + 1.0
        self._paint_way_to_plate(painter, float(scene.plate_m[3][0]), is_above=is_above)


def _distance_m(scene: PlanScene) -> float:
    return math.dist(scene.camera_m, scene.target_m)


def _bounds(scene: PlanScene) -> QRectF:
    """Return what has to be seen, m: the mound and the camera, square and as it stands."""
    return bounds_of([*mound_ends_m(), (AHEAD_M, 0.0), scene.camera_m, scene.square_m])
