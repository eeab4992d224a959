"""The one-page summary as PDF: always one page, whatever there is to say."""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any, Literal

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.pdfgen.canvas import Canvas

from deliverylab.core.errors import InputValueError, OutputError
from deliverylab.core.report.blocks import Block, Cautions, Fit, Header
from deliverylab.core.report.chain_picture import ChainPicture
from deliverylab.core.report.content import PageContent
from deliverylab.core.report.differences import DifferenceTable
from deliverylab.core.report.evidence import Evidence
from deliverylab.core.report.fonts import carried, doubtful
from deliverylab.core.report.plan_panel import PlanPanel
from deliverylab.core.report.scripts import cleaned
from deliverylab.core.report.strip import Strip

Paper = Literal["a4", "letter"]
PAPERS: dict[Paper, tuple[float, float]] = {"a4": A4, "letter": LETTER}
MARGIN_SIDE, MARGIN_TOP, MARGIN_BOTTOM = 44.0, 40.0, 34.0
"""Free edge of the paper, points."""

_TABLE_ROWS = 7
_FITS: tuple[Fit, ...] = tuple(
    Fit(
        picture_height=picture,
        n_rows=rows,
        row_height=row_height,
        n_list_lines=list_lines,
        chart_height=chart,
        n_measured_lines=measured,
        n_chain_rows=chain_rows,
        n_chain_lines=chain_lines,
        n_plan_lines=plan_lines,
        gap=gap,
    )
    for (
        picture, rows, row_height, list_lines, chart, measured,
        chain_rows, chain_lines, plan_lines, gap,
    ) in (
        (112.0, _TABLE_ROWS, 26.0, 7, 118.0, 13, 4, 5, 6, 17.0),
        (104.0, _TABLE_ROWS, 25.0, 6, 112.0, 12, 4, 4, 6, 15.0),
        (98.0, _TABLE_ROWS, 24.0, 6, 106.0, 12, 3, 4, 6, 14.0),
        (90.0, _TABLE_ROWS, 23.0, 5, 100.0, 11, 3, 4, 6, 13.0),
        (84.0, 6, 22.5, 5, 96.0, 11, 3, 4, 6, 12.0),
        (78.0, 6, 22.0, 4, 92.0, 10, 3, 3, 6, 11.0),
        (78.0, 6, 22.0, 6, 0.0, 8, 3, 3, 6, 12.0),
        (72.0, 6, 22.0, 5, 0.0, 7, 3, 3, 6, 11.0),
        (66.0, 5, 22.0, 5, 0.0, 6, 3, 3, 6, 10.0),
        (60.0, 5, 15.0, 5, 0.0, 6, 3, 2, 6, 9.0),
        (60.0, 5, 15.0, 4, 0.0, 5, 2, 2, 6, 9.0),
        (56.0, 5, 15.0, 4, 0.0, 5, 2, 1, 6, 8.0),
        (52.0, 4, 15.0, 4, 0.0, 5, 2, 1, 6, 8.0),
        (52.0, 4, 15.0, 4, 0.0, 5, 1, 1, 6, 7.0),
        (52.0, 4, 15.0, 4, 0.0, 5, 1, 1, 4, 7.0),
        (48.0, 4, 14.0, 3, 0.0, 4, 1, 1, 3, 7.0),
        (44.0, 4, 14.0, 3, 0.0, 4, 1, 1, 2, 7.0),
        (36.0, 3, 14.0, 2, 0.0, 4, 1, 1, 1, 6.0),
    )
)  # fmt: skip
"""From the most generous to the tightest; the last fits any content on any paper."""
_GROWTH: tuple[tuple[str, float, float], ...] = (
    ("n_plan_lines", 1, 8),
    ("picture_height", 1.0, 60.0),
    ("n_chain_lines", 1, 3),
    ("n_list_lines", 1, 5),
    ("n_measured_lines", 1, 7),
    ("picture_height", 1.0, 72.0),
    ("n_chain_lines", 1, 6),
    ("n_list_lines", 1, 8),
    ("n_measured_lines", 1, 18),
    ("picture_height", 1.0, 136.0),
    ("row_height", 0.25, 28.0),
    ("chart_height", 1.0, 150.0),
    ("gap", 0.25, 24.0),
)
"""What takes the room that is left over: field, step, and up to where."""


