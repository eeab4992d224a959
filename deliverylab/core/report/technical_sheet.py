"""The technical sheet as PDF: every result with its budget, on as many pages as it takes."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

from deliverylab.core.report.fonts import clipped, draw_text, fitted, wrapped
from deliverylab.core.report.page import (
    MARGIN_BOTTOM,
    MARGIN_SIDE,
    MARGIN_TOP,
    PAPERS,
    Paper,
    new_canvas,
    write_pdf,
)
from deliverylab.core.report.scripts import cleaned
from deliverylab.core.report.sheet_content import SheetContent
from deliverylab.core.report.sheet_flow import paginated
from deliverylab.core.report.sheet_rows import sections_of
from deliverylab.core.report.style import NAME, QUIET, SMALL, hairline

TITLE = "Technical sheet"
HEAD_HEIGHT, RUNNING_HEIGHT, FOOT_HEIGHT = 62.0, 22.0, 18.0
"""Above the body of the first page and of the others, and below each, points."""


def sheet_bytes(content: SheetContent, paper: Paper = "a4") -> bytes:
    """Return the technical sheet as a PDF: the same content gives the same bytes.

    Raises
    ------
    InputValueError
        Unknown paper.
    """
    buffer = io.BytesIO()
    canvas = new_canvas(
        buffer,
        paper,
        title=cleaned(f"{content.name}: technical sheet, {content.compared_with}"),
        author=cleaned(content.organisation),
        subject="all results of a delivery, with their uncertainty budgets",
    )
    page_width, page_height = PAPERS[paper]
    width = page_width - 2.0 * MARGIN_SIDE
    top = page_height - MARGIN_TOP
    room = top - MARGIN_BOTTOM - FOOT_HEIGHT
    sections = sections_of(content, width)
    pages = paginated(sections, width, room - HEAD_HEIGHT, room - RUNNING_HEIGHT)
    for number, page in enumerate(pages, start=1):
        if number == 1:
            _draw_head(canvas, content, MARGIN_SIDE, top, width)
        else:
            _draw_running_head(canvas, content, MARGIN_SIDE, top, width)
        body = top - (HEAD_HEIGHT if number == 1 else RUNNING_HEIGHT)
        for placed in page:
            placed.piece.draw(canvas, MARGIN_SIDE, body - placed.top)
        _draw_foot(canvas, content, (number, len(pages)), width)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def write_technical_sheet(content: SheetContent, path: Path | str, paper: Paper = "a4") -> Path:
    """Write the technical sheet as a PDF file and return its path; an existing file is replaced.

    Raises
    ------
    InputValueError
        Unknown paper.
    OutputError
        The file cannot be written.
    """
    return write_pdf(sheet_bytes(content, paper), path)


def _draw_head(canvas: Any, content: SheetContent, left: float, top: float, width: float) -> None:
    name, style = fitted(content.name, NAME.sized(18.0), 0.6 * width, 11.0)
    draw_text(canvas, left, top - 17.0, name, style)
    draw_text(canvas, left + width, top - 17.0, TITLE, QUIET, align="right")
    facts = clipped(" · ".join(content.facts), SMALL, 0.55 * width)
    draw_text(canvas, left, top - 31.0, facts, SMALL)
    y = top - 31.0
    for line in wrapped(content.compared_with, SMALL, 0.4 * width, 2):
        draw_text(canvas, left + width, y, line, SMALL, align="right")
        y -= SMALL.size * 1.3
    hairline(canvas, left, top - HEAD_HEIGHT + 12.0, left + width)


def _draw_running_head(
    canvas: Any, content: SheetContent, left: float, top: float, width: float
) -> None:
    name = clipped(content.name, SMALL, 0.6 * width)
    draw_text(canvas, left, top - SMALL.size, name, SMALL)
    draw_text(canvas, left + width, top - SMALL.size, TITLE, SMALL, align="right")
    hairline(canvas, left, top - 11.0, left + width)


def _draw_foot(canvas: Any, content: SheetContent, numbers: tuple[int, int], width: float) -> None:
    left, y = MARGIN_SIDE, MARGIN_BOTTOM + 2.0
    hairline(canvas, left, y + 10.0, left + width)
    said = " · ".join(part for part in (content.organisation, content.compared_with) if part)
    draw_text(canvas, left, y, clipped(said, SMALL, 0.8 * width), SMALL)
    page = f"page {numbers[0]} of {numbers[1]}"
    draw_text(canvas, left + width, y, page, SMALL, align="right")
