"""Verdicts as shapes: an arrow up or down for a clear difference, two bars for none, crossed for neither."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF


def paint_verdict(painter: QPainter, shape: str, centre: QPointF, size: float, ink: QColor) -> None:
    """Paint one of ``above``, ``below``, ``same``, ``apart`` around a centre."""
    half = size / 2.0
    painter.save()
    if shape in {"above", "below"}:
        tip = -half if shape == "above" else half
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink)
        corners = ((0.0, tip), (half, -tip * 0.8), (-half, -tip * 0.8))
        painter.drawPolygon(QPolygonF([centre + QPointF(x, y) for x, y in corners]))
    else:
        pen = QPen(ink, max(1.4, size * 0.14))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        for dy in (-0.22 * size, 0.22 * size):
            painter.drawLine(centre + QPointF(-half, dy), centre + QPointF(half, dy))
        if shape == "apart":
            painter.drawLine(
                centre + QPointF(half * 0.5, -half), centre + QPointF(-half * 0.5, half)
            )
    painter.restore()
