"""The page's parts, each of which knows its height before it draws, and never draws beyond it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

from deliverylab.core.report import wording
from deliverylab.core.report.charts import draw_chart
from deliverylab.core.report.content import PageContent
from deliverylab.core.report.figures import Figure, windows
from deliverylab.core.report.fonts import Style, clipped, draw_text, fitted, wrapped
from deliverylab.core.report.sketch import Cell, draw_figure, draw_marker
from deliverylab.core.report.style import (
    AMBER,
    DASH,
    HEADING,
    LABEL,
    LILAC,
    NAME,
    QUIET,
    SMALL,
    SMALL_INK,
    TEAL,
    hairline,
)

LEADING = 1.38
"""Line distance as a share of the size."""


@dataclass(frozen=True, kw_only=True)
class Fit:
    """How much of everything is shown, and how large.

    Attributes
    ----------
    picture_height : float
        Of each row of the strip, points.
    n_rows, row_height : int, float
        Clear differences in the table, and the height of each, points.
    n_list_lines : int
        Lines of each of the two lists under the table.
    chart_height : float
        Of the chart without its heading, points.
    n_measured_lines : int
        Lines on how it was measured.
    gap : float
        Between the parts, points.
    """

    picture_height: float
    n_rows: int
    row_height: float
    n_list_lines: int
    chart_height: float
    n_measured_lines: int
    gap: float


class Block(Protocol):
    """A part of the page."""

    def height(self, fit: Fit) -> float:
        """Return the height that `draw` takes, points; 0 where there is nothing to draw."""

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw below `top` (PDF's y runs upward)."""


def draw_lines(
    canvas: Any, left: float, top: float, lines: tuple[str, ...], style: Style
) -> float:
    """Draw lines of text below `top`, and return where the next thing may begin."""
    for line in lines:
        draw_text(canvas, left, top - style.size, line, style)
        top -= style.size * LEADING
    return top


class Header:
    """Whose page it is, on the left; from whom and beside whom, on the right."""

    def __init__(self, content: PageContent, width: float) -> None:
        self.width = width
        self.name, self.name_style = fitted(content.name, NAME, 0.62 * width, 15.0)
        self.facts = wrapped(" · ".join(content.facts), QUIET, 0.62 * width, 2)
        right = 0.34 * width
        self.partner = wrapped(content.compared_with, QUIET, right, 3)
        self.sender = wrapped(content.organisation, QUIET._replace(weight="bold"), right, 2)

    def height(self, fit: Fit) -> float:
        """Return the height of the taller side; `fit` changes nothing here."""
        del fit
        line = QUIET.size * LEADING
        left = NAME.size * 1.3 + len(self.facts) * line
        return max(left, (len(self.sender) + len(self.partner)) * line + 4.0)

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw both sides; the right one ends on the line of the facts."""
        draw_text(canvas, left, top - NAME.size * 0.86, self.name, self.name_style)
        draw_lines(canvas, left, top - NAME.size * 1.3, self.facts, QUIET)
        line = QUIET.size * LEADING
        n_lines = len(self.sender) + len(self.partner)
        y = top - self.height(fit) + n_lines * line - QUIET.size
        for text, style in (
            *((text, QUIET._replace(weight="bold")) for text in self.sender),
            *((text, QUIET) for text in self.partner),
        ):
            draw_text(canvas, left + self.width, y, text, style, align="right")
            y -= line


class Strip:
    """The event pictures: one column an event, the athlete above, the model delivery below."""

    GUTTER, GAP, LABEL_HEIGHT, LEGEND_HEIGHT = 13.0, 5.0, 14.0, 16.0
    WIDEST = 1.3
    """Width over height beyond which a cell is made narrower."""

    def __init__(self, content: PageContent, width: float) -> None:
        self.content = content
        self.width = width
        rows = [
            ([event.athlete for event in content.strip], content.heading_athlete, False),
            ([event.model for event in content.strip], content.heading_model, True),
        ]
        self.rows = [row for row in rows if any(figure is not None for figure in row[0])]

    def height(self, fit: Fit) -> float:
        """Return the height of labels, rows and legend."""
        if not self.rows:
            return 0.0
        rows = len(self.rows) * (fit.picture_height + self.GAP)
        return self.LABEL_HEIGHT + rows + self.LEGEND_HEIGHT - self.GAP

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw labels over the columns, the rows, and what the lines mean below."""
        if not self.rows:
            return
        n = len(self.content.strip)
        cell_width = (self.width - self.GUTTER - (n - 1) * self.GAP) / n
        step = cell_width + self.GAP
        cell_width = min(cell_width, self.WIDEST * fit.picture_height)
        for column, event in enumerate(self.content.strip):
            x = left + self.GUTTER + column * step
            text = clipped(wording.raised(event.name), LABEL, step - self.GAP)
            draw_text(canvas, x, top - 8.0, text, LABEL)
        bottom = top - self.LABEL_HEIGHT
        for figures, name, is_model in self.rows:
            bottom -= fit.picture_height
            self._draw_row_name(canvas, left, bottom, name, fit.picture_height)
            boxes = windows(figures, cell_width / fit.picture_height)
            for column, (figure, box) in enumerate(zip(figures, boxes, strict=True)):
                x = left + self.GUTTER + column * step
                cell = Cell(x, bottom, cell_width, fit.picture_height)
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
        draw_text(canvas, 0.0, 0.0, clipped(name, SMALL, height - 2.0), SMALL, align="centre")
        canvas.restoreState()

    @staticmethod
    def _draw_absence(canvas: Any, cell: Cell) -> None:
        text = clipped("not marked", SMALL, cell.width - 6.0)
        x, y = cell.left + cell.width / 2.0, cell.bottom + cell.height / 2.0 - 2.5
        draw_text(canvas, x, y, text, SMALL, align="centre")

    def _draw_legend(self, canvas: Any, x: float, y: float) -> None:
        shown = [figure for row in self.rows for figure in row[0]]
        if not any(isinstance(figure, Figure) and figure.joints for figure in shown):
            return
        right = x + self.width - self.GUTTER
        parts: list[tuple[str, bool, str]] = []
        if not self.rows[0][2]:
            parts += [("throwing", False, "throwing side"), ("glove", False, "glove side")]
        if self.rows[-1][2]:
            turned = ", mirrored" if self.content.is_model_mirrored else ""
            parts.append(("throwing", True, f"dashed: {self.content.heading_model}{turned}"))
        for side, is_model, text in parts:
            canvas.setStrokeColor(LILAC if is_model else AMBER if side == "throwing" else TEAL)
            canvas.setLineWidth(1.1 if is_model else 1.9)
            canvas.setLineCap(0)
            canvas.setDash(*DASH) if is_model else canvas.setDash()
            canvas.line(x, y + 2.6, x + 18.0, y + 2.6)
            canvas.setDash()
            if not is_model:
                draw_marker(canvas, side, x + 9.0, y + 2.6, is_model=False, size=1.8)  # type: ignore[arg-type]
            x += 22.0
            shown_text = clipped(text, SMALL, right - x)
            x += draw_text(canvas, x, y, shown_text, SMALL) + 16.0


