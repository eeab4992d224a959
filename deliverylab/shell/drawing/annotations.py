"""What is written on a stage besides the body: angles, the scale, the vertical, the event."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.caption import paint_caption
from deliverylab.shell.drawing.view_transform import ViewTransform

Place = tuple[float, float]
ARC_RADIUS = 36.0
TRAIL_RADIUS = 3.0
NOTE_AWAY = 22.0


@dataclass(frozen=True, kw_only=True)
class AngleArc:
    """The angle at `vertex` between two other places (frame px), with its value as text.

    With `is_flexion`, the arc runs from the first arm's extension, where a straight joint is zero.
    """

    vertex: Place
    arm_a: Place
    arm_b: Place
    text: str
    is_flexion: bool = True


@dataclass(frozen=True, kw_only=True)
class ScaleLine:
    """The two points of known distance, frame px, and that distance as text."""

    a: Place
    b: Place
    text: str


@dataclass(frozen=True, kw_only=True)
class PlumbLine:
    """The vertical through a place, leaning by `lean_deg` (clockwise positive), frame px."""

    at: Place
    lean_deg: float
    length_px: float


@dataclass(frozen=True, kw_only=True)
class Cross:
    """A single named place, frame px: the rubber, a control point."""

    at: Place
    text: str = ""


@dataclass(frozen=True, kw_only=True)
class Note:
    """Words beside a place, frame px: a value that the picture itself does not show.

    They stand in the direction of `away` from it, where nothing else is.
    """

    at: Place
    text: str
    away: Place = (1.0, 0.0)


@dataclass(frozen=True, kw_only=True)
class Trail:
    """Where something small was in neighbouring frames, frame px, in order."""

    places: tuple[Place, ...]


Annotation = AngleArc | ScaleLine | PlumbLine | Cross | Note | Trail


def paint_annotations(
    painter: QPainter, annotations: tuple[Annotation, ...], view: ViewTransform
) -> None:
    """Paint all, in widget px."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    for annotation in annotations:
        if isinstance(annotation, AngleArc):
            _paint_angle(painter, annotation, view)
        elif isinstance(annotation, ScaleLine):
            _paint_scale(painter, annotation, view)
        elif isinstance(annotation, PlumbLine):
            _paint_plumb(painter, annotation, view)
        elif isinstance(annotation, Note):
            _paint_note(painter, annotation, view)
        elif isinstance(annotation, Trail):
            _paint_trail(painter, annotation, view)
        else:
            _paint_cross(painter, annotation, view)


def arc_angles(vertex: QPointF, a: QPointF, b: QPointF, *, is_flexion: bool) -> tuple[float, float]:
    """Return start and sweep in Qt's degrees (anticlockwise from three o'clock), sweep < 180."""

    def heading(point: QPointF) -> float:
        return math.degrees(math.atan2(vertex.y() - point.y(), point.x() - vertex.x()))

    start = heading(a) + (180.0 if is_flexion else 0.0)
    sweep = (heading(b) - start + 180.0) % 360.0 - 180.0
    return start, sweep


def _paint_angle(painter: QPainter, arc: AngleArc, view: ViewTransform) -> None:
    vertex, a, b = (view.to_widget(*place) for place in (arc.vertex, arc.arm_a, arc.arm_b))
    if not view.area.contains(vertex):
        return
    start, sweep = arc_angles(vertex, a, b, is_flexion=arc.is_flexion)
    circle = QRectF(
        vertex.x() - ARC_RADIUS, vertex.y() - ARC_RADIUS, 2 * ARC_RADIUS, 2 * ARC_RADIUS
    )
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for pen in (QPen(palette.HALO, 4.0), QPen(palette.INK, 1.5)):
        painter.setPen(pen)
        painter.drawArc(circle, round(start * 16), round(sweep * 16))
    if arc.is_flexion:
        away = math.radians(start)
        end = QPointF(math.cos(away), -math.sin(away)) * (ARC_RADIUS + 10.0)
        pen = QPen(palette.INK, 1.0)
        pen.setDashPattern([2.0, 3.0])
        painter.setPen(pen)
        painter.drawLine(QLineF(vertex, vertex + end))
    middle = math.radians(start + sweep / 2.0)
    beside = QPointF(math.cos(middle), -math.sin(middle))
    paint_caption(painter, view.area, vertex + beside * (ARC_RADIUS + 30.0), arc.text)


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


def _paint_plumb(painter: QPainter, line: PlumbLine, view: ViewTransform) -> None:
    lean = math.radians(line.lean_deg)
    x_px, y_px = line.at
    top = view.to_widget(
        x_px + math.sin(lean) * line.length_px, y_px - math.cos(lean) * line.length_px
    )
    pen = QPen(palette.INK_SOFT, 1.0)
    pen.setDashPattern([6.0, 4.0])
    painter.setPen(pen)
    painter.drawLine(QLineF(view.to_widget(x_px, y_px), top))


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


def _paint_note(painter: QPainter, note: Note, view: ViewTransform) -> None:
    at = view.to_widget(*note.at)
    if not view.area.contains(at):
        return
    (x_px, y_px), (dx, dy) = note.at, note.away
    out = QLineF(at, view.to_widget(x_px + dx, y_px + dy)).unitVector()
    half = 0.5 * painter.fontMetrics().horizontalAdvance(note.text)
    beside = QPointF(out.dx() * (half + NOTE_AWAY), out.dy() * NOTE_AWAY)
    paint_caption(painter, view.area, at + beside, note.text)


def _paint_trail(painter: QPainter, trail: Trail, view: ViewTransform) -> None:
    places = [view.to_widget(*place) for place in trail.places]
    lines = [QLineF(a, b) for a, b in pairwise(places)]
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for pen in (QPen(palette.HALO, 3.5), QPen(palette.PICKED, 1.2)):
        painter.setPen(pen)
        painter.drawLines(lines)
        for place in places:
            painter.drawEllipse(place, TRAIL_RADIUS, TRAIL_RADIUS)
