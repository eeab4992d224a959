"""A drawing of how well two clips' lines of sight meet over the shift of a clock."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from deliverylab.core.report.charts import nice_ticks
from deliverylab.core.report.fonts import clipped, draw_text
from deliverylab.core.report.page import write_pdf
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import (
    AMBER,
    HAIRLINE,
    HEADING,
    INK,
    LILAC,
    PAPER,
    QUIET,
    SMALL,
    SMALL_INK,
    TEAL,
    hairline,
)
from deliverylab.core.units import format_number

WIDTH, HEIGHT = 460.0, 290.0
MARGIN = 26.0
COLOURS = (TEAL, AMBER, LILAC)


@dataclass(frozen=True, kw_only=True)
class ClockDrawing:
    """What is drawn.

    Attributes
    ----------
    delivery, camera, first : str
        Whose clock is held against whose.
    curve : tuple of (float, float)
        Shift, s, and how far lines of sight miss, in u; NaN where too little overlaps.
    offsets : tuple of (str, float, float)
        Up to three offsets by name: value and U (k = 2), s.
    """

    delivery: str
    camera: str
    first: str
    curve: tuple[tuple[float, float], ...]
    offsets: tuple[tuple[str, float, float], ...]


def clock_plot_pdf(drawings: tuple[ClockDrawing, ...]) -> bytes:
    """Return curves as a PDF, a page each of `WIDTH` by `HEIGHT` points."""
    content = io.BytesIO()
    canvas = Canvas(content, pagesize=(WIDTH, HEIGHT), invariant=1)
    for drawing in drawings:
        _draw_page(canvas, drawing)
        canvas.showPage()
    canvas.save()
    return content.getvalue()


def write_clock_plot(drawings: tuple[ClockDrawing, ...], path: Path | str) -> Path:
    """Draw curves, a page each, and save them as a PDF; return its path.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    return write_pdf(clock_plot_pdf(drawings), path)


def _draw_page(canvas: Any, drawing: ClockDrawing) -> None:
    canvas.setFillColor(PAPER)
    canvas.rect(0.0, 0.0, WIDTH, HEIGHT, stroke=0, fill=1)
    room = WIDTH - 2.0 * MARGIN
    title = f"Clock of {drawing.camera} against {drawing.first}"
    draw_text(canvas, MARGIN, HEIGHT - 28.0, clipped(title, HEADING, room), HEADING)
    draw_text(canvas, MARGIN, HEIGHT - 42.0, clipped(drawing.delivery, QUIET, room), QUIET)
    draw_text(canvas, MARGIN, HEIGHT - 60.0, "lines of sight miss by, u", SMALL)
    plot = Cell(MARGIN + 16.0, 82.0, room - 16.0, HEIGHT - 150.0)
    known = [(shift_s, miss) for shift_s, miss in drawing.curve if math.isfinite(miss)]
    low_s, high_s = known[0][0], known[-1][0]
    top = 1.05 * max(miss for _, miss in known)

    def x_of(seconds: float) -> float:
        return plot.left + (seconds - low_s) / (high_s - low_s) * plot.width

    _draw_axes(canvas, plot, top, (low_s, high_s))
    for row, (name, offset_s, expanded_s) in enumerate(drawing.offsets):
        colour = COLOURS[row % len(COLOURS)]
        if low_s <= offset_s <= high_s:
            x = x_of(offset_s)
            _line(canvas, [(x, plot.bottom), (x, plot.bottom + plot.height)], colour, 1.0)
        y = 40.0 - 12.0 * row
        _line(canvas, [(MARGIN, y + 2.5), (MARGIN + 14.0, y + 2.5)], colour, 1.6)
        value, margin = (format_number(1e3 * each, 2) for each in (offset_s, expanded_s))
        draw_text(canvas, MARGIN + 20.0, y, f"{name}: {value} ± {margin} ms", SMALL_INK)
    places = [(x_of(s), plot.bottom + miss / top * plot.height) for s, miss in known]
    _line(canvas, places, INK, 1.5)


def _draw_axes(canvas: Any, plot: Cell, top: float, span_s: tuple[float, float]) -> None:
    for tick in nice_ticks(0.0, top, 5):
        y = plot.bottom + tick / top * plot.height
        hairline(canvas, plot.left, y, plot.left + plot.width)
        draw_text(canvas, plot.left - 5.0, y - 2.5, format_number(tick, 0), SMALL, align="right")
    low_ms, high_ms = 1e3 * span_s[0], 1e3 * span_s[1]
    canvas.setStrokeColor(HAIRLINE)
    for tick in nice_ticks(low_ms, high_ms, 9):
        x = plot.left + (tick - low_ms) / (high_ms - low_ms) * plot.width
        canvas.line(x, plot.bottom, x, plot.bottom - 3.0)
        draw_text(canvas, x, plot.bottom - 12.0, format_number(tick, 0), SMALL, align="centre")
    right = plot.left + plot.width
    draw_text(canvas, right, plot.bottom - 24.0, "shift of the clock, ms", SMALL, align="right")


def _line(canvas: Any, points: list[tuple[float, float]], colour: Any, width: float) -> None:
    canvas.setStrokeColor(colour)
    canvas.setLineWidth(width)
    canvas.setLineJoin(1)
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    canvas.drawPath(path, stroke=1, fill=0)
