"""A chain drawn along the parts of the delivery: what it starts with, what it leads to."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from deliverylab.core.compare.chain_layout import ChainLayout, PlacedNode
from deliverylab.core.units import UnitSystem
from deliverylab.shell.drawing.verdict_shape import paint_verdict
from deliverylab.shell.theme import theme
from deliverylab.shell.value_text import name_under_heading, of_difference, verdict_shape

STARTS_HERE = "starts here"
COLUMN_GAP, ROW_GAP = 26.0, 12.0
MOST_WIDE = 230.0
PAD_ACROSS, PAD_DOWN = 8.0, 5.0
_NAME_LINES = 2
_HEAD = 6.0
Edge = tuple[int, int]


@dataclass(frozen=True)
class Box:
    """A point of the chain with its words, where it stands."""

    place: QRectF
    placed: PlacedNode
    name: tuple[str, ...]
    change: str


@dataclass(frozen=True)
class ChainDrawing:
    """Everything that is painted, in the widget's pixels.

    Attributes
    ----------
    layout : ChainLayout
    boxes : tuple of Box
        As `layout.nodes`.
    columns : tuple of QRectF
        Where the headings stand.
    dashed : collection of (int, int)
        Edges that lead over what is not clear.
    height : float
        Room that it takes.
    """

    layout: ChainLayout
    boxes: tuple[Box, ...]
    columns: tuple[QRectF, ...]
    dashed: frozenset[Edge]
    height: float

    def at(self, point: QPointF) -> int | None:
        """Return the number of the box under a point."""
        for number, box in enumerate(self.boxes):
            if box.place.contains(point):
                return number
        return None


def type_of(factor: float, *, is_strong: bool = False) -> QFont:
    """Return the type that the drawing uses."""
    font = QFont()
    font.setPointSizeF(theme().point_size(factor))
    if is_strong:
        font.setWeight(QFont.Weight.DemiBold)
    return font


def drawn(
    layout: ChainLayout, width: float, system: UnitSystem, dashed: Collection[Edge] = ()
) -> ChainDrawing:
    """Return where everything stands in a width: boxes in columns, as high as their words.

    Parameters
    ----------
    layout : ChainLayout
    width : float
        Room across.
    system : {"metric", "imperial"}
        The reader's units.
    dashed : collection of (int, int)
        Edges of the layout that lead over what is not clear.
    """
    n_columns = max(1, len(layout.columns))
    wide = min((width - 2.0 - COLUMN_GAP * (n_columns - 1)) / n_columns, MOST_WIDE)
    lefts = [1.0 + column * (wide + COLUMN_GAP) for column in range(n_columns)]
    small, strong = (QFontMetricsF(type_of(0.88, is_strong=bold)) for bold in (False, True))
    room = wide - 2.0 * PAD_ACROSS
    names = [
        _wrapped(name_under_heading(placed.node.difference.a), small, room)
        for placed in layout.nodes
    ]
    heading = small.height() + 6.0
    n_rows = max((placed.row for placed in layout.nodes), default=-1) + 1
    tops, top = [], heading + 2.0
    for row in range(n_rows):
        tops.append(top)
        there = [
            (len(name) + placed.is_start) * small.height()
            for placed, name in zip(layout.nodes, names, strict=True)
            if placed.row == row
        ]
        top += max(there) + strong.height() + 2.0 * PAD_DOWN + ROW_GAP
    boxes = []
    for placed, name in zip(layout.nodes, names, strict=True):
        high = (len(name) + placed.is_start) * small.height() + strong.height() + 2.0 * PAD_DOWN
        place = QRectF(lefts[placed.column], tops[placed.row], wide, high)
        boxes.append(Box(place, placed, name, _change(placed, system)))
    columns = tuple(QRectF(left, 0.0, wide, heading) for left in lefts[: len(layout.columns)])
    return ChainDrawing(layout, tuple(boxes), columns, frozenset(dashed), top - ROW_GAP + 2.0)


def _change(placed: PlacedNode, system: UnitSystem) -> str:
    number, _ = of_difference(placed.node.difference, system)
    return f"{placed.node.difference.words}  {number}"


def _wrapped(text: str, metrics: QFontMetricsF, room: float) -> tuple[str, ...]:
    """Return a name on one line, or on two; what is longer still is elided."""
    lines, line = [], ""
    words = text.split()
    for number, word in enumerate(words):
        longer = f"{line} {word}".strip()
        if metrics.horizontalAdvance(longer) <= room or not line:
            line = longer
            continue
        lines.append(line)
        line = word
        if len(lines) == _NAME_LINES - 1:
            line = " ".join(words[number:])
            break
    lines.append(line)
    return tuple(metrics.elidedText(each, Qt.TextElideMode.ElideRight, room) for each in lines)


def paint_chain(
    painter: QPainter, drawing: ChainDrawing, *, selected: int | None, is_focused: bool
) -> None:
    """Paint headings, arrows and boxes; what belongs to the selected box stands out."""
    look = theme()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(type_of(0.88))
    painter.setPen(look.colour("quiet"))
    for phase, place in zip(drawing.layout.columns, drawing.columns, strict=True):
        painter.drawText(place, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, phase)
    edges = sorted(drawing.layout.edges, key=lambda edge: selected in edge)
    for edge in edges:
        ink = look.colour("text" if selected in edge else "faint")
        _paint_arrow(painter, drawing, edge, ink)
    for number, box in enumerate(drawing.boxes):
        _paint_box(painter, box, is_selected=number == selected, is_focused=is_focused)


def _paint_box(painter: QPainter, box: Box, *, is_selected: bool, is_focused: bool) -> None:
    look = theme()
    is_start = box.placed.is_start
    edge = look.colour("text" if is_selected else "throwing" if is_start else "line")
    wide = 2.4 if is_selected and is_focused else 1.8 if is_start or is_selected else 1.0
    painter.setPen(QPen(edge, wide))
    painter.setBrush(look.colour("raised"))
    painter.drawRoundedRect(box.place.adjusted(0.5, 0.5, -0.5, -0.5), 6.0, 6.0)
    small, strong = type_of(0.88), type_of(0.88, is_strong=True)
    metrics = QFontMetricsF(small)
    left, base = box.place.left() + PAD_ACROSS, box.place.top() + PAD_DOWN + metrics.ascent()
    room = box.place.width() - 2.0 * PAD_ACROSS
    painter.setFont(small)
    if is_start:
        painter.setPen(look.colour("throwing"))
        painter.drawText(QPointF(left, base), STARTS_HERE)
        base += metrics.height()
    painter.setPen(look.colour("quiet"))
    for line in box.name:
        painter.drawText(QPointF(left, base), line)
        base += metrics.height()
    painter.setFont(strong)
    metrics = QFontMetricsF(strong)
    size = metrics.ascent() * 0.55
    centre = QPointF(left + size / 2.0, base - metrics.ascent() * 0.36)
    shape = verdict_shape(box.placed.node.difference)
    paint_verdict(painter, shape, centre, size, look.colour("text"))
    painter.setPen(look.colour("text"))
    said = metrics.elidedText(box.change, Qt.TextElideMode.ElideRight, room - size - 5.0)
    painter.drawText(QPointF(left + size + 5.0, base), said)


def _paint_arrow(painter: QPainter, drawing: ChainDrawing, edge: Edge, ink: QColor) -> None:
    cause, effect = (drawing.boxes[number] for number in edge)
    path, heading = _way(cause, effect)
    pen = QPen(ink, 1.5)
    if edge in drawing.dashed:
        pen.setDashPattern([3.0, 2.5])
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path)
    tip = path.currentPosition()
    side = QPointF(-heading.y(), heading.x()) * (0.55 * _HEAD)
    back = tip - heading * _HEAD
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    painter.drawPolygon(QPolygonF([tip, back + side, back - side]))


def _way(cause: Box, effect: Box) -> tuple[QPainterPath, QPointF]:
    """Return the line of an arrow, and the direction in which it arrives."""
    a, b = cause.place, effect.place
    if cause.placed.column == effect.placed.column:
        if effect.placed.row == cause.placed.row + 1:
            path = QPainterPath(QPointF(a.center().x(), a.bottom()))
            path.lineTo(b.center().x(), b.top())
            return path, QPointF(0.0, 1.0)
        # past what stands between them, in the gap on the right
        path = QPainterPath(QPointF(a.right(), a.center().y()))
        beside = a.right() + 0.5 * COLUMN_GAP
        path.cubicTo(beside, a.center().y(), beside, b.center().y(), b.right(), b.center().y())
        return path, QPointF(-1.0, 0.0)
    is_onward = cause.placed.column < effect.placed.column
    start_x, end_x = (a.right(), b.left()) if is_onward else (a.left(), b.right())
    reach = (1.0 if is_onward else -1.0) * max(0.45 * abs(end_x - start_x), 0.5 * COLUMN_GAP)
    path = QPainterPath(QPointF(start_x, a.center().y()))
    path.cubicTo(
        start_x + reach, a.center().y(), end_x - reach, b.center().y(), end_x, b.center().y()
    )
    return path, QPointF(1.0 if is_onward else -1.0, 0.0)
