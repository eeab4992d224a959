"""What the camera of a set-up would see: the frame, the field in it, and the athlete's figure."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.skeleton import SkeletonLook, StagePoint, paint_skeleton
from deliverylab.shell.drawing.view_transform import ViewTransform
from deliverylab.shell.set_up_plan import SIZE_PX, PlanScene
from deliverylab.shell.theme import on_theme_changed, theme

GHOST_ALPHA = 0.6
GROUND_LINE = QColor(255, 255, 255, 30)


class PictureView(QWidget):
    """The picture that the set-up would take at foot contact, leg lift and release behind it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scene: PlanScene | None = None
        self._hand: Hand = "right"
        self.setMinimumSize(200, 150)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        on_theme_changed(self, self.update)

    def sizeHint(self) -> QSize:
        """Return a usual size."""
        return QSize(400, 250)

    def show_scene(self, scene: PlanScene, hand: Hand) -> None:
        """Show what the camera sees."""
        self._scene, self._hand = scene, hand
        said = " and ".join(scene.cut_off)
        self.setAccessibleName(
            f"What the camera sees; part of the body is outside at {said}"
            if said
            else "What the camera sees; the whole body is inside"
        )
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        view = ViewTransform(*SIZE_PX, width=self.width(), height=self.height()).fitted()
        frame = view.matrix.mapRect(view.frame_rect)
        inside = QPainterPath()
        inside.addRoundedRect(frame, 6.0, 6.0)
        scene = self._scene
        painter.save()
        painter.setClipPath(inside)
        horizon = frame.center().y() if scene is None else view.to_widget(0, scene.horizon_px).y()
        _paint_ground(painter, frame, horizon)
        if scene is not None:
            self._paint_field(painter, scene, view)
            for other in scene.others_px:
                painter.setOpacity(GHOST_ALPHA)
                look = SkeletonLook(style="model", is_ghost=True)
                paint_skeleton(painter, _points(other), view, self._hand, look)
            painter.setOpacity(1.0)
            paint_skeleton(painter, _points(scene.body_px), view, self._hand, SkeletonLook())
            font = QFont(self.font())
            font.setPointSizeF(theme().point_size(0.85))
            painter.setFont(font)
            _paint_note(painter, frame, f"1 px = {1000.0 * scene.metres_per_px:.1f} mm")
            if scene.cut_off:
                _paint_cut_off(painter, frame, scene.cut_off)
        painter.restore()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        is_cut = scene is not None and bool(scene.cut_off)
        painter.setPen(
            QPen(theme().colour("caution" if is_cut else "line"), 2.0 if is_cut else 1.0)
        )
        painter.drawPath(inside)
        painter.end()

    def _paint_field(self, painter: QPainter, scene: PlanScene, view: ViewTransform) -> None:
        painter.setPen(QPen(GROUND_LINE, 1.0))
        for line_px in scene.ground_px:
            for part in _stretches(line_px):
                painter.drawPolyline(_polygon(part, view))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(255, 255, 255, 225))
        for corners_px in (scene.plate_px, scene.rubber_px):
            if np.isfinite(corners_px).all():
                painter.drawPolygon(_polygon(corners_px, view))
        if np.isfinite(scene.ruler_px).all():
            a, b = (view.to_widget(x, y) for x, y in scene.ruler_px.tolist())
            pen = QPen(palette.PICKED, 1.6)
            painter.setPen(pen)
            painter.drawLine(a, b)
            for end in (a, b):
                painter.drawLine(QLineF(end.x(), end.y() - 4, end.x(), end.y() + 4))


def _stretches(line_px: NDArray[np.float64]) -> list[NDArray[np.float64]]:
    """Return the parts of a line that lie before the camera, each of two points at least."""
    is_seen = np.isfinite(line_px).all(axis=1)
    edges = np.flatnonzero(np.diff(is_seen)) + 1
    parts = np.split(line_px, edges)
    return [part for part in parts if len(part) > 1 and np.isfinite(part).all()]


def _points(body_px: Mapping[str, tuple[float, float]]) -> dict[str, StagePoint]:
    return {key: StagePoint(*at) for key, at in body_px.items()}


def _polygon(corners_px: NDArray[np.float64], view: ViewTransform) -> QPolygonF:
    return QPolygonF([view.to_widget(x, y) for x, y in corners_px.tolist()])


def _paint_ground(painter: QPainter, frame: QRectF, horizon: float) -> None:
    """Paint the sky and the ground below the horizon."""
    sky = QLinearGradient(frame.topLeft(), QPointF(frame.left(), horizon))
    sky.setColorAt(0.0, palette.STAGE_TOP)
    sky.setColorAt(1.0, palette.STAGE_LOW)
    painter.fillRect(frame, sky)
    below = QRectF(frame.left(), horizon, frame.width(), max(0.0, frame.bottom() - horizon))
    ground = QLinearGradient(below.topLeft(), below.bottomLeft())
    ground.setColorAt(0.0, palette.GROUND_FAR)
    ground.setColorAt(1.0, palette.GROUND)
    painter.fillRect(below, ground)
    painter.setPen(QPen(palette.HORIZON, 1.0))
    painter.drawLine(below.topLeft(), below.topRight())


def _paint_note(painter: QPainter, frame: QRectF, text: str) -> None:
    metrics = QFontMetricsF(painter.font())
    painter.setPen(palette.INK_SOFT)
    width = metrics.horizontalAdvance(text)
    painter.drawText(QPointF(frame.right() - width - 8.0, frame.bottom() - 8.0), text)


def _paint_cut_off(painter: QPainter, frame: QRectF, events: tuple[str, ...]) -> None:
    """Say when part of the body is outside the picture."""
    text = f"Not all in the picture at {', '.join(events)}"
    metrics = QFontMetricsF(painter.font())
    text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, frame.width() - 32.0)
    width = metrics.horizontalAdvance(text) + 16.0
    plate = QRectF(frame.left() + 8.0, frame.top() + 8.0, width, metrics.height() + 6.0)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.PLATE)
    painter.drawRoundedRect(plate, 4.0, 4.0)
    painter.setPen(palette.PICKED)
    painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, text)
