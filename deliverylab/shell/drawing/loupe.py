"""The loupe: a round magnified patch with a cross, kept away from the hand."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPainter, QPen

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.caption import paint_caption
from deliverylab.shell.drawing.picture_layer import PictureLayer
from deliverylab.shell.drawing.view_transform import ViewTransform

RADIUS = 68.0
GAP_TO_HAND = 70.0
EDGE = 16.0
NAME_ROOM = 22.0
LEAST_MAGNIFICATION = 5.0
OVER_VIEW = 3.0


@dataclass(frozen=True)
class LoupePlace:
    """Where the loupe is: the corner's number and its middle, widget px."""

    corner: int
    centre: QPointF


def radius_for(size: QSizeF) -> float:
    """Return the radius that suits a stage of this size."""
    return min(RADIUS, 0.2 * min(size.width(), size.height()))


def loupe_place(size: QSizeF, hand: QPointF, previous: LoupePlace | None) -> LoupePlace:
    """Return a corner away from the hand; it stays where it is until the hand comes near.

    The upper right is tried first; a loupe that jumped with each small move could not be read.
    """
    radius = radius_for(size)
    inset = radius + EDGE
    # Room for the name below the patch.
    low = size.height() - inset - NAME_ROOM
    corners = (
        QPointF(size.width() - inset, inset),
        QPointF(inset, inset),
        QPointF(size.width() - inset, low),
        QPointF(inset, low),
    )

    def distance(corner: QPointF) -> float:
        return math.hypot(corner.x() - hand.x(), corner.y() - hand.y())

    number = 0 if previous is None else previous.corner
    if distance(corners[number]) < radius + GAP_TO_HAND:
        number = 0
        if distance(corners[0]) < radius + GAP_TO_HAND:
            number = max(range(4), key=lambda index: distance(corners[index]))
    return LoupePlace(number, corners[number])


def loupe_area(size: QSizeF, place: LoupePlace) -> QRectF:
    """Return what the loupe and its name take of a stage, widget px."""
    radius = radius_for(size)
    corner = place.centre - QPointF(radius, radius)
    return QRectF(corner, QSizeF(2.0 * radius, 2.0 * radius + NAME_ROOM))


def magnification(view: ViewTransform) -> float:
    """Return widget px per frame px inside the loupe."""
    return max(LEAST_MAGNIFICATION, OVER_VIEW * view.zoom)


def paint_loupe(
    painter: QPainter,
    layer: PictureLayer,
    view: ViewTransform,
    place: LoupePlace,
    at: tuple[float, float],
    caption: str,
) -> None:
    """Paint patch, rim, cross and caption."""
    radius = radius_for(QSizeF(view.width, view.height))
    centre = place.centre
    layer.paint_patch(
        painter,
        centre=centre,
        radius=radius,
        at=at,
        magnification=magnification(view),
        is_mirrored=view.is_mirrored,
    )
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for pen in (QPen(palette.HALO, 5.0), QPen(palette.INK, 1.6)):
        painter.setPen(pen)
        painter.drawEllipse(centre, radius, radius)
    gap, end = 6.0, radius * 0.72
    # A bright cross with a dark edge is seen on grass, shirt and sky alike.
    for pen in (QPen(palette.HALO, 3.0), QPen(palette.INK, 1.0)):
        painter.setPen(pen)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            painter.drawLine(
                QLineF(
                    centre.x() + gap * dx,
                    centre.y() + gap * dy,
                    centre.x() + end * dx,
                    centre.y() + end * dy,
                )
            )
    painter.setPen(QPen(palette.INK, 0.0))
    painter.setBrush(palette.INK)
    painter.drawEllipse(centre, 0.9, 0.9)
    if caption:
        below = QPointF(centre.x(), centre.y() + radius + 14.0)
        paint_caption(painter, view.area, below, caption)
