"""A body drawn over a picture: lines by side, markers by side and by where a point came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.segments import DRAWN, MIDPOINTS
from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.view_transform import ViewTransform

PointState = Literal["placed", "tracked", "detected", "filled", "imported", "hidden"]
Style = Literal["athlete", "model"]

MARKER_HALF = 4.6
LINE_WIDTH = 3.0
MODEL_WIDTH, GHOST_WIDTH = 1.5, 2.2
FULL_SIZE_BODY = 360.0
"""Height of a body on the screen, px, from which markers and lines have their full size."""
LEAST_SIZE = 0.55
TRACKED_SHARE = 0.4
"""Share of a side's colour in the fill of a tracked point; the rest is dark."""
SEE_THROUGH_ZOOM = 2.5
"""From this zoom on markers are open, so that the joint beneath stays visible."""


class StagePoint(NamedTuple):
    """A landmark as it is drawn: place in the frame, px, and state."""

    x_px: float
    y_px: float
    state: PointState = "placed"


@dataclass(frozen=True)
class SkeletonLook:
    """How a skeleton is drawn.

    Attributes
    ----------
    style : {"athlete", "model"}
        Solid with coloured sides, or thin, dashed and lilac.
    is_ghost : bool
        Without markers, laid over another delivery.
    moving : str
        Landmark in the hand: it has no marker, so that the joint is seen, and the pens are thin,
        so that it follows the hand; empty at rest.
    """

    style: Style = "athlete"
    is_ghost: bool = False
    moving: str = ""


def hidden_keys(points: Mapping[str, StagePoint]) -> tuple[str, ...]:
    """Return the landmarks that were looked for and cannot be seen."""
    return tuple(key for key, point in points.items() if point.state == "hidden")


def _ends(points: Mapping[str, StagePoint], view: ViewTransform) -> dict[str, QPointF]:
    """Return widget places of all visible points and of the midpoints that they give."""
    ends = {
        key: view.to_widget(point.x_px, point.y_px)
        for key, point in points.items()
        if point.state != "hidden"
    }
    for middle, (left, right) in MIDPOINTS.items():
        if left in ends and right in ends:
            ends[middle] = (ends[left] + ends[right]) / 2.0
    return ends


def _size(ends: Mapping[str, QPointF]) -> float:
    """Return the factor of markers and lines: a small body must not drown in its markers."""
    heights = [place.y() for place in ends.values()]
    body = max(heights) - min(heights) if len(heights) > 8 else FULL_SIZE_BODY
    return min(1.0, max(LEAST_SIZE, body / FULL_SIZE_BODY))


def _line_side(start: str, end: str, hand: Hand) -> str:
    if start in MIDPOINTS or start.partition("_")[2] == end.partition("_")[2]:
        return "middle"
    return palette.side_of(start, hand)


def paint_skeleton(
    painter: QPainter,
    points: Mapping[str, StagePoint],
    view: ViewTransform,
    hand: Hand,
    look: SkeletonLook,
) -> None:
    """Paint lines, then markers, in widget px."""
    ends = _ends(points, view)
    lines: dict[str, list[QLineF]] = {"middle": [], "throwing": [], "glove": []}
    for start, end in DRAWN:
        if start in ends and end in ends:
            lines[_line_side(start, end, hand)].append(QLineF(ends[start], ends[end]))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    size = _size(ends)
    if look.style == "model" or look.is_ghost:
        width = GHOST_WIDTH if look.is_ghost else MODEL_WIDTH
        _paint_model_lines(painter, [line for side in lines.values() for line in side], width)
    else:
        _paint_athlete_lines(painter, lines, size, is_moving=bool(look.moving))
    if not look.is_ghost:
        _paint_markers(
            painter, points, ends, hand, look, size, is_open=view.zoom > SEE_THROUGH_ZOOM
        )
    if "ball" in ends and not look.is_ghost:
        painter.setPen(QPen(palette.MIDDLE, 1.4))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(ends["ball"], 5.5, 5.5)


