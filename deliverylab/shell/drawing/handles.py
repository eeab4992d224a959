"""Points that somebody drags on a stage while a form beside it shows what they mean."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.caption import paint_caption
from deliverylab.shell.drawing.view_transform import ViewTransform

RADIUS = 6.0


@dataclass(frozen=True, kw_only=True)
class Handle:
    """A point to drag.

    Attributes
    ----------
    key, name : str
        Stable key, and what the loupe calls it.
    x_px, y_px : float
        Frame place.
    joined_to : str
        Key of the handle to which a line is drawn; or empty.
    text : str
        What is written below the line, or below the point where there is none.
    is_bare : bool
        Whether its mark is drawn by somebody else.
    """

    key: str
    name: str
    x_px: float
    y_px: float
    joined_to: str = ""
    text: str = ""
    is_bare: bool = False


def paint_handles(
    painter: QPainter, handles: Sequence[Handle], view: ViewTransform, held: str
) -> None:
    """Paint rings with an open middle, so that the place itself stays seen; lines between them."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    places = {one.key: view.to_widget(one.x_px, one.y_px) for one in handles}
    for one in handles:
        at = places[one.key]
        other = places.get(one.joined_to)
        if other is not None:
            for pen in (QPen(palette.HALO, 4.0), QPen(palette.PICKED, 1.5)):
                painter.setPen(pen)
                painter.drawLine(QLineF(at, other))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    rings = {one.key: places[one.key] for one in handles if not one.is_bare}
    for key, at in rings.items():
        radius = RADIUS + (2.0 if key == held else 0.0)
        ring = QRectF(at.x() - radius, at.y() - radius, 2.0 * radius, 2.0 * radius)
        for pen in (QPen(palette.HALO, 4.5), QPen(palette.PICKED, 2.0)):
            painter.setPen(pen)
            painter.drawEllipse(ring)
    for one in handles:
        if one.text:
            at, other = places[one.key], places.get(one.joined_to, places[one.key])
            middle = (at + other) / 2.0
            y = max(at.y(), other.y()) + 22.0
            if y > view.height - 14.0:
                y = min(at.y(), other.y()) - 22.0
            paint_caption(painter, view.area, QPointF(middle.x(), y), one.text)
