"""Differences of repeated placings over their mean, a panel a part of the body (Bland and Altman)."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from deliverylab.core.report.charts import nice_ticks
from deliverylab.core.report.fonts import draw_text, fitted, text_width, wrapped
from deliverylab.core.report.raster import write_png
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import (
    AMBER,
    BODY,
    GREY,
    HAIRLINE,
    HEADING,
    INK,
    LABEL,
    LILAC,
    QUIET,
    SMALL,
    TEAL,
)
from deliverylab.core.units import format_number

MARGIN, GUTTER = 34.0, 18.0
PANEL_WIDTH, PANEL_HEIGHT = 218.0, 158.0
HEAD_HEIGHT = 92.0
FOOT_HEIGHT = 22.0
ROOM = 1.12
"""The axis of differences ends this much beyond the farthest point."""


@dataclass(frozen=True, kw_only=True)
class AgreementPanel:
    """One panel.

    Attributes
    ----------
    title, remark : str
        What was placed, and one line about it.
    along, up : tuple of (float, float)
        Pairs (mean of both placings in metres, difference in millimetres), by coordinate.
    bias, limits : float, (float, float)
        Line in the middle and both limits of agreement, mm.
    bands : tuple of (float, float)
        Confidence intervals of the bias and of the lower and the upper limit, mm.
    """

    title: str
    remark: str
    along: tuple[tuple[float, float], ...]
    up: tuple[tuple[float, float], ...]
    bias: float
    limits: tuple[float, float]
    bands: tuple[tuple[float, float], ...]

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """All pairs."""
        return self.along + self.up


@dataclass(frozen=True, kw_only=True)
class AgreementSheet:
    """All panels of one question: a person's repeats, or two people."""

    title: str
    words: str
    panels: tuple[AgreementPanel, ...]
    n_columns: int = 3

    @property
    def width(self) -> float:
        """Width of the sheet, points."""
        return 2.0 * MARGIN + self.n_columns * (PANEL_WIDTH + GUTTER) - GUTTER


