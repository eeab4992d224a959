"""A drawing of a residual analysis: the residual over cut-offs, its straight part, the cut-off."""

from __future__ import annotations

import io
import math
from pathlib import Path
from typing import Any

import numpy as np
from reportlab.pdfgen.canvas import Canvas

from deliverylab.core.metrics.scatter import LandmarkScatter
from deliverylab.core.report.charts import nice_ticks
from deliverylab.core.report.fonts import clipped, draw_text, text_width, wrapped
from deliverylab.core.report.raster import write_png
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import (
    AMBER,
    DASH,
    GREY,
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
from deliverylab.core.vocabulary.landmarks import landmark as landmark_entry

WIDTH, HEIGHT = 460.0, 300.0
MARGIN = 22.0
HEADROOM = 3.0
"""The curve is drawn up to so many times what noise leaves: below the cut-offs that matter it climbs
out of the picture."""


def write_residual_plot(found: LandmarkScatter, path: Path | str) -> Path:
    """Draw an analysis and save it as a PNG file; return its path.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    return write_png(residual_plot_pdf(found), path)


def residual_plot_pdf(found: LandmarkScatter) -> bytes:
    """Return the drawing as a PDF of one page."""
    content = io.BytesIO()
    canvas = Canvas(content, pagesize=(WIDTH, HEIGHT), invariant=1)
    canvas.setFillColor(PAPER)
    canvas.rect(0.0, 0.0, WIDTH, HEIGHT, stroke=0, fill=1)
    entry = landmark_entry(found.landmark)
    room = WIDTH - 2.0 * MARGIN
    title = (
        f"How much the {f'{entry.side} {entry.name}'.strip()} scatters, and which cut-off suits it"
    )
    draw_text(canvas, MARGIN, HEIGHT - 26.0, clipped(title, HEADING, room), HEADING)
    under = f"{found.delivery}, {found.camera}: {found.analysis.n_samples} frames at {found.rate_hz:.0f} Hz"
    draw_text(canvas, MARGIN, HEIGHT - 40.0, clipped(under, QUIET, room), QUIET)
    plot = Cell(MARGIN + 22.0, 70.0, room - 22.0, HEIGHT - 138.0)
    draw_text(canvas, MARGIN, HEIGHT - 59.0, "taken out of one coordinate, px", SMALL)
    _draw_plot(canvas, found, plot)
    sentence = found.words[0].upper() + found.words[1:] + "."
    for number, line in enumerate(wrapped(sentence, SMALL_INK, room, n_lines=2)):
        draw_text(canvas, MARGIN, 26.0 - 10.0 * number, line, SMALL_INK)
    canvas.showPage()
    canvas.save()
    return content.getvalue()


def _draw_plot(canvas: Any, found: LandmarkScatter, plot: Cell) -> None:
    analysis = found.analysis
    most_hz = float(analysis.cutoffs_hz[-1])
    level_px = max(found.scatter_px, found.assumed_u_px, float(analysis.residuals[-1]))
    top_px = max(1.15 * level_px, min(HEADROOM * level_px, float(np.nanmax(analysis.residuals))))

    def x_of(hertz: float) -> float:
        return plot.left + hertz / most_hz * plot.width

    def y_of(pixels: float) -> float:
        return plot.bottom + pixels / top_px * plot.height

    _draw_axes(canvas, plot, most_hz, top_px)
    canvas.saveState()
    clip = canvas.beginPath()
    clip.rect(plot.left, plot.bottom, plot.width, plot.height)
    canvas.clipPath(clip, stroke=0)
    end_hz = analysis.line_hz[1]
    ends = [(hertz, analysis.intercept + analysis.slope * hertz) for hertz in (0.0, end_hz)]
    _polyline(canvas, [(x_of(h), y_of(p)) for h, p in ends], LILAC, 1.2, DASH)
    _polyline(
        canvas,
        [
            (x_of(h), y_of(p))
            for h, p in zip(analysis.cutoffs_hz, analysis.residuals, strict=True)
            if math.isfinite(p)
        ],
        INK,
        1.6,
    )
    assumed_y = y_of(found.assumed_u_px)
    _polyline(canvas, [(plot.left, assumed_y), (plot.left + plot.width, assumed_y)], AMBER, 0.9)
    if analysis.cutoff_hz is not None:
        x, y = x_of(analysis.cutoff_hz), y_of(analysis.intercept)
        _polyline(canvas, [(plot.left, y), (x, y), (x, plot.bottom)], TEAL, 1.0, (1.0, 1.6))
        canvas.setFillColor(TEAL)
        canvas.circle(x, y, 2.6, stroke=0, fill=1)
    canvas.restoreState()
    _draw_words(canvas, found, plot, x_of)


def _draw_axes(canvas: Any, plot: Cell, most_hz: float, top_px: float) -> None:
    ticks = nice_ticks(0.0, top_px, 6)
    step = min(np.diff(ticks)) if len(ticks) > 1 else 1.0
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    for tick in ticks:
        y = plot.bottom + tick / top_px * plot.height
        hairline(canvas, plot.left, y, plot.left + plot.width)
        draw_text(
            canvas, plot.left - 5.0, y - 2.5, format_number(tick, decimals), SMALL, align="right"
        )
    canvas.setStrokeColor(HAIRLINE)
    for tick in nice_ticks(0.0, most_hz, 11):
        x = plot.left + tick / most_hz * plot.width
        canvas.line(x, plot.bottom, x, plot.bottom - 3.0)
        draw_text(canvas, x, plot.bottom - 12.0, format_number(tick, 0), SMALL, align="centre")
    right = plot.left + plot.width
    draw_text(canvas, right, plot.bottom - 23.0, "cut-off, Hz", SMALL, align="right")


def _draw_words(canvas: Any, found: LandmarkScatter, plot: Cell, x_of: Any) -> None:
    """Write what the lines are above the plot, and the cut-offs below it."""
    analysis = found.analysis
    right, y = plot.left + plot.width, plot.bottom + plot.height + 9.0
    for text, colour, dash in (
        (f"assumed u, {found.assumed_u_px:.1f} px", AMBER, None),
        (f"noise alone, from scatter of {found.scatter_px:.1f} px", LILAC, DASH),
    ):
        draw_text(canvas, right, y, text, SMALL_INK, align="right")
        right -= text_width(text, SMALL_INK) + 4.0
        _polyline(canvas, [(right - 16.0, y + 2.5), (right, y + 2.5)], colour, 1.2, dash)
        right -= 28.0
    usual_x = x_of(min(found.band.cutoff_hz, float(analysis.cutoffs_hz[-1])))
    _polyline(canvas, [(usual_x, plot.bottom), (usual_x, plot.bottom + 5.0)], GREY, 0.8)
    suggested = (
        "the curve never meets what noise leaves"
        if analysis.cutoff_hz is None
        else f"suggested cut-off {analysis.cutoff_hz:.1f} Hz"
    )
    usual = f"usual for {found.band.name}: {found.band.cutoff_hz:.0f} Hz (small tick)"
    draw_text(canvas, plot.left, plot.bottom - 23.0, f"{suggested}; {usual}", SMALL_INK)


def _polyline(
    canvas: Any,
    points: list[tuple[float, float]],
    colour: Any,
    width: float,
    dash: tuple[float, float] | None = None,
) -> None:
    canvas.setStrokeColor(colour)
    canvas.setLineWidth(width)
    canvas.setLineJoin(1)
    canvas.setDash(*dash) if dash else canvas.setDash()
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    canvas.drawPath(path, stroke=1, fill=0)
    canvas.setDash()
