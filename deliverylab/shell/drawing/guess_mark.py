"""Where a landmark may be: a mark that nobody takes for a placed point."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.view_transform import ViewTransform

RADIUS = 9.0
REACH = (13.0, 20.0)
"""From where to where the four strokes go that say that arrow keys move it, px of the screen."""
FAINT = 0.75


@dataclass(frozen=True, kw_only=True)
class GuessMark:
    """A guess as it is drawn.

    Attributes
    ----------
    x_px, y_px : float
        Frame place.
    is_held : bool
        Whether arrow keys move it.
    """

    x_px: float
    y_px: float
    is_held: bool = False


def paint_guess(painter: QPainter, guess: GuessMark, view: ViewTransform, side: str) -> None:
    """Paint a dotted ring with an open middle and a question mark; in hand with four strokes."""
    at = view.to_widget(guess.x_px, guess.y_px)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    colour = QColor(palette.side_colour(side))
    colour.setAlphaF(1.0 if guess.is_held else FAINT)
    dotted = QPen(colour, 1.6)
    dotted.setDashPattern([2.0, 2.2])
    painter.setPen(QPen(palette.HALO, 4.0))
    painter.drawEllipse(at, RADIUS, RADIUS)
    painter.setPen(dotted)
    painter.drawEllipse(at, RADIUS, RADIUS)
    if guess.is_held:
        _paint_strokes(painter, at, colour)
    _paint_question(painter, at, colour)
    painter.restore()


def _paint_strokes(painter: QPainter, at: QPointF, colour: QColor) -> None:
    start, end = REACH
    for pen in (QPen(palette.HALO, 4.0), QPen(colour, 1.8)):
        painter.setPen(pen)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            step = QPointF(dx, dy)
            painter.drawLine(QLineF(at + step * start, at + step * end))


def _paint_question(painter: QPainter, at: QPointF, colour: QColor) -> None:
    bold = QFont(painter.font())
    bold.setWeight(QFont.Weight.DemiBold)
    painter.setFont(bold)
    beside = at + QPointF(RADIUS + 2.0, -RADIUS + 1.0)
    painter.setPen(palette.HALO)
    painter.drawText(beside + QPointF(1.0, 1.0), "?")
    painter.setPen(colour)
    painter.drawText(beside, "?")
