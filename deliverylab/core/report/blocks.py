"""The page's parts, each of which knows its height before it draws, and never draws beyond it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

from deliverylab.core.report.charts import draw_chart
from deliverylab.core.report.content import PageContent
from deliverylab.core.report.fonts import Style, draw_text, fitted, wrapped
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import (
    HEADING,
    LABEL,
    NAME,
    QUIET,
    SMALL,
    SMALL_INK,
    hairline,
)

LEADING = 1.38
"""Line distance as a share of the size."""
LIST_HEADING = 12.5
"""Height of the heading over a list in small letters, points."""


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
        Lines of each of the two lists of what does not differ or is not shown.
    chart_height : float
        Of the chart without its heading, points; 0 leaves it out.
    n_measured_lines : int
        Lines on how it was measured.
    n_chain_rows, n_chain_lines : int
        Points below one another in the chain's drawing, and lines of text below it.
    n_plan_lines : int
        Lines of each thing to work on, beside its cue.
    gap : float
        Between the parts, points.
    """

    picture_height: float
    n_rows: int
    row_height: float
    n_list_lines: int
    chart_height: float
    n_measured_lines: int
    n_chain_rows: int = 3
    n_chain_lines: int = 3
    n_plan_lines: int = 4
    gap: float


class Block(Protocol):
    """A part of the page."""

    def height(self, fit: Fit) -> float:
        """Return the height that `draw` takes, points; 0 where there is nothing to draw."""

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw below `top` (PDF's y runs upward)."""


def draw_lines(canvas: Any, left: float, top: float, lines: tuple[str, ...], style: Style) -> float:
    """Draw lines of text below `top`, and return where the next thing may begin."""
    for line in lines:
        draw_text(canvas, left, top - style.size, line, style)
        top -= style.size * LEADING
    return top


class Header:
    """Whose page it is, on the left; from whom and beside whom, on the right."""

    def __init__(self, content: PageContent, width: float) -> None:
        self.width = width
        _, self.name_style = fitted(content.name, NAME, 0.62 * width, 15.0)
        self.name = wrapped(content.name, self.name_style, 0.62 * width, 2)
        self.name_height = NAME.size * 1.3 + (len(self.name) - 1) * self.name_style.size * 1.25
        self.facts = wrapped(" · ".join(content.facts), QUIET, 0.62 * width, 2)
        right = 0.34 * width
        self.partner = wrapped(content.compared_with, QUIET, right, 3)
        self.sender = wrapped(content.organisation, QUIET._replace(weight="bold"), right, 2)

    def height(self, fit: Fit) -> float:
        """Return the height of the taller side; `fit` changes nothing here."""
        del fit
        line = QUIET.size * LEADING
        left = self.name_height + len(self.facts) * line
        return max(left, (len(self.sender) + len(self.partner)) * line + 4.0)

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw both sides; the right one ends on the line of the facts."""
        y = top - NAME.size * 0.94
        for text in self.name:
            draw_text(canvas, left, y, text, self.name_style)
            y -= self.name_style.size * 1.25
        draw_lines(canvas, left, top - self.name_height, self.facts, QUIET)
        line = QUIET.size * LEADING
        n_lines = len(self.sender) + len(self.partner)
        y = top - self.height(fit) + n_lines * line - QUIET.size
        for text, style in (
            *((text, QUIET._replace(weight="bold")) for text in self.sender),
            *((text, QUIET) for text in self.partner),
        ):
            draw_text(canvas, left + self.width, y, text, style, align="right")
            y -= line


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
        title, style = fitted(f"{self.chart.title} through the delivery", HEADING, self.width, 8.5)
        draw_text(canvas, left, top - HEADING.size, title, style)
        cell = Cell(left, top - self.height(fit), self.width, fit.chart_height)
        draw_chart(canvas, self.chart, cell, self.names)


class Measured:
    """How it was measured, in small sentences.

    Parameters
    ----------
    content : PageContent
    width : float
        Points.
    is_small : bool
        Whether its heading is as small as those of the lists beside it.
    """

    SPACING = 2.2
    MORE = "More of this stands on the technical sheet."

    def __init__(self, content: PageContent, width: float, *, is_small: bool = False) -> None:
        self.wordings = [
            [wrapped(text, SMALL_INK, width) for text in sentences]
            for sentences in (content.measured, content.measured_briefly)
        ]
        self.heading = LABEL if is_small else HEADING
        self.heading_height = LIST_HEADING if is_small else HEADING.size * 1.6
        self.width = width

    def paragraphs(self, fit: Fit) -> list[tuple[str, ...]]:
        """Return the lines of each sentence that fits whole, and that others are left out."""
        room = fit.n_measured_lines
        for sentences in self.wordings:
            if sum(map(len, sentences)) <= room:
                return sentences
        more = wrapped(self.MORE, SMALL_INK, self.width, 2)
        room -= len(more)
        shown: list[tuple[str, ...]] = []
        for lines in self.wordings[-1]:
            if len(lines) <= room:
                shown.append(lines)
                room -= len(lines)
        return [*shown, more] if shown else []

    def height(self, fit: Fit) -> float:
        """Return the height of heading and sentences."""
        shown = self.paragraphs(fit)
        if not shown:
            return 0.0
        n_lines = sum(len(lines) for lines in shown)
        return self.heading_height + n_lines * SMALL.size * LEADING + len(shown) * self.SPACING

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw heading and sentences."""
        shown = self.paragraphs(fit)
        if not shown:
            return
        title, style = fitted("How it was measured", self.heading, self.width, 6.5)
        draw_text(canvas, left, top - style.size, title, style)
        top -= self.heading_height
        for lines in shown:
            top = draw_lines(canvas, left, top, lines, SMALL_INK) - self.SPACING


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
