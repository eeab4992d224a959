"""The event pictures of both deliveries: one column an event, one row a delivery."""

from __future__ import annotations

from typing import Any

from deliverylab.core.report import wording
from deliverylab.core.report.blocks import Fit
from deliverylab.core.report.content import PageContent
from deliverylab.core.report.figures import Side, windows
from deliverylab.core.report.fonts import clipped, draw_text, fitted
from deliverylab.core.report.sketch import Cell, draw_figure, draw_marker
from deliverylab.core.report.style import AMBER, DASH, LABEL, LILAC, SMALL, TEAL

MARGIN = 0.07
"""Room around the largest body, as a share of its size."""


class Strip:
    """The event pictures: one column an event, the athlete above, the model delivery below."""

    GUTTER, GAP, LABEL_HEIGHT, LEGEND_HEIGHT = 13.0, 5.0, 14.0, 16.0
    WIDEST = 2.4
    """Width over height beyond which a cell is made narrower."""

    def __init__(self, content: PageContent, width: float) -> None:
        self.content = content
        self.width = width
        rows = [
            ([event.athlete for event in content.strip], content.strip_names[0], False),
            ([event.model for event in content.strip], content.strip_names[1], True),
        ]
        self.rows = [row for row in rows if any(figure is not None for figure in row[0])]
        figures = [figure for row in self.rows for figure in row[0] if figure is not None]
        self.has_points = any(figure.joints for figure in figures)
        n = max(1, len(content.strip))
        self.widest_cell = (width - self.GUTTER - (n - 1) * self.GAP) / n
        # without points nothing tells where in the picture the athlete is: it is shown whole
        self.tallest = (
            max((f.height_px / f.width_px for f in figures), default=1.0) * self.widest_cell
        )

    def picture_height(self, fit: Fit) -> float:
        """Return the height of each row, points."""
        return fit.picture_height if self.has_points else min(fit.picture_height, self.tallest)

    def height(self, fit: Fit) -> float:
        """Return the height of labels, rows and legend."""
        if not self.rows:
            return 0.0
        rows = len(self.rows) * (self.picture_height(fit) + self.GAP)
        legend = self.LEGEND_HEIGHT if self.has_points else 0.0
        return self.LABEL_HEIGHT + rows + legend - self.GAP

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw labels over the columns, the rows, and what the lines mean below."""
        if not self.rows:
            return
        n = len(self.content.strip)
        room, row_height = self.width - self.GUTTER, self.picture_height(fit)
        widest = self.WIDEST * row_height if self.has_points else self.widest_cell
        cell_width = min(self.widest_cell, widest)
        step = (room - cell_width) / (n - 1) if n > 1 else room
        for column, event in enumerate(self.content.strip):
            x = left + self.GUTTER + column * step
            text = clipped(wording.raised(event.name), LABEL, cell_width)
            draw_text(canvas, x, top - 8.0, text, LABEL)
        bottom = top - self.LABEL_HEIGHT
        for figures, name, is_model in self.rows:
            bottom -= row_height
            self._draw_row_name(canvas, left, bottom, name, row_height)
            boxes = windows(figures, cell_width / row_height, MARGIN)
            for column, (figure, box) in enumerate(zip(figures, boxes, strict=True)):
                x = left + self.GUTTER + column * step
                cell = Cell(x, bottom, cell_width, row_height)
                draw_figure(canvas, figure, box, cell, is_model=is_model)
                if figure is None:
                    self._draw_absence(canvas, cell)
            bottom -= self.GAP
        self._draw_legend(canvas, left + self.GUTTER, bottom + self.GAP - 12.0)

    @staticmethod
    def _draw_row_name(canvas: Any, left: float, bottom: float, name: str, height: float) -> None:
        canvas.saveState()
        canvas.translate(left + 7.0, bottom + height / 2.0)
        canvas.rotate(90)
        shown, style = fitted(name, SMALL, height - 2.0, 5.6)
        draw_text(canvas, 0.0, 0.0, shown, style, align="centre")
        canvas.restoreState()

    @staticmethod
    def _draw_absence(canvas: Any, cell: Cell) -> None:
        text = clipped("not marked", SMALL, cell.width - 6.0)
        x, y = cell.left + cell.width / 2.0, cell.bottom + cell.height / 2.0 - 2.5
        draw_text(canvas, x, y, text, SMALL, align="centre")

    def _draw_legend(self, canvas: Any, x: float, y: float) -> None:
        if not self.has_points:
            return
        right = x + self.width - self.GUTTER
        parts: list[tuple[Side, bool, str]] = []
        if not self.rows[0][2]:
            parts += [("throwing", False, "throwing side"), ("glove", False, "glove side")]
        if self.rows[-1][2]:
            turned = ", mirrored" if self.content.is_model_mirrored else ""
            parts.append(("throwing", True, f"dashed: {self.rows[-1][1]}{turned}"))
        for side, is_model, text in parts:
            canvas.setStrokeColor(LILAC if is_model else AMBER if side == "throwing" else TEAL)
            canvas.setLineWidth(1.1 if is_model else 1.9)
            canvas.setLineCap(0)
            canvas.setDash(*DASH) if is_model else canvas.setDash()
            canvas.line(x, y + 2.6, x + 18.0, y + 2.6)
            canvas.setDash()
            if not is_model:
                draw_marker(canvas, side, x + 9.0, y + 2.6, is_model=False, size=1.8)
            x += 22.0
            shown_text = clipped(text, SMALL, right - x)
            x += draw_text(canvas, x, y, shown_text, SMALL) + 16.0
