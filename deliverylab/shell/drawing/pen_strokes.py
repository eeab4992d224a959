"""What was drawn by hand on a stage, and what is being drawn, as paint."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from deliverylab.core.model.walkthrough import Drawing, DrawingKind
from deliverylab.core.report.hand_strokes import hand_strokes
from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.view_transform import ViewTransform

LINE, RIM, BARB = 2.6, 2.4, 14.0
"""Width of a stroke and of its dark rim, and length of an arrow's barbs, px of the screen."""


class PenStroke(NamedTuple):
    """A drawing that has been begun: its kind, and its points so far in frame px."""

    kind: DrawingKind
    places: tuple[tuple[float, float], ...] = ()


def paint_drawings(
    painter: QPainter, drawings: Sequence[Drawing], pen: PenStroke | None, view: ViewTransform
) -> None:
    """Paint what was drawn, and what is being drawn, on a dark rim."""
    begun = [pen] if pen is not None and len(pen.places) > 1 else []
    shapes = [(one.kind, one.points_px) for one in drawings]
    shapes += [(one.kind, one.places) for one in begun]
    if not shapes:
        return
    lines = [
        QPolygonF([QPointF(*place) for place in line])
        for kind, places in shapes
        for line in hand_strokes(kind, [view.to_widget(*at).toTuple() for at in places], BARB)
    ]
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width in ((palette.HALO, LINE + RIM), (palette.PICKED, LINE)):
        ink = QPen(colour, width)
        ink.setCapStyle(Qt.PenCapStyle.RoundCap)
        ink.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(ink)
        for line in lines:
            painter.drawPolyline(line)