def _paint_athlete_lines(
    painter: QPainter, lines: Mapping[str, list[QLineF]], size: float, *, is_moving: bool
) -> None:
    cap = Qt.PenCapStyle.FlatCap
    width = 1.6 if is_moving else LINE_WIDTH * size
    if not is_moving:
        painter.setPen(QPen(palette.HALO, width + 2.4, Qt.PenStyle.SolidLine, cap))
        painter.drawLines([line for side in lines.values() for line in side])
    for side, of_side in lines.items():
        painter.setPen(QPen(palette.side_colour(side), width, Qt.PenStyle.SolidLine, cap))
        painter.drawLines(of_side)


def _paint_model_lines(painter: QPainter, lines: list[QLineF], width: float) -> None:
    painter.setPen(QPen(palette.HALO, width + 1.7))
    painter.drawLines(lines)
    pen = QPen(palette.MODEL, width)
    pen.setDashPattern([4.0, 3.0])
    painter.setPen(pen)
    painter.drawLines(lines)


def marker_path(side: str, at: QPointF, half: float) -> QPainterPath:
    """Return the outline of a side's marker: a square, a circle, or a diamond for the middle."""
    path = QPainterPath()
    if side == "throwing":
        path.addRect(QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half))
    elif side == "glove":
        path.addEllipse(at, half * 1.08, half * 1.08)
    else:
        path.moveTo(at.x(), at.y() - half * 1.25)
        path.lineTo(at.x() + half * 1.25, at.y())
        path.lineTo(at.x(), at.y() + half * 1.25)
        path.lineTo(at.x() - half * 1.25, at.y())
        path.closeSubpath()
    return path


def marker_brush(colour: QColor, state: PointState, *, is_open: bool) -> QColor:
    """Return the fill that tells where a point came from.

    Placed and imported points are full, tracked ones half, detected and filled ones empty.
    """
    fill = QColor(colour)
    if is_open:
        fill.setAlpha({"placed": 60, "imported": 60, "tracked": 30}.get(state, 0))
        return fill
    if state in {"placed", "imported"}:
        return fill
    shade = QColor(palette.PLATE)
    if state == "tracked":
        # opaque: what lies beneath, mostly a limb of the same hue, would fill it up
        levels = (
            (fill.red(), shade.red()),
            (fill.green(), shade.green()),
            (fill.blue(), shade.blue()),
        )
        return QColor(*(round(TRACKED_SHARE * a + (1.0 - TRACKED_SHARE) * b) for a, b in levels))
    return shade


def _paint_markers(
    painter: QPainter,
    points: Mapping[str, StagePoint],
    ends: Mapping[str, QPointF],
    hand: Hand,
    look: SkeletonLook,
    size: float,
    *,
    is_open: bool,
) -> None:
    half = MARKER_HALF * (1.5 if is_open else size) * (0.8 if look.style == "model" else 1.0)
    grouped: dict[tuple[str, PointState], QPainterPath] = {}
    for key, point in points.items():
        if point.state == "hidden" or key in {"ball", look.moving}:
            continue
        side = palette.side_of(key, hand)
        outline = marker_path(side, ends[key], half)
        grouped.setdefault((side, point.state), QPainterPath()).addPath(outline)
    for (side, state), path in grouped.items():
        colour = palette.MODEL if look.style == "model" else palette.side_colour(side)
        if not is_open and not look.moving:
            painter.setPen(QPen(palette.HALO, 3.6))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPath(path)
        pen = QPen(colour, 1.8 * max(0.7, size))
        if state == "filled":
            pen.setDashPattern([1.2, 1.2])
        painter.setPen(pen)
        painter.setBrush(marker_brush(colour, state, is_open=is_open))
        painter.drawPath(path)


def paint_chosen(painter: QPainter, at: QPointF, side: str, *, is_moving: bool) -> None:
    """Paint the frame round the chosen landmark; while it moves, a fine cross instead."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if not is_moving:
        painter.setPen(QPen(palette.HALO, 4.0))
        painter.drawPath(marker_path(side, at, MARKER_HALF + 5.0))
        painter.setPen(QPen(palette.SELECTED, 1.6))
        painter.drawPath(marker_path(side, at, MARKER_HALF + 5.0))
        return
    for pen in (QPen(palette.HALO, 3.0), QPen(palette.SELECTED, 1.2)):
        painter.setPen(pen)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            painter.drawLine(
                QLineF(at.x() + 7 * dx, at.y() + 7 * dy, at.x() + 18 * dx, at.y() + 18 * dy)
            )
