"""Measurements drawn on the picture: arcs, lines and rulers, each with its value and ± beside it.

Words are laid where they cover neither each other nor the body, as far as there is room, and never
under the event's name.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from deliverylab.core.metrics.figure_marks import ArcMark, Mark, RulerMark
from deliverylab.core.model.scale import Point
from deliverylab.core.vocabulary.events import event
from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.caption import paint_plate, plate_about, text_size
from deliverylab.shell.drawing.stage_text import tag_plate
from deliverylab.shell.drawing.view_transform import ViewTransform

ARC_RADIUS, MOST_OF_ARM = 34.0, 0.75
LEAST_ARC = 16.0
"""Length on the screen, px, below which an arc's radius grows: a tilt of some degrees must be seen."""
TICK = 4.0
AWAY = 9.0
"""Gap between a mark and the plate of its words, px."""
OTHER_FRAME = 0.55
"""Opacity of marks in a frame beside the event's own: the body has moved on from them."""
FULL_TYPE_LINES, LEAST_TYPE = 22.0, 0.7
"""Width of a stage, in lines of type, below which the type gets smaller, and how small at least."""
_TURNS_DEG = (0.0, 40.0, -40.0, 80.0, -80.0, 125.0, -125.0, 180.0)
_STEPS = (1.0, 2.2)
_GOOD_ENOUGH = 1.7
"""Cost of a place beside the mark that covers nothing: no farther one is looked for."""


@dataclass(frozen=True, kw_only=True)
class MeasureMarks:
    """What is measured at an event, frame px.

    Attributes
    ----------
    marks : tuple of ArcMark, LineMark or RulerMark
    body : tuple of (x, y)
        Points that words should not cover.
    is_own_frame : bool
        Whether the shown frame is the event's.
    event : str
        The event at which they are measured, whose name stands on its own frame.
    """

    marks: tuple[Mark, ...]
    body: tuple[tuple[float, float], ...] = ()
    is_own_frame: bool = True
    event: str = ""


@dataclass(frozen=True)
class _Drawn:
    """One mark in widget px: its lines, where its words belong, and in which direction from there."""

    solid: list[QPolygonF]
    dashed: list[QLineF]
    beside: QPointF
    away: tuple[float, float]


def paint_measures(painter: QPainter, measured: MeasureMarks, view: ViewTransform) -> None:
    """Paint all marks, then their words."""
    painter.save()
    tag = _tag(painter.font(), measured, view)
    painter.setFont(_font(painter, view))
    laid = _known_layout(measured, view, painter.font(), tag)
    if not measured.is_own_frame:
        painter.setOpacity(OTHER_FRAME)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    solid = QPainterPath()
    for each, _, _ in laid:
        for line in each.solid:
            solid.addPolygon(line)
    for pen in (QPen(palette.HALO, 3.6), QPen(palette.INK, 1.5)):
        painter.setPen(pen)
        painter.drawPath(solid)  # at once: one by one takes several times as long on a widget
    pen = QPen(palette.INK, 1.0)
    pen.setDashPattern([3.0, 3.0])
    painter.setPen(pen)
    painter.drawLines([line for each, _, _ in laid for line in each.dashed])
    for _, plate, text in laid:
        paint_plate(painter, plate, text)
    painter.restore()


def _tag(font: QFont, measured: MeasureMarks, view: ViewTransform) -> QRectF:
    """Return the room of the event's name; empty beside the event's own frame."""
    if not measured.is_own_frame or not measured.event:
        return QRectF()
    return tag_plate(view.area, font, event(measured.event).name)


def _font(painter: QPainter, view: ViewTransform) -> QFont:
    """Return the stage's type, smaller where the stage is narrow: it is the body that is to be seen."""
    font = QFont(painter.font())
    share = view.width / (FULL_TYPE_LINES * QFontMetricsF(font).height())
    font.setPointSizeF(font.pointSizeF() * min(1.0, max(LEAST_TYPE, share)))
    return font


_Laid = tuple[_Drawn, QRectF, str]
_LATEST: list[tuple[MeasureMarks, ViewTransform, QFont, list[_Laid]]] = []
_N_LATEST = 4


def _known_layout(
    measured: MeasureMarks, view: ViewTransform, font: QFont, tag: QRectF
) -> list[_Laid]:
    """Return the layout, which is found once as long as nothing moves."""
    for marks, through, written, laid in _LATEST:
        if marks is measured and through == view and written == font:
            return laid
    body = [view.to_widget(*place) for place in measured.body]
    laid = _laid_out(measured, body, view, QFontMetricsF(font), tag)
    _LATEST.insert(0, (measured, view, font, laid))
    del _LATEST[_N_LATEST:]
    return laid


