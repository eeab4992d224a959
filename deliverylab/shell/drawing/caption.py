"""Words on a dark plate, readable over any picture."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter

from deliverylab.shell.drawing import palette

PADDING_X, PADDING_Y = 14.0, 4.0
EDGE = 4.0


def paint_caption(painter: QPainter, area: QRectF, middle: QPointF, text: str) -> QRectF:
    """Paint words about a point, moved so that they stay inside `area`; return their plate."""
    plate = plate_about(text_size(QFontMetricsF(painter.font()), text), area, middle)
    paint_plate(painter, plate, text)
    return plate


def text_size(metrics: QFontMetricsF, text: str) -> tuple[float, float]:
    """Return width and height of the plate of words, px."""
    return metrics.horizontalAdvance(text) + PADDING_X, metrics.height() + PADDING_Y


def plate_about(size: tuple[float, float], area: QRectF, middle: QPointF) -> QRectF:
    """Return a plate of this size about a point, moved so that it stays inside `area`."""
    width, height = size
    left = max(area.left() + EDGE, min(middle.x() - width / 2.0, area.right() - width - EDGE))
    top = max(area.top() + EDGE, min(middle.y() - height / 2.0, area.bottom() - height - EDGE))
    return QRectF(left, top, width, height)


def paint_plate(painter: QPainter, plate: QRectF, text: str) -> None:
    """Paint words on their plate."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.PLATE)
    painter.drawRoundedRect(plate, 5.0, 5.0)
    painter.setPen(palette.INK)
    painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, text)
