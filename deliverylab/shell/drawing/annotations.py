"""What is written on a stage besides the body: measurements, the scale, named places, the ball."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QPainter, QPen

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.caption import paint_caption
from deliverylab.shell.drawing.measure_marks import MeasureMarks, paint_measures
from deliverylab.shell.drawing.view_transform import ViewTransform

Place = tuple[float, float]
TRAIL_RADIUS = 3.0


@dataclass(frozen=True, kw_only=True)
class ScaleLine:
    """The two points of known distance, frame px, and that distance as text."""

    a: Place
    b: Place
    text: str


@dataclass(frozen=True, kw_only=True)
class Cross:
    """A single named place, frame px: the rubber, a control point."""

    at: Place
    text: str = ""


@dataclass(frozen=True, kw_only=True)
class Trail:
    """Where something small was in neighbouring frames, frame px, in order."""

    places: tuple[Place, ...]


Annotation = ScaleLine | MeasureMarks | Cross | Trail


def paint_annotations(
    painter: QPainter, annotations: tuple[Annotation, ...], view: ViewTransform
) -> None:
    """Paint all, in widget px."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    for annotation in annotations:
        if isinstance(annotation, ScaleLine):
            _paint_scale(painter, annotation, view)
        elif isinstance(annotation, MeasureMarks):
            paint_measures(painter, annotation, view)
        elif isinstance(annotation, Trail):
            _paint_trail(painter, annotation, view)
        else:
            _paint_cross(painter, annotation, view)


def _paint_scale(painter: QPainter, line: ScaleLine, view: ViewTransform) -> None:
    a, b = view.to_widget(*line.a), view.to_widget(*line.b)
    length = max(1.0, math.hypot(b.x() - a.x(), b.y() - a.y()))
    across = QPointF(-(b.y() - a.y()) / length, (b.x() - a.x()) / length) * 5.0
    lines = [QLineF(a, b), QLineF(a - across, a + across), QLineF(b - across, b + across)]
    for pen in (QPen(palette.HALO, 4.0), QPen(palette.PICKED, 1.5)):
        painter.setPen(pen)
        painter.drawLines(lines)  # at once: one by one takes ten times as long on a widget
    middle = (a + b) / 2.0
    # words without their line would only be in the way
    if line.text and view.area.contains(middle):
        y = max(a.y(), b.y()) + 18.0
        if y > view.height - 14.0:
            y = min(a.y(), b.y()) - 18.0
        paint_caption(painter, view.area, QPointF(middle.x(), y), line.text)


def _paint_cross(painter: QPainter, cross: Cross, view: ViewTransform) -> None:
    at = view.to_widget(*cross.at)
    for pen in (QPen(palette.HALO, 4.0), QPen(palette.PICKED, 1.5)):
        painter.setPen(pen)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            painter.drawLine(
                QLineF(at.x() + 3 * dx, at.y() + 3 * dy, at.x() + 10 * dx, at.y() + 10 * dy)
            )
    if cross.text:
        paint_caption(painter, view.area, QPointF(at.x(), at.y() + 22.0), cross.text)


def _paint_trail(painter: QPainter, trail: Trail, view: ViewTransform) -> None:
    places = [view.to_widget(*place) for place in trail.places]
    lines = [QLineF(a, b) for a, b in pairwise(places)]
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for pen in (QPen(palette.HALO, 3.5), QPen(palette.PICKED, 1.2)):
        painter.setPen(pen)
        painter.drawLines(lines)
        for place in places:
            painter.drawEllipse(place, TRAIL_RADIUS, TRAIL_RADIUS)
