"""Verdicts by shape and word, and the two lists of what does not differ or cannot be said."""

from __future__ import annotations

from typing import Any

from deliverylab.core.report import wording
from deliverylab.core.report.blocks import LEADING, LIST_HEADING, Fit, draw_lines
from deliverylab.core.report.content import PageContent
from deliverylab.core.report.fonts import Style, clipped, draw_text, wrapped
from deliverylab.core.report.page_rows import Withheld
from deliverylab.core.report.style import GREY, INK, LABEL, SMALL, SMALL_INK


def draw_verdict_shape(canvas: Any, verdict: str, x: float, y: float) -> None:
    """Draw a verdict's shape: filled diamond, open circle, dash."""
    canvas.setStrokeColor(INK if verdict == "clear" else GREY)
    canvas.setFillColor(INK)
    canvas.setLineWidth(0.9)
    canvas.setDash()
    if verdict == "clear":
        path = canvas.beginPath()
        path.moveTo(x - 2.6, y)
        for point in ((x, y + 2.6), (x + 2.6, y), (x, y - 2.6)):
            path.lineTo(*point)
        path.close()
        canvas.drawPath(path, stroke=0, fill=1)
    elif verdict == "within_error":
        canvas.circle(x, y, 2.1, stroke=1, fill=0)
    else:
        canvas.line(x - 2.4, y, x + 2.4, y)


class VerdictList:
    """One of the two lists under the table: a shape, a heading, and a few small lines.

    Parameters
    ----------
    verdict, title : str
        Shape and heading.
    wordings : tuple of tuple of str
        The same paragraphs from the fullest to the shortest wording; the fullest that fits is
        taken, and of the shortest as much as fits.
    width : float
        Points.
    """

    INDENT = 9.0
    SPACING = 2.0

    def __init__(
        self, verdict: str, title: str, wordings: tuple[tuple[str, ...], ...], width: float
    ) -> None:
        self.verdict = verdict
        self.title = title
        self.width = width
        room = width - self.INDENT
        self.wordings = [
            [wrapped(paragraph, SMALL_INK, room) for paragraph in paragraphs]
            for paragraphs in wordings
        ]

    def lines(self, fit: Fit) -> tuple[str, ...]:
        """Return the lines that are shown; what is left out is counted in the last one."""
        for paragraphs in self.wordings:
            every = tuple(line for paragraph in paragraphs for line in paragraph)
            if len(every) <= fit.n_list_lines:
                return every
        width = self.width - self.INDENT
        paragraphs = self.wordings[-1]
        if len(paragraphs) == 1:
            return wrapped(" ".join(paragraphs[0]), SMALL_INK, width, fit.n_list_lines)
        shown: list[str] = []
        for number, paragraph in enumerate(paragraphs):
            after = self._note(len(paragraphs) - number - 1, is_first=False)
            if len(shown) + len(paragraph) + len(after) > fit.n_list_lines:
                note = self._note(len(paragraphs) - number, is_first=not shown)
                return (*shown, *note)
            shown += paragraph
        return tuple(shown)

    def _note(self, n: int, *, is_first: bool) -> tuple[str, ...]:
        """Return where so many reasons stand that are left out."""
        left = wording.counted(n, "reason" if is_first else "more reason")
        return (
            wrapped(f"{left}: technical sheet.", SMALL_INK, self.width - self.INDENT) if n else ()
        )

    def height(self, fit: Fit) -> float:
        """Return the height of heading and lines; 0 without any."""
        lines = self.lines(fit)
        if not lines:
            return 0.0
        spacing = self.SPACING * sum(line.endswith(".") for line in lines[:-1])
        return LIST_HEADING + len(lines) * SMALL.size * LEADING + spacing

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw shape, heading and lines."""
        lines = self.lines(fit)
        if not lines:
            return
        style: Style = LABEL
        draw_verdict_shape(canvas, self.verdict, left + 2.6, top - style.size + 2.8)
        x = left + self.INDENT
        title = clipped(self.title, style, self.width - self.INDENT)
        draw_text(canvas, x, top - style.size, title, style)
        top -= LIST_HEADING
        for number, line in enumerate(lines):
            # paragraphs end with a full stop
            if number and lines[number - 1].endswith("."):
                top -= self.SPACING
            top = draw_lines(canvas, x, top, (line,), SMALL_INK)


_MOST_NAMES = ((99, True), (4, True), (2, True), (2, False))
"""Names that a reason lists, and whether the remedy follows: from the fullest wording on."""


def shortened(names: tuple[str, ...], n_most: int) -> str:
    """Return names as a phrase, the last ones counted where there are more than `n_most`."""
    if len(names) <= n_most + 1:
        return wording.joined(names)
    return wording.joined((*names[:n_most], f"{len(names) - n_most} more"))


def alike_list(content: PageContent, width: float) -> VerdictList:
    """Return the list of metrics without a difference that can be seen."""
    names = content.alike
    wordings = tuple(
        (wording.sentence(shortened(names, n_most)),) if names else ()
        for n_most in (len(names), 16, 12, 9, 7, 5, 4, 3, 2, 1)
    )
    return VerdictList("within_error", "No difference we can see", wordings, width)


def withheld_list(content: PageContent, width: float) -> VerdictList:
    """Return the list of what cannot be compared, and why."""
    wordings = tuple(
        tuple(_withheld_sentence(group, n_most, has_remedy) for group in content.withheld)
        for n_most, has_remedy in _MOST_NAMES
    )
    return VerdictList("not_comparable", "Not shown, and why", wordings, width)


def _withheld_sentence(group: Withheld, n_most: int, has_remedy: bool) -> str:
    names = shortened(group.topics, n_most)
    if not group.reason:
        return wording.sentence(f"{names}: {group.remedy}")
    remedy = f" ({group.remedy})" if group.remedy and has_remedy else ""
    return wording.sentence(f"{names}: {group.reason}{remedy}")
