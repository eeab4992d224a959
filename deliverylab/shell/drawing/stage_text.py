"""What the stage says: the landmark asked for, the keys, what is hidden, the event, a message."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from deliverylab.core.vocabulary.landmarks import Hand, role_for_key, role_name
from deliverylab.shell.drawing import palette

STRIP_HEIGHT = 26.0
PADDING = 10.0


@dataclass(frozen=True)
class Request:
    """What the stage asks the hand to click next, where that is, and by which keys else."""

    name: str = ""
    hint: str = ""
    keys: str = ""


def paint_request(painter: QPainter, strip: QRectF, request: Request, side: str) -> None:
    """Paint the strip below the picture: the side's colour, name, hint, keys."""
    painter.fillRect(strip, palette.OUTSIDE)
    if not request.name:
        return
    font = QFont(painter.font())
    bold = QFont(font)
    bold.setWeight(QFont.Weight.DemiBold)
    metrics, bold_metrics = QFontMetricsF(font), QFontMetricsF(bold)
    painter.fillRect(
        QRectF(strip.left(), strip.top(), 3.0, strip.height()), palette.side_colour(side)
    )
    left = strip.left() + PADDING + 3.0
    end = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
    painter.setPen(palette.INK)
    painter.setFont(bold)
    name = bold_metrics.elidedText(request.name, Qt.TextElideMode.ElideRight, strip.width() - 20.0)
    width = bold_metrics.horizontalAdvance(name)
    painter.drawText(QRectF(left, strip.top(), width + 2.0, strip.height()), end, name)
    left += width + 12.0
    painter.setFont(font)
    painter.setPen(palette.INK_SOFT)
    keys_width = metrics.horizontalAdvance(request.keys)
    room = strip.right() - PADDING - left
    if request.keys and room > keys_width + 18.0 + metrics.horizontalAdvance(request.hint):
        at = QRectF(strip.right() - PADDING - keys_width, strip.top(), keys_width + 2, STRIP_HEIGHT)
        painter.drawText(at, end, request.keys)
        room -= keys_width + 18.0
    hint = metrics.elidedText(request.hint, Qt.TextElideMode.ElideRight, max(0.0, room))
    painter.drawText(QRectF(left, strip.top(), max(0.0, room), STRIP_HEIGHT), end, hint)


def paint_hidden(painter: QPainter, area: QRectF, keys: Sequence[str], hand: Hand) -> None:
    """List the landmarks that cannot be seen in the margin, each with an open cross."""
    if not keys:
        return
    metrics = QFontMetricsF(painter.font())
    row = metrics.height() + 3.0
    names = [role_name(role_for_key(key, hand)) for key in keys]
    width = max(metrics.horizontalAdvance(name) for name in names) + 34.0
    # no more than fit above the strip
    n_rows = max(1, min(len(names), int((area.height() - 40.0) / row)))
    height = n_rows * row + 8.0
    plate = QRectF(area.left() + 8.0, area.bottom() - height - 8.0, width, height)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.PLATE)
    painter.drawRoundedRect(plate, 5.0, 5.0)
    for number, (key, name) in enumerate(zip(keys[:n_rows], names[:n_rows], strict=True)):
        y = plate.top() + 4.0 + row * (number + 0.5)
        _paint_open_cross(painter, QPointF(plate.left() + 13.0, y), palette.side_of(key, hand))
        painter.setPen(palette.INK_SOFT)
        at = QRectF(plate.left() + 25.0, y - row / 2.0, width, row)
        painter.drawText(at, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, name)


def _paint_open_cross(painter: QPainter, at: QPointF, side: str) -> None:
    painter.setPen(QPen(palette.side_colour(side), 1.6))
    for dx, dy in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
        start, end = at + QPointF(dx, dy) * 1.6, at + QPointF(dx, dy) * 5.0
        painter.drawLine(QLineF(start, end))


def tag_plate(area: QRectF, font: QFont, text: str) -> QRectF:
    """Return where the event's name stands on a stage with this type."""
    metrics = QFontMetricsF(_bold(font))
    width, height = metrics.horizontalAdvance(text) + 30.0, metrics.height() + 8.0
    return QRectF(area.left() + 10.0, area.top() + 10.0, width, height)


def _bold(font: QFont) -> QFont:
    bold = QFont(font)
    bold.setWeight(QFont.Weight.DemiBold)
    return bold


def paint_tag(painter: QPainter, area: QRectF, text: str) -> None:
    """Paint the event's name in the upper left corner, where the frame is one."""
    plate = tag_plate(area, painter.font(), text)
    painter.setFont(_bold(painter.font()))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.INK)
    painter.drawRoundedRect(plate, 5.0, 5.0)
    painter.setBrush(palette.PLATE)
    middle = plate.center().y()
    painter.drawPolygon(
        [
            QPointF(plate.left() + 10.0, middle - 5.0),
            QPointF(plate.left() + 18.0, middle),
            QPointF(plate.left() + 10.0, middle + 5.0),
        ]
    )
    painter.setPen(palette.STAGE_LOW)
    words = plate.adjusted(22.0, 0.0, 0.0, 0.0)
    painter.drawText(words, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)
