"""The frame's picture as Qt draws it, scaled once for each view and then only copied."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QImage, QLinearGradient, QPainter, QPainterPath, QPixmap

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.view_transform import ViewTransform

PIXELS_SEEN_ZOOM = 5.0
"""From this zoom on the frame's pixels are drawn as squares instead of smoothed."""


class PictureLayer:
    """Hold one picture and paint it through a view.

    Attributes
    ----------
    image : QImage
        The picture, 32 bits a pixel (Qt scales that three times as fast as 24); null when there
        is none.
    """

    def __init__(self) -> None:
        self.image = QImage()
        self._frame_size = (1.0, 1.0)
        self._scaled = QPixmap()
        self._scaled_for: tuple[ViewTransform, float, float | None] | None = None

    @property
    def is_empty(self) -> bool:
        """Whether there is no picture."""
        return self.image.isNull()

    def set_picture(
        self, picture: NDArray[np.uint8] | None, frame_size: tuple[float, float]
    ) -> None:
        """Take a picture over, shape (h, w, 3), RGB; it is copied.

        It may be smaller than the frame it shows (width, height).
        """
        self._frame_size = frame_size
        self._scaled_for = None
        if picture is None:
            self.image = QImage()
            return
        rows = np.ascontiguousarray(picture)
        height, width = rows.shape[:2]
        shared = QImage(rows.data, width, height, 3 * width, QImage.Format.Format_RGB888)
        self.image = shared.convertToFormat(QImage.Format.Format_RGB32)

    def paint(
        self, painter: QPainter, view: ViewTransform, ground_y_px: float | None = None
    ) -> None:
        """Paint the picture over the whole widget; without one, the bare stage with its ground."""
        ratio = painter.device().devicePixelRatioF()
        wanted = (view, ratio, ground_y_px if self.is_empty else None)
        if self._scaled_for != wanted:
            self._paint_anew(view, ratio, ground_y_px)
            self._scaled_for = wanted
        painter.drawPixmap(0, 0, self._scaled)

    def _paint_anew(self, view: ViewTransform, ratio: float, ground_y_px: float | None) -> None:
        width, height = round(view.width * ratio), round(view.height * ratio)
        if self._scaled.width() != width or self._scaled.height() != height:
            self._scaled = QPixmap(width, height)
        self._scaled.setDevicePixelRatio(ratio)
        painter = QPainter(self._scaled)
        if self.is_empty:
            paint_bare_stage(painter, view, ground_y_px)
        else:
            self._paint_picture(painter, view, ratio)
        painter.end()

    def _paint_picture(self, painter: QPainter, view: ViewTransform, ratio: float) -> None:
        shown = view.matrix.mapRect(view.frame_rect)
        if not shown.contains(view.area):
            painter.fillRect(view.area, palette.OUTSIDE)
        painter.setRenderHint(
            QPainter.RenderHint.SmoothPixmapTransform, view.zoom * ratio < PIXELS_SEEN_ZOOM
        )
        painter.setTransform(view.matrix, combine=True)
        painter.drawImage(view.frame_rect, self.image)

    def paint_patch(
        self,
        painter: QPainter,
        *,
        centre: QPointF,
        radius: float,
        at: tuple[float, float],
        magnification: float,
        is_mirrored: bool,
    ) -> None:
        """Paint a round magnified patch, nearest neighbour, of the frame place `at`."""
        disc = QPainterPath()
        disc.addEllipse(centre, radius, radius)
        painter.save()
        painter.setClipPath(disc)
        painter.fillRect(disc.boundingRect(), palette.OUTSIDE)
        if not self.image.isNull():
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, on=False)
            across = self.image.width() / self._frame_size[0]
            down = self.image.height() / self._frame_size[1]
            half = radius / magnification + 1.0
            wanted = QRectF(at[0] - half, at[1] - half, 2 * half, 2 * half)
            source = QRectF(
                (wanted.x() + 0.5) * across,
                (wanted.y() + 0.5) * down,
                wanted.width() * across,
                wanted.height() * down,
            ).toAlignedRect()
            source &= self.image.rect()
            target = QRectF(
                source.x() / across - 0.5,
                source.y() / down - 0.5,
                source.width() / across,
                source.height() / down,
            )
            painter.translate(centre)
            painter.scale(-magnification if is_mirrored else magnification, magnification)
            painter.translate(-at[0], -at[1])
            if not source.isEmpty():
                painter.drawImage(target, self.image, QRectF(source))
        painter.restore()


def paint_bare_stage(painter: QPainter, view: ViewTransform, ground_y_px: float | None) -> None:
    """Paint a calm stage for a delivery without a clip: a grid, and the ground where it is known."""
    area = view.area
    sky = QLinearGradient(0.0, 0.0, 0.0, view.height)
    sky.setColorAt(0.0, palette.STAGE_TOP)
    sky.setColorAt(1.0, palette.STAGE_LOW)
    painter.fillRect(area, sky)
    if ground_y_px is not None:
        top = view.to_widget(0.0, ground_y_px).y()
        ground = QRectF(0.0, top, view.width, max(0.0, view.height - top))
        painter.fillRect(ground, palette.GROUND)
        painter.setPen(palette.HORIZON)
        painter.drawLine(QPointF(0.0, top), QPointF(view.width, top))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    step = 100.0
    while step * view.zoom < 36.0:
        step *= 2.0
    painter.setPen(palette.GRID)
    left, right = sorted((view.to_frame(area.topLeft())[0], view.to_frame(area.topRight())[0]))
    top_px, bottom_px = view.to_frame(area.topLeft())[1], view.to_frame(area.bottomLeft())[1]
    for number in range(int(left // step), int(right // step) + 1):
        x = view.to_widget(number * step, 0.0).x()
        painter.drawLine(QPointF(x, 0.0), QPointF(x, view.height))
    for number in range(int(top_px // step), int(bottom_px // step) + 1):
        y = view.to_widget(0.0, number * step).y()
        painter.drawLine(QPointF(0.0, y), QPointF(view.width, y))
    edge = view.matrix.mapRect(view.frame_rect)
    painter.setPen(palette.HORIZON)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(edge)