class Curve:
    """The chart with its heading, in the left part of the lower band."""

    def __init__(self, content: PageContent, width: float) -> None:
        self.chart = content.chart
        self.names = content.heading_athlete, content.heading_model
        self.width = width

    def height(self, fit: Fit) -> float:
        """Return the height of heading and chart."""
        if self.chart is None or fit.chart_height <= 0.0:
            return 0.0
        return HEADING.size * 1.5 + fit.chart_height

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw heading and chart."""
        if self.chart is None or fit.chart_height <= 0.0:
            return
        title, style = fitted(self.chart.title, HEADING, self.width, 8.5)
        draw_text(canvas, left, top - HEADING.size, title, style)
        cell = Cell(left, top - self.height(fit), self.width, fit.chart_height)
        draw_chart(canvas, self.chart, cell, self.names)


class Measured:
    """How it was measured, in small sentences."""

    def __init__(self, content: PageContent, width: float) -> None:
        self.sentences = content.measured
        self.width = width

    def lines(self, fit: Fit) -> tuple[str, ...]:
        """Return the lines that fit; a sentence that does not fit is cut or left out."""
        lines: list[str] = []
        for sentence in self.sentences:
            room = fit.n_measured_lines - len(lines)
            lines += wrapped(sentence, SMALL_INK, self.width, room) if room > 0 else ()
        return tuple(lines)

    def height(self, fit: Fit) -> float:
        """Return the height of heading and lines."""
        lines = self.lines(fit)
        return HEADING.size * 1.6 + len(lines) * SMALL.size * LEADING if lines else 0.0

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw heading and lines."""
        if lines := self.lines(fit):
            draw_text(canvas, left, top - HEADING.size, "How it was measured", HEADING)
            draw_lines(canvas, left, top - HEADING.size * 1.6, lines, SMALL_INK)


class Band:
    """Two parts side by side; one alone takes the whole width."""

    GAP = 24.0

    def __init__(self, first: Block, second: Block, second_left: float) -> None:
        self.first = first
        self.second = second
        self.second_left = second_left

    def height(self, fit: Fit) -> float:
        """Return the height of the taller part."""
        return max(self.first.height(fit), self.second.height(fit))

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw both parts from the same top."""
        self.first.draw(canvas, left, top, fit)
        self.second.draw(canvas, left + self.second_left, top, fit)


class Cautions:
    """What the page does not say, and what comes first: always whole, always at the foot."""

    def __init__(self, content: PageContent, width: float) -> None:
        self.width = width
        self.lines = wrapped(" ".join(content.cautions), SMALL, width)

    def height(self, fit: Fit) -> float:
        """Return the height of line and sentences; `fit` changes nothing here."""
        del fit
        return 6.0 + len(self.lines) * SMALL.size * LEADING

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw a hairline and the sentences under it."""
        del fit
        hairline(canvas, left, top, left + self.width)
        draw_lines(canvas, left, top - 6.0, self.lines, SMALL)


