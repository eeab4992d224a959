"""Drawings of numbers: a curve of both deliveries over phase, and a difference with its margin."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.report.courses import Chart, Series
from deliverylab.core.report.fonts import clipped, draw_text, text_width
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import DASH, GREY, HAIRLINE, INK, LILAC, SMALL, SMALL_INK
from deliverylab.core.units import format_number
from deliverylab.core.vocabulary.events import BY_KEY as EVENT_BY_KEY
from deliverylab.core.vocabulary.events import PHASE_ANCHORS

FloatArray = NDArray[np.float64]
PADDING = 0.08
"""Room above and below the curves, as a share of their range."""


def draw_whisker(canvas: Any, ratio: float, margin_ratio: float, cell: Cell) -> None:
    """Draw a difference as a bar from zero, its ± as a thin line over the bar's end.

    Parameters
    ----------
    ratio, margin_ratio : float
        Difference and its U as shares of |d| + U.
    cell : Cell
        Where; zero stands in the middle.
    """
    middle, y, half = cell.left + cell.width / 2.0, cell.bottom + cell.height / 2.0, cell.width / 2
    end = middle + ratio * half
    canvas.setDash()
    canvas.setLineCap(0)
    canvas.setStrokeColor(HAIRLINE)
    canvas.setLineWidth(0.6)
    canvas.line(cell.left, y, cell.left + cell.width, y)
    canvas.setFillColor(LILAC)
    canvas.setFillAlpha(0.38)
    canvas.rect(min(middle, end), y - 2.4, abs(end - middle), 4.8, stroke=0, fill=1)
    canvas.setFillAlpha(1.0)
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.9)
    low, high = end - margin_ratio * half, end + margin_ratio * half
    canvas.line(low, y, high, y)
    for x in (low, high):
        canvas.line(x, y - 1.8, x, y + 1.8)
    canvas.setStrokeColor(GREY)
    canvas.setLineWidth(0.7)
    canvas.line(middle, cell.bottom, middle, cell.bottom + cell.height)


def nice_ticks(low: float, high: float, n_most: int = 4) -> list[float]:
    """Return round values between low and high, at most `n_most` and at least one."""
    span = max(high - low, 1e-9)
    for exponent in range(math.floor(math.log10(span)) - 2, math.floor(math.log10(span)) + 2):
        for step in (1.0, 2.0, 5.0):
            size = step * 10.0**exponent
            first, last = math.ceil(low / size), math.floor(high / size)
            if 1 <= last - first + 1 <= n_most:
                return [number * size for number in range(first, last + 1)]
    return [0.5 * (low + high)]


def value_range(chart: Chart) -> tuple[float, float]:
    """Return the range of values that the chart must show, with room above and below."""
    ends = []
    for series in (chart.athlete, chart.model):
        margin = np.where(np.isfinite(series.expanded_u), series.expanded_u, 0.0)
        ends += [series.value - margin, series.value + margin]
    every = np.concatenate(ends)
    every = every[np.isfinite(every)]
    if not len(every):
        return 0.0, 1.0
    low, high = float(every.min()), float(every.max())
    room = PADDING * max(high - low, 1e-6 + 1e-3 * abs(high))
    return low - room, high + room


def stretches(series: Series) -> list[slice]:
    """Return the parts of a series without gaps."""
    is_there = np.isfinite(series.value) & np.isfinite(series.phase)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], is_there, [False]]).astype(np.int8)))
    return [slice(int(start), int(end)) for start, end in zip(edges[::2], edges[1::2], strict=True)]


def draw_chart(canvas: Any, chart: Chart, cell: Cell, names: tuple[str, str]) -> None:
    """Draw both curves with their ± bands over phase, event lines and a legend.

    Parameters
    ----------
    chart : Chart
        What to draw.
    cell : Cell
        Where; legend above and event names below the plot are inside it.
    names : tuple of str
        What the athlete's and the model delivery are called.
    """
    ticks = nice_ticks(*value_range(chart))
    decimals = max(0, -math.floor(math.log10(min(np.diff(ticks))) + 1e-9)) if len(ticks) > 1 else 1
    labels = [format_number(tick, decimals) for tick in ticks]
    if chart.symbol.startswith("°"):
        labels = [label + chart.symbol for label in labels]
    gutter = max(text_width(label, SMALL) for label in labels) + 5.0
    plot = Cell(cell.left + gutter, cell.bottom + 13.0, cell.width - gutter, cell.height - 27.0)
    phases = np.concatenate([chart.athlete.phase, chart.model.phase])
    left = min(0.0, float(np.nanmin(phases)))
    right = max(200.0, float(np.nanmax(phases)))
    low, high = value_range(chart)

    def x_of(phase: FloatArray | float) -> Any:
        return plot.left + (phase - left) / (right - left) * plot.width

    def y_of(value: FloatArray | float) -> Any:
        return plot.bottom + (value - low) / (high - low) * plot.height

    for tick, label in zip(ticks, labels, strict=True):
        canvas.setStrokeColor(HAIRLINE)
        canvas.setLineWidth(0.5)
        canvas.line(plot.left, y_of(tick), plot.left + plot.width, y_of(tick))
        draw_text(canvas, plot.left - 4.0, y_of(tick) - 2.5, label, SMALL, align="right")
    _draw_events(canvas, plot, x_of)
    for series, is_model in ((chart.athlete, False), (chart.model, True)):
        xs, ys = x_of(series.phase), y_of(series.value)
        extents = series.expanded_u / (high - low) * plot.height
        for stretch in stretches(series):
            _draw_band(canvas, xs[stretch], ys[stretch], extents[stretch], is_model=is_model)
        for stretch in stretches(series):
            _draw_line(canvas, xs[stretch], ys[stretch], is_model=is_model)
    _draw_legend(canvas, cell, names)


def _draw_events(canvas: Any, plot: Cell, x_of: Any) -> None:
    for key, phase in PHASE_ANCHORS:
        x, name = x_of(phase), EVENT_BY_KEY[key].name
        canvas.setStrokeColor(GREY)
        canvas.setLineWidth(0.5)
        canvas.setDash(1.0, 1.6)
        canvas.line(x, plot.bottom, x, plot.bottom + plot.height)
        canvas.setDash()
        half = text_width(name, SMALL) / 2.0
        middle = min(max(x, plot.left + half), plot.left + plot.width - half)
        draw_text(canvas, middle, plot.bottom - 10.0, name, SMALL, align="centre")


def _draw_band(
    canvas: Any, xs: FloatArray, ys: FloatArray, extents: FloatArray, *, is_model: bool
) -> None:
    margins = np.where(np.isfinite(extents), extents, 0.0)
    if len(xs) == 1:
        canvas.setStrokeColor(LILAC if is_model else INK)
        canvas.setLineWidth(0.6)
        canvas.line(xs[0], ys[0] - margins[0], xs[0], ys[0] + margins[0])
        return
    path = canvas.beginPath()
    outline = [
        *zip(xs, ys + margins, strict=True),
        *zip(xs[::-1], (ys - margins)[::-1], strict=True),
    ]
    path.moveTo(*outline[0])
    for point in outline[1:]:
        path.lineTo(*point)
    path.close()
    canvas.setFillColor(LILAC if is_model else INK)
    canvas.setFillAlpha(0.14)
    canvas.drawPath(path, stroke=0, fill=1)
    canvas.setFillAlpha(1.0)


def _draw_line(canvas: Any, xs: FloatArray, ys: FloatArray, *, is_model: bool) -> None:
    colour = LILAC if is_model else INK
    canvas.setStrokeColor(colour)
    canvas.setFillColor(colour)
    if len(xs) == 1:
        canvas.circle(float(xs[0]), float(ys[0]), 1.4, stroke=0, fill=1)
        return
    canvas.setLineWidth(1.1 if is_model else 1.5)
    canvas.setLineJoin(1)
    canvas.setDash(*DASH) if is_model else canvas.setDash()
    path = canvas.beginPath()
    path.moveTo(float(xs[0]), float(ys[0]))
    for x, y in zip(xs[1:], ys[1:], strict=True):
        path.lineTo(float(x), float(y))
    canvas.drawPath(path, stroke=1, fill=0)
    canvas.setDash()


def _draw_legend(canvas: Any, cell: Cell, names: tuple[str, str]) -> None:
    y = cell.bottom + cell.height - 7.0
    room = cell.width / 2.0 - 26.0
    x = cell.left
    for name, is_model in zip(names, (False, True), strict=True):
        _draw_line(canvas, np.array([x, x + 16.0]), np.full(2, y + 2.5), is_model=is_model)
        x += 20.0
        x += draw_text(canvas, x, y, clipped(name, SMALL_INK, room), SMALL_INK) + 14.0
