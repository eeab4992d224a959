"""The chain on the page: boxes along the parts of the delivery, joined by arrows."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from deliverylab.core.compare.chain_layout import ChainLayout, PlacedNode
from deliverylab.core.report import wording
from deliverylab.core.report.blocks import LEADING, Fit, draw_lines
from deliverylab.core.report.chain_arrows import Grid, draw_arrows
from deliverylab.core.report.content import PageContent
from deliverylab.core.report.fonts import clipped, draw_text, fitted, text_width, wrapped
from deliverylab.core.report.page_chain import node_title
from deliverylab.core.report.style import (
    HAIRLINE,
    HEADING,
    INK,
    PANEL,
    PAPER,
    SMALL,
    SMALL_INK,
)

TITLE = "Where it starts, where it shows up"
KEY = "thick frame: where it starts"
NAME = SMALL_INK._replace(size=6.9)
WORDS = SMALL_INK._replace(weight="bold")
MOST_NAME_LINES = 2


class ChainPicture:
    """What the chain starts with, and what it leads to; a sentence where nothing lines up."""

    HEADING_HEIGHT, LABELS_HEIGHT = 17.0, 12.0
    GUTTER, ROW_GAP, PADDING = 22.0, 11.0, 5.0
    WIDEST_BOX = 150.0

    def __init__(self, content: PageContent, width: float) -> None:
        self.told = content.chain
        self.width = width
        self._layout = lru_cache(maxsize=8)(self._new_layout)

    def _new_layout(self, n_rows: int) -> tuple[ChainLayout, Grid]:
        """Return the drawing with so many rows at most, and where its boxes stand."""
        layout = self.told.layout(max(1, n_rows)) if self.told else ChainLayout((), (), ())
        n = max(1, len(layout.columns))
        box_width = min(self.WIDEST_BOX, (self.width - (n - 1) * self.GUTTER) / n)
        n_lines = max((len(self._name(each, box_width)) for each in layout.nodes), default=1)
        box_height = 2.0 * self.PADDING + self._text_height(n_lines)
        return layout, Grid(box_width, box_height, self.GUTTER, self.ROW_GAP)

    def _name(self, placed: PlacedNode, box_width: float) -> tuple[str, ...]:
        room = box_width - 2.0 * self.PADDING
        return wrapped(node_title(placed.node), NAME, room, MOST_NAME_LINES)

    @staticmethod
    def _text_height(n_lines: int) -> float:
        return n_lines * NAME.size * 1.25 + WORDS.size * 1.15

    def _has_picture(self, fit: Fit) -> bool:
        return self.told is not None and bool(self.told.chain.starts) and fit.n_chain_rows > 0

    def text(self, fit: Fit) -> tuple[str, ...]:
        """Return the lines below the drawing: as many sentences as fit whole, the first always."""
        if self.told is None:
            return ()
        first, *others = self.told.sentences
        if self._has_picture(fit):
            n_left_out = self._layout(fit.n_chain_rows)[0].n_left_out
            if n_left_out:
                first = f"{first} {wording.counted(n_left_out, 'more box', 'more boxes')}: see the technical sheet."
        for n in range(len(others), -1, -1):
            lines = wrapped(" ".join((*others[:n], first)), SMALL_INK, self.width)
            if len(lines) <= fit.n_chain_lines or n == 0:
                return lines
        return ()

    def height(self, fit: Fit) -> float:
        """Return the height of heading, drawing and text; 0 without a chain."""
        if self.told is None:
            return 0.0
        height = self.HEADING_HEIGHT + len(self.text(fit)) * SMALL.size * LEADING
        if self._has_picture(fit):
            layout, grid = self._layout(fit.n_chain_rows)
            height += self.LABELS_HEIGHT + grid.height(layout) + 5.0
        return height

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw heading, drawing and text."""
        if self.told is None:
            return
        draw_text(canvas, left, top - HEADING.size, TITLE, HEADING)
        has_picture = self._has_picture(fit)
        if has_picture:
            key = clipped(KEY, SMALL, self.width - text_width(TITLE, HEADING) - 12.0)
            draw_text(canvas, left + self.width, top - HEADING.size, key, SMALL, align="right")
        top -= self.HEADING_HEIGHT
        if has_picture:
            layout, grid = self._layout(fit.n_chain_rows)
            for column, phase in enumerate(layout.columns):
                x = left + grid.left(column)
                name = clipped(wording.raised(phase), SMALL, grid.box_width)
                draw_text(canvas, x, top - SMALL.size, name, SMALL)
            top -= self.LABELS_HEIGHT
            draw_arrows(canvas, layout, grid, left, top)
            for placed in layout.nodes:
                self._draw_box(canvas, placed, grid, left, top)
            top -= grid.height(layout) + 5.0
        draw_lines(canvas, left, top, self.text(fit), SMALL_INK)

    def _draw_box(
        self, canvas: Any, placed: PlacedNode, grid: Grid, left: float, top: float
    ) -> None:
        x, y = left + grid.left(placed.column), top - grid.top(placed.row)
        canvas.setFillColor(PAPER if placed.is_start else PANEL)
        canvas.setStrokeColor(INK if placed.is_start else HAIRLINE)
        canvas.setLineWidth(1.5 if placed.is_start else 0.6)
        canvas.setDash()
        box = (x, y - grid.box_height, grid.box_width, grid.box_height)
        canvas.roundRect(*box, 3.5, stroke=1, fill=1)
        x += self.PADDING
        name = self._name(placed, grid.box_width)
        y -= (grid.box_height - self._text_height(len(name))) / 2.0 - 0.5
        for line in name:
            draw_text(canvas, x, y - NAME.size, line, NAME)
            y -= NAME.size * 1.25
        room = grid.box_width - 2.0 * self.PADDING
        words, style = fitted(placed.node.difference.words, WORDS, room, 6.0)
        draw_text(canvas, x, y - WORDS.size - 0.6, words, style)
