"""Clicks on the field in a picture: where each was made, and where a solve puts its point."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen, QPolygonF

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.caption import paint_caption
from deliverylab.shell.drawing.view_transform import ViewTransform

CROSS, RING, WORST = 9.0, 6.5, 11.0
NEAR = 90.0
"""Marks nearer than this push each other's numbers away, px."""
TAG_AWAY = 19.0
LONGEST = 42.0
"""Length to which the longest miss is drawn at most, px of the screen."""
ENLARGEMENTS = (1, 2, 5, 10, 20, 50, 100)


@dataclass(frozen=True, kw_only=True)
class FieldMark:
    """A point of the field in a picture, frame px.

    Attributes
    ----------
    x_px, y_px : float
        Where it was clicked.
    tag : str
        Its number.
    projected_px : tuple of float or None
        Where the solve puts it.
    is_worst : bool
        Whether it is the click that fits least.
    text : str
        What is written beside the worst.
    """

    x_px: float
    y_px: float
    tag: str
    projected_px: tuple[float, float] | None = None
    is_worst: bool = False
    text: str = ""


def enlargement(marks: Sequence[FieldMark], zoom: float) -> int:
    """Return how many times larger misses are drawn so that they can be seen."""
    longest = max((_miss_px(mark) for mark in marks), default=0.0) * zoom
    fitting = [times for times in ENLARGEMENTS if times * longest <= LONGEST]
    return max(fitting, default=1) if longest > 0.0 else 1


def _miss_px(mark: FieldMark) -> float:
    if mark.projected_px is None:
        return 0.0
    return math.hypot(mark.projected_px[0] - mark.x_px, mark.projected_px[1] - mark.y_px)


def paint_field_marks(painter: QPainter, marks: Sequence[FieldMark], view: ViewTransform) -> None:
    """Paint a cross at each click, a ring where the solve puts the point, and the miss enlarged."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    places = [view.to_widget(mark.x_px, mark.y_px) for mark in marks]
    times = enlargement(marks, view.zoom)
    for mark, at in zip(marks, places, strict=True):
        _paint_miss(painter, mark, at, view, times)
        _paint_cross(painter, at)
        if mark.is_worst:
            _paint_diamond(painter, at)
    for mark, at in zip(marks, places, strict=True):
        _paint_tag(painter, mark.tag, at + _away(at, places), view.area)
    for mark, at in zip(marks, places, strict=True):
        if mark.text:
            paint_caption(painter, view.area, QPointF(at.x(), at.y() + 34.0), mark.text)
    if times > 1 and any(mark.projected_px for mark in marks):
        corner = QPointF(view.area.right(), view.area.top())
        paint_caption(painter, view.area, corner, f"misses drawn {times} × as long")


def _paint_miss(
    painter: QPainter, mark: FieldMark, at: QPointF, view: ViewTransform, times: int
) -> None:
    if mark.projected_px is None:
        return
    true = view.to_widget(*mark.projected_px)
    ring = QRectF(true.x() - RING, true.y() - RING, 2 * RING, 2 * RING)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for pen in (QPen(palette.HALO, 4.0), QPen(palette.GLOVE, 1.6)):
        painter.setPen(pen)
        painter.drawEllipse(ring)
    end = at + (true - at) * times
    for pen in (QPen(palette.HALO, 4.0), QPen(palette.INK, 1.8)):
        painter.setPen(pen)
        painter.drawLine(QLineF(at, end))
    way = math.hypot(end.x() - at.x(), end.y() - at.y())
    if way > CROSS:
        along = (end - at) / way
        across = QPointF(-along.y(), along.x())
        tip = [end, end - along * 7.0 + across * 3.0, end - along * 7.0 - across * 3.0]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(palette.INK)
        painter.drawPolygon(QPolygonF(tip))


def _paint_cross(painter: QPainter, at: QPointF) -> None:
    """Paint a cross with an open middle, so that the place itself stays seen."""
    arms = [
        QLineF(at + QPointF(3 * dx, 3 * dy), at + QPointF(CROSS * dx, CROSS * dy))
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1))
    ]
    for pen in (QPen(palette.HALO, 4.0), QPen(palette.PICKED, 1.6)):
        painter.setPen(pen)
        painter.drawLines(arms)


def _paint_diamond(painter: QPainter, at: QPointF) -> None:
    corners = [
        at + QPointF(WORST * dx, WORST * dy) for dx, dy in ((1, 0), (0, 1), (-1, 0), (0, -1))
    ]
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for pen in (QPen(palette.HALO, 4.0), QPen(palette.INK, 1.6)):
        painter.setPen(pen)
        painter.drawPolygon(QPolygonF(corners))


def _away(at: QPointF, places: Sequence[QPointF]) -> QPointF:
    """Return where a number stands beside its mark: away from the marks near it."""
    push = QPointF(0.0, -1e-3)
    for other in places:
        apart = at - other
        distance = math.hypot(apart.x(), apart.y())
        if 0.0 < distance < NEAR:
            push += apart / (distance * distance)
    length = math.hypot(push.x(), push.y())
    return push * (TAG_AWAY / length)


def _paint_tag(painter: QPainter, tag: str, middle: QPointF, area: QRectF) -> None:
    metrics = QFontMetricsF(painter.font())
    width = metrics.horizontalAdvance(tag) + 8.0
    plate = QRectF(0.0, 0.0, max(width, metrics.height()), metrics.height())
    plate.moveCenter(middle)
    if area.contains(middle):  # whole, where it is seen at all
        plate.moveBottom(min(plate.bottom(), area.bottom() - 2.0))
        plate.moveRight(min(plate.right(), area.right() - 2.0))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.PLATE)
    painter.drawRoundedRect(plate, 5.0, 5.0)
    painter.setPen(palette.PICKED)
    painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, tag)