def write_agreement_png(sheet: AgreementSheet, path: Path | str, dpi: float = 150.0) -> Path:
    """Draw a sheet, save it as PNG and return its path.

    All panels share the axis of differences, so that a part that scatters looks like it.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    return write_png(agreement_pdf(sheet), path, dpi=dpi)


def agreement_pdf(sheet: AgreementSheet) -> bytes:
    """Return a sheet as a PDF of one page."""
    n_rows = max(1, math.ceil(len(sheet.panels) / sheet.n_columns))
    height = HEAD_HEIGHT + n_rows * (PANEL_HEIGHT + GUTTER) + FOOT_HEIGHT
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=(sheet.width, height), invariant=True)
    canvas.setTitle(sheet.title)
    _draw_head(canvas, sheet, height)
    reach = _reach(sheet)
    for number, panel in enumerate(sheet.panels):
        row, column = divmod(number, sheet.n_columns)
        bottom = height - HEAD_HEIGHT - (row + 1) * PANEL_HEIGHT - row * GUTTER
        cell = Cell(MARGIN + column * (PANEL_WIDTH + GUTTER), bottom, PANEL_WIDTH, PANEL_HEIGHT)
        _draw_panel(canvas, panel, cell, reach)
    draw_text(
        canvas,
        MARGIN,
        FOOT_HEIGHT - 8.0,
        "across: mean of both placings, metres from the picture's edge · up: difference, mm",
        SMALL,
    )
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def _reach(sheet: AgreementSheet) -> float:
    """Return how far the axis of differences goes to either side, mm."""
    ends = [abs(value) for panel in sheet.panels for value in panel.limits]
    ends += [abs(y) for panel in sheet.panels for _, y in panel.points]
    return ROOM * max([value for value in ends if math.isfinite(value)], default=1.0) or 1.0


def _draw_head(canvas: Any, sheet: AgreementSheet, height: float) -> None:
    room = sheet.width - 2.0 * MARGIN
    title, style = fitted(sheet.title, HEADING.sized(15.0), room, 9.0)
    draw_text(canvas, MARGIN, height - 32.0, title, style)
    for number, line in enumerate(wrapped(sheet.words, BODY, room, 2)):
        draw_text(canvas, MARGIN, height - 49.0 - 12.0 * number, line, QUIET)
    x, y = MARGIN, height - 78.0
    for is_along, words in ((True, "toward the plate"), (False, "up")):
        _draw_point(canvas, x + 3.0, y + 2.6, is_along=is_along)
        x += 10.0 + draw_text(canvas, x + 10.0, y, words, SMALL) + 14.0
    for dash, colour, words in (
        ((), INK, "mean difference"),
        ((3.0, 2.0), LILAC, "95 % of differences lie between"),
    ):
        canvas.setStrokeColor(colour)
        canvas.setLineWidth(1.1)
        canvas.setDash(*dash)
        canvas.line(x, y + 2.6, x + 16.0, y + 2.6)
        canvas.setDash()
        x += 20.0 + draw_text(canvas, x + 20.0, y, words, SMALL) + 14.0
    draw_text(canvas, x, y, "shaded: 95 % interval of each line", SMALL)


def _draw_point(canvas: Any, x: float, y: float, *, is_along: bool) -> None:
    if is_along:
        canvas.setFillColor(AMBER)
        canvas.rect(x - 1.9, y - 1.9, 3.8, 3.8, stroke=0, fill=1)
        return
    canvas.setStrokeColor(TEAL)
    canvas.setLineWidth(1.0)
    canvas.circle(x, y, 2.1, stroke=1, fill=0)


def _draw_panel(canvas: Any, panel: AgreementPanel, cell: Cell, reach: float) -> None:
    """Draw one panel: title, axes, bands and lines, points."""
    top = cell.bottom + cell.height
    title, style = fitted(panel.title, LABEL, cell.width, 6.0)
    draw_text(canvas, cell.left, top - 8.0, title, style)
    remark, style = fitted(panel.remark, SMALL, cell.width, 5.0)
    draw_text(canvas, cell.left, top - 18.5, remark, style)
    ticks = nice_ticks(-reach, reach, 5)
    labels = _labels(ticks)
    gutter = max(text_width(label, SMALL) for label in labels) + 5.0
    plot = Cell(cell.left + gutter, cell.bottom + 14.0, cell.width - gutter, cell.height - 40.0)

    def y_of(value: float) -> float:
        return plot.bottom + (value + reach) / (2.0 * reach) * plot.height

    for tick, label in zip(ticks, labels, strict=True):
        _draw_level(canvas, plot, y_of(tick))
        draw_text(canvas, plot.left - 4.0, y_of(tick) - 2.5, label, SMALL, align="right")
    canvas.saveState()
    frame = canvas.beginPath()
    frame.rect(*plot)
    canvas.clipPath(frame, stroke=0, fill=0)
    _draw_lines(canvas, panel, plot, y_of)
    canvas.restoreState()
    x_of = _draw_places(canvas, panel, plot)
    for points, is_along in ((panel.along, True), (panel.up, False)):
        for place, difference in points:
            _draw_point(canvas, x_of(place), y_of(difference), is_along=is_along)


def _labels(ticks: list[float]) -> list[str]:
    """Return round values as text, with the decimals that their step needs."""
    step = ticks[1] - ticks[0] if len(ticks) > 1 else 1.0
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return [format_number(tick, decimals) for tick in ticks]


def _draw_level(canvas: Any, plot: Cell, y: float) -> None:
    canvas.setStrokeColor(HAIRLINE)
    canvas.setLineWidth(0.5)
    canvas.setDash()
    canvas.line(plot.left, y, plot.left + plot.width, y)


def _draw_lines(canvas: Any, panel: AgreementPanel, plot: Cell, y_of: Any) -> None:
    for number, (low, high) in enumerate(panel.bands):
        if not math.isfinite(low + high):
            continue
        canvas.setFillColor(LILAC if number else GREY)
        canvas.setFillAlpha(0.13)
        canvas.rect(plot.left, y_of(low), plot.width, y_of(high) - y_of(low), stroke=0, fill=1)
        canvas.setFillAlpha(1.0)
    for value, colour, dash in (
        (panel.bias, INK, ()),
        (panel.limits[0], LILAC, (3.0, 2.0)),
        (panel.limits[1], LILAC, (3.0, 2.0)),
    ):
        canvas.setStrokeColor(colour)
        canvas.setLineWidth(1.1)
        canvas.setDash(*dash)
        canvas.line(plot.left, y_of(value), plot.left + plot.width, y_of(value))
        canvas.setDash()


def _draw_places(canvas: Any, panel: AgreementPanel, plot: Cell) -> Any:
    """Draw the axis of places and return the function from metres to the paper."""
    places = [place for place, _ in panel.points]
    low, high = min(places, default=0.0), max(places, default=1.0)
    room = 0.06 * (high - low) + 0.01
    low, high = low - room, high + room

    def x_of(place: float) -> float:
        return plot.left + (place - low) / (high - low) * plot.width

    ticks = nice_ticks(low, high, 4)
    canvas.setStrokeColor(GREY)
    canvas.setLineWidth(0.6)
    canvas.line(plot.left, plot.bottom, plot.left + plot.width, plot.bottom)
    for tick, label in zip(ticks, _labels(ticks), strict=True):
        canvas.line(x_of(tick), plot.bottom, x_of(tick), plot.bottom - 2.5)
        draw_text(canvas, x_of(tick), plot.bottom - 10.5, label, SMALL, align="centre")
    return x_of