def blocks_of(content: PageContent, width: float) -> tuple[Block, ...]:
    """Return the page's parts from top to bottom, without the cautions at its foot."""
    return (
        Header(content, width),
        Strip(content, width),
        DifferenceTable(content, width),
        ChainPicture(content, width),
        PlanPanel(content, width),
        Evidence(content, width),
    )


def _needed(blocks: Iterable[Block], fit: Fit) -> float:
    heights = [height for block in blocks if (height := block.height(fit)) > 0.0]
    return sum(heights) + max(0, len(heights) - 1) * fit.gap


def chosen_fit(blocks: tuple[Block, ...], available: float) -> Fit:
    """Return the most generous fit that the room allows, with the room left over given away.

    Raises
    ------
    RuntimeError
        Not even the tightest fits: a part has grown beyond what the table of fits expects.
    """
    for fit in _FITS:
        if _needed(blocks, fit) <= available:
            break
    else:
        raise RuntimeError(f"the page needs {_needed(blocks, _FITS[-1]):.0f} of {available:.0f} pt")
    for name, step, limit in _GROWTH:
        while getattr(fit, name) and getattr(fit, name) + step <= limit:
            larger = replace(fit, **{name: getattr(fit, name) + step})
            if _needed(blocks, larger) > available:
                break
            fit = larger
    return fit


def new_canvas(
    buffer: io.BytesIO, paper: Paper, *, title: str, subject: str, author: str = ""
) -> Canvas:
    """Return an empty page of a paper: the same drawing on it gives the same bytes.

    Raises
    ------
    InputValueError
        Unknown paper.
    """
    if paper not in PAPERS:
        raise InputValueError(
            "unknown paper", where=str(paper), remedy=f"use one of {', '.join(PAPERS)}"
        )
    canvas = Canvas(
        buffer,
        pagesize=PAPERS[paper],
        invariant=1,
        pageCompression=1,
        # else a font that is not embedded would be named in the file, unused
        initialFontName=carried("regular"),
    )
    canvas.setTitle(title)
    canvas.setAuthor(author or "deliverylab")
    canvas.setSubject(subject)
    canvas.setCreator("deliverylab")
    canvas.setProducer("deliverylab")
    return canvas


def page_bytes(content: PageContent, paper: Paper = "a4") -> bytes:
    """Return the page as a PDF: the same content gives the same bytes.

    Raises
    ------
    InputValueError
        Unknown paper.
    """
    buffer = io.BytesIO()
    canvas = new_canvas(
        buffer,
        paper,
        title=cleaned(content.title),
        author=cleaned(content.organisation),
        subject="positions and timing of a delivery, with their uncertainty",
    )
    page_width, page_height = PAPERS[paper]
    width = page_width - 2.0 * MARGIN_SIDE
    _draw(canvas, content, width, page_height)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _draw(canvas: Any, content: PageContent, width: float, page_height: float) -> None:
    foot = Cautions(content, width)
    blocks = blocks_of(content, width)
    top = page_height - MARGIN_TOP
    foot_top = MARGIN_BOTTOM + foot.height(_FITS[0])
    fit = chosen_fit(blocks, top - foot_top - _FITS[-1].gap)
    for block in blocks:
        if (height := block.height(fit)) > 0.0:
            block.draw(canvas, MARGIN_SIDE, top, fit)
            top -= height + fit.gap
    foot.draw(canvas, MARGIN_SIDE, foot_top, fit)


def doubtful_characters(content: PageContent) -> str:
    """Return the characters of the page's names that a reader may not see as they are."""
    names = (content.name, content.organisation, content.compared_with, *content.facts)
    return "".join(sorted({character for text in names for character in doubtful(text)}))


def write_page(content: PageContent, path: Path | str, paper: Paper = "a4") -> Path:
    """Write the page as a PDF file and return its path.

    Parameters
    ----------
    content : PageContent
        What stands on it.
    path : path
        Where to; an existing file is replaced.
    paper : {"a4", "letter"}
        Paper size.

    Raises
    ------
    InputValueError
        Unknown paper.
    OutputError
        The file cannot be written.
    """
    return write_pdf(page_bytes(content, paper), path)


def write_pdf(data: bytes, path: Path | str) -> Path:
    """Write a finished page to a file and return its path; an existing file is replaced.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    target = Path(path)
    try:
        target.write_bytes(data)
    except OSError as error:
        raise OutputError(
            "the page cannot be written",
            where=str(target),
            remedy=f"{error.strerror}; is it open elsewhere, or the folder missing?",
        ) from error
    return target