def _laid_out(
    measured: MeasureMarks,
    body: Sequence[QPointF],
    view: ViewTransform,
    metrics: QFontMetricsF,
    tag: QRectF,
) -> list[_Laid]:
    """Return each mark with the plate of its words; what has no room of its own is left out.

    What the picture shows goes before what it does not.
    """
    laid: list[_Laid] = []
    for mark in sorted(measured.marks, key=lambda mark: not mark.is_true):
        drawn = _drawn(mark, view)
        taken = [tag, *(plate for _, plate, _ in laid)]
        plate = _free_plate(text_size(metrics, mark.text), drawn, taken, body, view.area)
        if plate is not None and not any(plate.intersects(other) for other in taken):
            if not mark.is_true:  # words without a drawing: a line leads to what they are about
                drawn = replace(drawn, dashed=[QLineF(drawn.beside, plate.center())])
            laid.append((drawn, plate, mark.text))
    return laid


def _drawn(mark: Mark, view: ViewTransform) -> _Drawn:
    def at(place: Point) -> QPointF:
        return view.to_widget(place.x_px, place.y_px)

    if isinstance(mark, ArcMark):
        return _drawn_arc(mark, at(mark.corner), at(mark.reference), view)
    if isinstance(mark, RulerMark):
        return _drawn_ruler(mark, [at(place) for place in (mark.start, mark.end)], view)
    return _drawn_line(at(mark.start), at(mark.end))


def _drawn_arc(mark: ArcMark, corner: QPointF, reference: QPointF, view: ViewTransform) -> _Drawn:
    """Return the arc with its dashed arm; where the picture does not show the angle, words only."""
    turn = abs(math.radians(mark.turn_deg))
    longest = MOST_OF_ARM * mark.reach_px * view.zoom
    radius = min(max(ARC_RADIUS, LEAST_ARC / max(turn, 1e-3)), max(longest, 8.0))
    arc = [view.to_widget(*place) for place in mark.arc(radius / view.zoom)]
    middle = arc[len(arc) // 2]
    away = _unit(middle - corner)
    if not mark.is_true:
        return _Drawn([], [], corner, (-away[0], -away[1]))
    dashed = QLineF(corner, reference)
    dashed.setLength(min(dashed.length(), radius + 12.0))
    return _Drawn([QPolygonF(arc)], [dashed], middle, away)


def _drawn_ruler(mark: RulerMark, ends: Sequence[QPointF], view: ViewTransform) -> _Drawn:
    start, end = ends
    along = _unit(end - start)
    across = QPointF(-along[1], along[0])
    strokes = [(place, 2.0 * TICK) for place in (start, end)]
    strokes += [(view.to_widget(*tick), TICK) for tick in mark.ticks]
    lines = [QPolygonF([place - across * half, place + across * half]) for place, half in strokes]
    lines.append(QPolygonF([start, end]))
    feet = [
        QLineF(view.to_widget(*measured), view.to_widget(*foot)) for measured, foot in mark.feet
    ]
    # words of a level ruler stand below it, those of an upright one beside it
    is_level = abs(along[0]) > abs(along[1])
    away = (0.0, 1.0) if is_level else (1.0, 0.0)
    return _Drawn(lines, feet, (start + end) / 2.0, away)


def _drawn_line(start: QPointF, end: QPointF) -> _Drawn:
    """Return a line across the body, carried on a little beyond both of its points."""
    along = _unit(end - start)
    beyond = QPointF(*along) * 14.0
    return _Drawn([QPolygonF([start - beyond, end + beyond])], [], end + beyond, along)


def _free_plate(
    size: tuple[float, float],
    drawn: _Drawn,
    taken: Sequence[QRectF],
    body: Sequence[QPointF],
    area: QRectF,
) -> QRectF | None:
    """Return where words of a size cover least; None where their mark is out of sight."""
    if not area.contains(drawn.beside):
        return None
    best, best_cost = None, math.inf
    for step in _STEPS:
        for turn_deg in _TURNS_DEG:
            plate = plate_about(size, area, _middle(size, drawn, turn_deg, step))
            cost = abs(turn_deg) / 110.0 + 0.6 * step
            cost += 6.0 * sum(plate.intersects(other) for other in taken)
            cost += 1.5 * sum(plate.contains(point) for point in body)
            cost += 2.0 * plate.contains(drawn.beside)
            if cost < best_cost:
                best, best_cost = plate, cost
        if best_cost < _GOOD_ENOUGH:
            break
    return best


def _middle(size: tuple[float, float], drawn: _Drawn, turn_deg: float, step: float) -> QPointF:
    """Return the middle of a plate whose near edge lies beside the mark, in a turned direction."""
    turn = math.radians(turn_deg)
    dx = drawn.away[0] * math.cos(turn) - drawn.away[1] * math.sin(turn)
    dy = drawn.away[0] * math.sin(turn) + drawn.away[1] * math.cos(turn)
    out = AWAY * step
    return drawn.beside + QPointF(dx * (0.5 * size[0] + out), dy * (0.5 * size[1] + out))


def _unit(vector: QPointF) -> tuple[float, float]:
    length = math.hypot(vector.x(), vector.y())
    return (vector.x() / length, vector.y() / length) if length else (1.0, 0.0)
