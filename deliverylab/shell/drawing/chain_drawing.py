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

STARTS_HERE, ALSO_HERE = "starts here", "also here"
ROW_GAP = 12.0
GAP_SHARE, FEWEST_GAP, MOST_GAP = 0.032, 14.0, 26.0
"""Room for arrows between columns, as a share of the width."""
FEWEST_WIDE, MOST_WIDE = 40.0, 230.0
PAD_ACROSS, PAD_DOWN, SHAPE_GAP = 7.0, 5.0, 4.0
SMALL = 0.88
"""Type size, as a factor of the window's."""
_MOST_LINES = 4
_HEAD = 6.0
Edge = tuple[int, int]


@dataclass(frozen=True)
class Box:
    """A point of the chain with its words, where it stands."""

    place: QRectF
    placed: PlacedNode
    flag: tuple[str, ...]
    name: tuple[str, ...]
    change: tuple[str, ...]


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
    gap, height : float
        Between columns, and the room that all takes.
    """

    layout: ChainLayout
    boxes: tuple[Box, ...]
    columns: tuple[QRectF, ...]
    dashed: frozenset[Edge]
    gap: float
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
    layout: ChainLayout,
    width: float,
    system: UnitSystem,
    *,
    dashed: Collection[Edge] = (),
    first: tuple[str, str] | None = None,
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
    first : (str, str), optional
        Metric and event of the start that carries most.
    """
    n_columns = max(1, len(layout.columns))
    gap = min(max(GAP_SHARE * width, FEWEST_GAP), MOST_GAP)
    # arrows within the last column pass it on its right
    room = width - 2.0 - gap * (n_columns - 0.5)
    wide = min(max(room / n_columns, FEWEST_WIDE), MOST_WIDE)
    lefts = [1.0 + column * (wide + gap) for column in range(n_columns)]
    line = QFontMetricsF(type_of(SMALL)).height()
    heading = line + 6.0
    boxes: list[Box] = []
    for placed in layout.nodes:
        flag = _flag(placed, first, wide - 2.0 * PAD_ACROSS)
        name, change = _words(placed, system, wide - 2.0 * PAD_ACROSS)
        high = (len(flag) + len(name) + len(change)) * line + 2.0 * PAD_DOWN
        boxes.append(Box(QRectF(lefts[placed.column], 0.0, wide, high), placed, flag, name, change))
    top, n_rows = heading + 2.0, max((box.placed.row for box in boxes), default=-1) + 1
    for row in range(n_rows):
        there = [box for box in boxes if box.placed.row == row]
        for box in there:
            box.place.moveTop(top)
        top += max(box.place.height() for box in there) + ROW_GAP
    columns = tuple(QRectF(left, 0.0, wide + gap, heading) for left in lefts[: len(layout.columns)])
    height = top - ROW_GAP + 2.0
    return ChainDrawing(layout, tuple(boxes), columns, frozenset(dashed), gap, height)


def _flag(placed: PlacedNode, first: tuple[str, str] | None, room: float) -> tuple[str, ...]:
    """Return the lines that tell a start; none for what follows."""
    if not placed.is_start:
        return ()
    is_first = first is None or placed.node.key == first
    return _wrapped(STARTS_HERE if is_first else ALSO_HERE, QFontMetricsF(type_of(SMALL)), room)


def _words(
    placed: PlacedNode, system: UnitSystem, room: float
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the lines of a box: its name, and how it differs, with the number where it fits."""
    difference = placed.node.difference
    name = _wrapped(name_under_heading(difference.a), QFontMetricsF(type_of(SMALL)), room)
    strong = QFontMetricsF(type_of(SMALL, is_strong=True))
    room -= shape_size() + SHAPE_GAP
    *most, last = _wrapped(difference.words, strong, room)
    longer = f"{last}  {of_difference(difference, system)[0]}"
    return name, (*most, longer if strong.horizontalAdvance(longer) <= room else last)


def shape_size() -> float:
    """Return the size of a verdict's shape in a box."""
    return QFontMetricsF(type_of(SMALL)).ascent() * 0.55


def _wrapped(text: str, metrics: QFontMetricsF, room: float) -> tuple[str, ...]:
    """Return words on up to four lines; what is longer still is elided."""
    lines: list[str] = []
    words = text.split()
    while words:
        n_words = 1
        while (
            n_words < len(words)
            and metrics.horizontalAdvance(" ".join(words[: n_words + 1])) <= room
        ):
            n_words += 1
        if len(lines) == _MOST_LINES - 1:
            n_words = len(words)
        lines.append(" ".join(words[:n_words]))
        words = words[n_words:]
    return tuple(metrics.elidedText(each, Qt.TextElideMode.ElideRight, room) for each in lines)


def paint_chain(
    painter: QPainter, drawing: ChainDrawing, *, selected: int | None, is_focused: bool
) -> None:
    """Paint headings, arrows and boxes; what belongs to the selected box stands out."""
    look = theme()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(type_of(SMALL))
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
    metrics = QFontMetricsF(type_of(SMALL))
    left, base = box.place.left() + PAD_ACROSS, box.place.top() + PAD_DOWN + metrics.ascent()
    painter.setFont(type_of(SMALL))
    for ink, lines in (("throwing", box.flag), ("quiet", box.name)):
        painter.setPen(look.colour(ink))
        for line in lines:
            painter.drawText(QPointF(left, base), line)
            base += metrics.height()
    size = shape_size()
    centre = QPointF(left + size / 2.0, base - metrics.ascent() * 0.36)
    shape = verdict_shape(box.placed.node.difference)
    paint_verdict(painter, shape, centre, size, look.colour("text"))
    painter.setFont(type_of(SMALL, is_strong=True))
    painter.setPen(look.colour("text"))
    for line in box.change:
        painter.drawText(QPointF(left + size + SHAPE_GAP, base), line)
        base += metrics.height()


def _paint_arrow(painter: QPainter, drawing: ChainDrawing, edge: Edge, ink: QColor) -> None:
    cause, effect = (drawing.boxes[number] for number in edge)
    path, heading = _way(cause, effect, drawing.gap)
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


def _way(cause: Box, effect: Box, gap: float) -> tuple[QPainterPath, QPointF]:
    """Return the line of an arrow, and the direction in which it arrives."""
    a, b = cause.place, effect.place
    if cause.placed.column == effect.placed.column:
        if effect.placed.row == cause.placed.row + 1:
            path = QPainterPath(QPointF(a.center().x(), a.bottom()))
            path.lineTo(b.center().x(), b.top())
            return path, QPointF(0.0, 1.0)
        # past what stands between them, in the gap on the right
        path = QPainterPath(QPointF(a.right(), a.center().y()))
        beside = a.right() + 0.5 * gap
        path.cubicTo(beside, a.center().y(), beside, b.center().y(), b.right(), b.center().y())
        return path, QPointF(-1.0, 0.0)
    is_onward = cause.placed.column < effect.placed.column
    start_x, end_x = (a.right(), b.left()) if is_onward else (a.left(), b.right())
    reach = (1.0 if is_onward else -1.0) * max(0.45 * abs(end_x - start_x), 0.5 * gap)
    path = QPainterPath(QPointF(start_x, a.center().y()))
    path.cubicTo(
        start_x + reach, a.center().y(), end_x - reach, b.center().y(), end_x, b.center().y()
    )
    return path, QPointF(1.0 if is_onward else -1.0, 0.0)
