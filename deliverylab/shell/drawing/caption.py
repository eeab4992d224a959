"""Words on a dark plate, readable over any picture."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter

from deliverylab.shell.drawing import palette


def paint_caption(painter: QPainter, area: QRectF, middle: QPointF, text: str) -> QRectF:
    """Paint words about a point, moved so that they stay inside `area`; return their plate."""
    metrics = QFontMetricsF(painter.font())
    width, height = metrics.horizontalAdvance(text) + 14.0, metrics.height() + 4.0
    left = max(area.left() + 4.0, min(middle.x() - width / 2.0, area.right() - width - 4.0))
    top = max(area.top() + 4.0, min(middle.y() - height / 2.0, area.bottom() - height - 4.0))
    plate = QRectF(left, top, width, height)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.PLATE)
    painter.drawRoundedRect(plate, 5.0, 5.0)
    painter.setPen(palette.INK)
    painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, text)
    return plate
