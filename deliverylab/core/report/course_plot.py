"""The plot of one metric over an athlete's visits: means with ±, the band of no change, the target."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

from deliverylab.core.compare.course import Course, VisitMean
from deliverylab.core.report import wording
from deliverylab.core.report.charts import nice_ticks
from deliverylab.core.report.fonts import draw_text, fitted, text_width
from deliverylab.core.report.progress_words import change_words, course_name, target_words
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import (
    AMBER,
    GREY,
    HAIRLINE,
    INK,
    LABEL,
    LILAC,
    QUIET,
    SMALL,
    SMALL_INK,
    TEAL,
)
from deliverylab.core.units import UnitSystem, format_number, shown_unit

ROOM = 0.12
"""Room above and below what a plot shows, as a share of its range."""
MIN_GAP = 0.16
"""Visits that follow each other closely still stand so far apart, as a share of the width."""
Along = Callable[[float], float]


def draw_course(canvas: Any, course: Course, cell: Cell, system: UnitSystem) -> None:
    """Draw one metric: name, what became of it, and its visits over time."""
    top = cell.bottom + cell.height
    symbol = shown_unit(course.unit, system).symbol
    name, style = fitted(course_name(course), LABEL, cell.width - 50.0, 5.5)
    x = cell.left + draw_text(canvas, cell.left, top - 8.0, name, style)
    draw_text(canvas, x + 4.0, top - 8.0, symbol, SMALL)
    is_changed = course.change is not None and course.change.verdict == "changed"
    words, style = fitted(
        wording.raised(change_words(course, course.change, system)),
        SMALL_INK if is_changed else SMALL,
        cell.width,
        5.0,
    )
    draw_text(canvas, cell.left, top - 18.5, words, style)
    if course.target is not None:
        words = wording.raised(target_words(course, course.target, system))
        words, style = fitted(words, SMALL_INK, cell.width, 5.0)
        draw_text(canvas, cell.left, top - 28.5, words, style)
    factor = shown_unit(course.unit, system).factor
    low, high = _range_of(course, factor)
    ticks = nice_ticks(low, high, 5 if cell.height > 120.0 else 4)
    labels = _labels(ticks)
    gutter = max(text_width(label, SMALL) for label in labels) + 6.0
    plot = Cell(cell.left + gutter, cell.bottom + 22.0, cell.width - gutter, cell.height - 58.0)

    def y_of(value: float) -> float:
        return plot.bottom + (value - low) / (high - low) * plot.height

    for tick, label in zip(ticks, labels, strict=True):
        canvas.setStrokeColor(HAIRLINE)
        canvas.setLineWidth(0.5)
        canvas.line(plot.left, y_of(tick), plot.left + plot.width, y_of(tick))
        draw_text(canvas, plot.left - 4.0, y_of(tick) - 2.5, label, SMALL, align="right")
    xs = _places(course.visits, plot)
    _draw_wanted(canvas, course, plot, xs, lambda value: y_of(value * factor))
    _draw_visits(canvas, course.visits, xs, lambda value: y_of(value * factor))
    _draw_dates(canvas, course.visits, xs, plot)


def _range_of(course: Course, factor: float) -> tuple[float, float]:
    """Return what the plot must show, in the reader's units."""
    ends = [v.value + sign * v.expanded_u for v in course.visits for sign in (-1.0, 1.0)]
    ends += [value for visit in course.visits for value in visit.values]
    if course.target is not None:
        ends.append(course.target.value)
    if course.change is not None and course.change.detectable is not None:
        first = course.visits[0].value
        ends += [first - course.change.detectable, first + course.change.detectable]
    low, high = min(ends) * factor, max(ends) * factor
    room = max(ROOM * (high - low), 1e-6)
    return low - room, high + room


def _places(visits: Sequence[VisitMean], plot: Cell) -> list[float]:
    """Return where visits stand along the plot: by their dates, never on one another."""
    days = [dt.date.fromisoformat(visit.date).toordinal() for visit in visits]
    inset = min(26.0, 0.2 * plot.width)
    span = plot.width - 2.0 * inset
    if len(days) == 1:
        return [plot.left + plot.width / 2.0]
    gap = min(MIN_GAP, 1.0 / (len(days) - 1))
    shares = [(day - days[0]) / (days[-1] - days[0]) for day in days]
    # what is left beside the least gaps is shared out by the days between
    free = 1.0 - gap * (len(days) - 1)
    return [
        plot.left + inset + span * (gap * number + free * share)
        for number, share in enumerate(shares)
    ]


