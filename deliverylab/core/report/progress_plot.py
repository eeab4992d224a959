"""The sheet of an athlete's progress: a small plot for every metric that is worked on or changed."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from deliverylab.core.compare.course import Course
from deliverylab.core.report import wording
from deliverylab.core.report.course_plot import draw_course, draw_target_line, draw_visit
from deliverylab.core.report.fonts import clipped, draw_text, fitted, wrapped
from deliverylab.core.report.page import write_pdf
from deliverylab.core.report.progress_words import (
    chance_words,
    course_name,
    judged_words,
    ranked_courses,
    summary_words,
)
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import (
    BODY,
    HAIRLINE,
    HEADING,
    LILAC,
    SMALL,
)
from deliverylab.core.units import UnitSystem

WIDTH, HEIGHT = 595.3, 841.9
"""A4; on Letter it is printed a little smaller."""
MARGIN, GUTTER = 36.0, 16.0
ALONE_HEIGHT = 400.0
N_COLUMNS, N_ROWS = 2, 4
N_MOST = N_COLUMNS * N_ROWS
HEAD_HEIGHT, FOOT_HEIGHT = 92.0, 76.0


@dataclass(frozen=True, kw_only=True)
class ProgressSheet:
    """What stands on the sheet.

    Attributes
    ----------
    athlete : str
    courses : tuple of Course
        Of all metrics; the sheet chooses.
    remarks : tuple of str
        What was passed over.
    system : {"metric", "imperial"}
        The reader's units.
    only : (str, str) or None
        Metric and event of the one that is shown large, alone.
    """

    athlete: str
    courses: tuple[Course, ...]
    remarks: tuple[str, ...] = ()
    system: UnitSystem = "metric"
    only: tuple[str, str] | None = None

    @property
    def shown(self) -> tuple[Course, ...]:
        """Those that are planned or changed, the planned first; the nearest to it where none is."""
        ranked = ranked_courses(self.courses)
        if self.only is not None:
            return tuple(c for c in ranked if (c.metric, c.event) == self.only)
        wanted = [c for c in ranked if c.target is not None or c.is_changed]
        return tuple(wanted or [c for c in ranked if c.change is not None])[:N_MOST]

    @property
    def height(self) -> float:
        """Height of the sheet, points: that of one plot is less."""
        return HEIGHT if self.only is None else ALONE_HEIGHT


def write_progress_sheet(sheet: ProgressSheet, path: Path | str) -> Path:
    """Write the sheet as a PDF of one page and return its path.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    return write_pdf(progress_pdf(sheet), path)


def progress_pdf(sheet: ProgressSheet) -> bytes:
    """Return the sheet as a PDF of one page."""
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=(WIDTH, sheet.height), invariant=True)
    canvas.setTitle(f"Progress of {sheet.athlete}")
    _draw_head(canvas, sheet)
    shown = sheet.shown
    n_columns = N_COLUMNS if len(shown) > 1 else 1
    n_rows = max(1, math.ceil(len(shown) / n_columns))
    room = sheet.height - HEAD_HEIGHT - FOOT_HEIGHT
    height = min(room / n_rows, 250.0) - GUTTER
    width = (WIDTH - 2.0 * MARGIN + GUTTER) / n_columns - GUTTER
    for number, course in enumerate(shown):
        row, column = divmod(number, n_columns)
        bottom = sheet.height - HEAD_HEIGHT - (row + 1) * height - row * GUTTER
        cell = Cell(MARGIN + column * (width + GUTTER), bottom, width, height)
        draw_course(canvas, course, cell, sheet.system)
    _draw_foot(canvas, sheet)
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def _draw_head(canvas: Any, sheet: ProgressSheet) -> None:
    room = WIDTH - 2.0 * MARGIN
    title, style = fitted(f"{sheet.athlete}: progress", HEADING.sized(17.0), room, 9.0)
    draw_text(canvas, MARGIN, sheet.height - 40.0, title, style)
    words, style = fitted(summary_words(sheet.courses), BODY, room, 6.5)
    draw_text(canvas, MARGIN, sheet.height - 55.0, words, style)
    y, x = sheet.height - 74.0, MARGIN
    draw_visit(canvas, x + 4.0, y + 2.6, 5.0)
    x += (
        12.0
        + draw_text(canvas, x + 12.0, y, "mean of a visit with its ±; dots: its deliveries", SMALL)
        + 14.0
    )
    canvas.setFillColor(LILAC)
    canvas.setFillAlpha(0.16)
    canvas.rect(x, y - 1.0, 16.0, 7.5, stroke=0, fill=1)
    canvas.setFillAlpha(1.0)
    words = "within it no change from the first visit can be told"
    x += 20.0 + draw_text(canvas, x + 20.0, y, words, SMALL) + 14.0
    draw_target_line(canvas, x, x + 16.0, y + 2.6, is_more=True)
    draw_text(canvas, x + 20.0, y, "wanted by the plan", SMALL)


def _draw_foot(canvas: Any, sheet: ProgressSheet) -> None:
    room = WIDTH - 2.0 * MARGIN
    top = FOOT_HEIGHT - 6.0
    canvas.setStrokeColor(HAIRLINE)
    canvas.setLineWidth(0.6)
    canvas.line(MARGIN, top, WIDTH - MARGIN, top)
    if sheet.only is not None:
        texts = [text for course in sheet.shown for text in judged_words(course, sheet.system)]
    else:
        texts = [chance_words(sheet.courses)]
        shown = {(c.metric, c.event) for c in sheet.shown}
        rest = [
            wording.lowered(course_name(c))
            for c in sheet.courses
            if c.change is not None
            and c.change.verdict == "no detectable change"
            and (c.metric, c.event) not in shown
        ]
        texts += [f"No detectable change: {', '.join(rest)}."] if rest else []
        texts += [f"{remark}." for remark in sheet.remarks]
    lines = [line for text in texts if text for line in wrapped(text, SMALL, room)]
    most = int((top - 14.0) / 9.0)
    if len(lines) > most:
        lines = [*lines[: most - 1], clipped(" ".join(lines[most - 1 :]), SMALL, room)]
    for number, text in enumerate(lines):
        draw_text(canvas, MARGIN, top - 11.0 - 9.0 * number, text, SMALL)
