"""Arrows between the boxes of a chain: along gutters and between rows, never through a box."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from deliverylab.core.compare.chain_layout import ChainLayout, PlacedNode
from deliverylab.core.report.style import GREY

HEAD = 3.6
"""Length of an arrow's head, points."""
BULGE = 13.0
"""How far an arrow within a column reaches into the gutter, points."""
LANE = 2.8
"""Distance of two arrows of different starts that share a gap, points."""


@dataclass(frozen=True)
class Grid:
    """Where the boxes stand, points from the drawing's upper left corner.

    Attributes
    ----------
    box_width, box_height : float
    gutter, row_gap : float
        Between columns and between rows.
    """

    box_width: float
    box_height: float
    gutter: float
    row_gap: float

    def left(self, column: int) -> float:
        """Return where a column begins."""
        return column * (self.box_width + self.gutter)

    def top(self, row: int) -> float:
        """Return how far below the drawing's top a row begins."""
        return row * (self.box_height + self.row_gap)

    def middle(self, row: int) -> float:
        """Return how far below the drawing's top the middle of a row is."""
        return self.top(row) + self.box_height / 2.0

    def height(self, layout: ChainLayout) -> float:
        """Return the height of the whole drawing, with the arrows that pass below the last row."""
        n_rows = 1 + max((placed.row for placed in layout.nodes), default=0)
        boxes = self.top(n_rows) - self.row_gap
        return max([boxes, *(lane + LANE for lane in lanes(layout, self).values())])


def draw_arrows(canvas: Any, layout: ChainLayout, grid: Grid, left: float, top: float) -> None:
    """Draw all arrows of a chain; boxes are drawn over their ends afterwards."""
    canvas.setStrokeColor(GREY)
    canvas.setFillColor(GREY)
    canvas.setLineWidth(0.8)
    canvas.setLineCap(0)
    canvas.setDash()
    passing = lanes(layout, grid)
    for start, end in layout.edges:
        source, target = layout.nodes[start], layout.nodes[end]
        if source.column == target.column:
            _within_column(canvas, source, target, grid, left, top)
        else:
            _across(canvas, source, target, grid, left, top, passing.get((start, end)))


def _within_column(
    canvas: Any, source: PlacedNode, target: PlacedNode, grid: Grid, left: float, top: float
) -> None:
    x = left + grid.left(source.column)
    if target.row == source.row + 1:
        middle = x + grid.box_width / 2.0
        y0 = top - grid.top(source.row) - grid.box_height
        y1 = top - grid.top(target.row)
        canvas.line(middle, y0, middle, y1 + HEAD)
        _head(canvas, middle, y1, 0.0, -1.0)
        return
    # round the boxes in between, on the side where there is a gutter
    side = 1.0 if source.column == 0 else -1.0
    edge = x + (grid.box_width if side > 0.0 else 0.0)
    y0, y1 = top - grid.middle(source.row), top - grid.middle(target.row)
    path = canvas.beginPath()
    path.moveTo(edge, y0)
    out = edge + side * BULGE
    path.curveTo(out, y0, out, y1, edge + side * HEAD, y1)
    canvas.drawPath(path, stroke=1, fill=0)
    _head(canvas, edge, y1, -side, 0.0)


def _across(
    canvas: Any,
    source: PlacedNode,
    target: PlacedNode,
    grid: Grid,
    left: float,
    top: float,
    lane: float | None,
) -> None:
    """Draw an arrow to another column, also to an earlier one; `lane` leads past those between."""
    onward = 1.0 if target.column > source.column else -1.0
    right_of_source, right_of_target = onward > 0.0, onward < 0.0
    x0 = left + grid.left(source.column) + right_of_source * grid.box_width
    x1 = left + grid.left(target.column) + right_of_target * grid.box_width
    y0, y1 = top - grid.middle(source.row), top - grid.middle(target.row)
    path = canvas.beginPath()
    path.moveTo(x0, y0)
    if lane is not None:
        last = x1 - onward * grid.gutter
        _bend(path, x0, y0, x0 + onward * grid.gutter, top - lane)
        path.lineTo(last, top - lane)
        x0, y0 = last, top - lane
    _bend(path, x0, y0, x1 - onward * HEAD, y1)
    canvas.drawPath(path, stroke=1, fill=0)
    _head(canvas, x1, y1, onward, 0.0)


def lanes(layout: ChainLayout, grid: Grid) -> dict[tuple[int, int], float]:
    """Return how far below the top each arrow passes the columns in between: a free row, or a gap.

    Arrows of one start share a lane, those of several starts in one gap run side by side.
    """
    taken = {(placed.column, placed.row) for placed in layout.nodes}
    found: dict[tuple[int, int], float] = {}
    in_gap: dict[int, dict[int, list[tuple[int, int]]]] = {}
    for start, end in _passing(layout):
        source, target = layout.nodes[start], layout.nodes[end]
        first, last = sorted((source.column, target.column))
        between = range(first + 1, last)
        free = (
            row
            for row in (target.row, source.row)
            if not any((column, row) in taken for column in between)
        )
        row = next(free, None)
        if row is not None:
            found[start, end] = grid.middle(row)
            continue
        gap = target.row + 1 if source.row > target.row else max(target.row, 1)
        in_gap.setdefault(gap, {}).setdefault(start, []).append((start, end))
    for gap, by_start in in_gap.items():
        middle = grid.top(gap) - grid.row_gap / 2.0
        for number, edges in enumerate(by_start.values()):
            offset = (number - (len(by_start) - 1) / 2.0) * LANE
            found |= dict.fromkeys(edges, middle + offset)
    return found


def _passing(layout: ChainLayout) -> Iterator[tuple[int, int]]:
    """Return the edges that pass other columns."""
    for start, end in layout.edges:
        if abs(layout.nodes[start].column - layout.nodes[end].column) > 1:
            yield start, end


def _bend(path: Any, x0: float, y0: float, x1: float, y1: float) -> None:
    middle = (x0 + x1) / 2.0
    path.curveTo(middle, y0, middle, y1, x1, y1)


def _head(canvas: Any, x: float, y: float, along_x: float, along_y: float) -> None:
    """Draw an arrow's head with its tip at a point, in the direction it came from."""
    path = canvas.beginPath()
    path.moveTo(x, y)
    back_x, back_y = x - HEAD * along_x, y - HEAD * along_y
    path.lineTo(back_x - 1.9 * along_y, back_y + 1.9 * along_x)
    path.lineTo(back_x + 1.9 * along_y, back_y - 1.9 * along_x)
    path.close()
    canvas.drawPath(path, stroke=0, fill=1)