def _draw_wanted(canvas: Any, course: Course, plot: Cell, xs: Sequence[float], y_of: Along) -> None:
    """Draw the band around the first visit in which no change is told, and the target's line."""
    if course.change is not None and course.change.detectable is not None:
        first, reach = course.visits[0].value, course.change.detectable
        canvas.setFillColor(LILAC)
        canvas.setFillAlpha(0.16)
        low, high = y_of(first - reach), y_of(first + reach)
        canvas.rect(plot.left, low, plot.width, high - low, stroke=0, fill=1)
        canvas.setFillAlpha(1.0)
    if course.target is not None:
        since = [x for x, v in zip(xs, course.visits, strict=True) if v.date <= course.target.since]
        start = since[-1] if since else plot.left
        y = y_of(course.target.value)
        end = plot.left + plot.width
        draw_target_line(canvas, start, end, y, is_more=course.target.way == "more")


def draw_target_line(canvas: Any, left: float, right: float, y: float, *, is_more: bool) -> None:
    """Draw a target as a dashed line with an arrow head to the side that is wanted."""
    canvas.setStrokeColor(TEAL)
    canvas.setLineWidth(1.2)
    canvas.setDash(4.0, 2.0)
    canvas.line(left, y, right, y)
    canvas.setDash()
    head = canvas.beginPath()
    head.moveTo(right - 8.0, y)
    head.lineTo(right, y)
    head.lineTo(right - 4.0, y + (6.0 if is_more else -6.0))
    head.close()
    canvas.setFillColor(TEAL)
    canvas.drawPath(head, stroke=0, fill=1)


def _draw_visits(
    canvas: Any, visits: Sequence[VisitMean], xs: Sequence[float], y_of: Along
) -> None:
    canvas.setStrokeColor(GREY)
    canvas.setLineWidth(0.8)
    places = [(x, y_of(visit.value)) for x, visit in zip(xs, visits, strict=True)]
    for (x, y), (next_x, next_y) in pairwise(places):
        canvas.line(x, y, next_x, next_y)
    for (x, y), visit in zip(places, visits, strict=True):
        canvas.setFillColor(GREY)
        canvas.setFillAlpha(0.55)
        for value in visit.values if visit.n > 1 else ():
            canvas.circle(x + 7.0, y_of(value), 1.5, stroke=0, fill=1)
        canvas.setFillAlpha(1.0)
        draw_visit(canvas, x, y, y_of(visit.value + visit.expanded_u) - y)


def draw_visit(canvas: Any, x: float, y: float, reach: float) -> None:
    """Draw a mean as a square, and its ± as a line of so much to either side."""
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1.0)
    canvas.line(x, y - reach, x, y + reach)
    for end in (y - reach, y + reach):
        canvas.line(x - 2.2, end, x + 2.2, end)
    canvas.setFillColor(AMBER)
    canvas.rect(x - 2.6, y - 2.6, 5.2, 5.2, stroke=0, fill=1)


def _draw_dates(canvas: Any, visits: Sequence[VisitMean], xs: Sequence[float], plot: Cell) -> None:
    """Draw the axis: day of each visit, and of how many deliveries its mean is."""
    canvas.setStrokeColor(GREY)
    canvas.setLineWidth(0.6)
    canvas.line(plot.left, plot.bottom, plot.left + plot.width, plot.bottom)
    last_end = -math.inf
    for number, (x, visit) in enumerate(zip(xs, visits, strict=True)):
        canvas.line(x, plot.bottom, x, plot.bottom - 2.5)
        day = _short_day(visit.date, is_first=number == 0)
        half = text_width(day, SMALL) / 2.0
        if x - half < last_end + 3.0:
            continue  # the tick stays; its date would lie on the one before
        last_end = x + half
        draw_text(canvas, x, plot.bottom - 10.5, day, SMALL, align="centre")
        draw_text(canvas, x, plot.bottom - 19.0, f"n {visit.n}", QUIET.sized(6.2), align="centre")


def _short_day(iso: str, *, is_first: bool) -> str:
    date = dt.date.fromisoformat(iso)
    month = wording.day(iso).split("\u00a0")[1][:3]
    return f"{date.day} {month} {date.year}" if is_first else f"{date.day} {month}"


def _labels(ticks: Sequence[float]) -> list[str]:
    """Return round values as text, with the decimals that their step needs."""
    step = ticks[1] - ticks[0] if len(ticks) > 1 else 1.0
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return [format_number(tick, decimals) for tick in ticks]
