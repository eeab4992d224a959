"""The page's middle: the table of what differs, and the lists of what does not or cannot be said."""

from __future__ import annotations

from typing import Any

from deliverylab.core.report import wording
from deliverylab.core.report.blocks import LEADING, Fit, draw_lines
from deliverylab.core.report.charts import draw_whisker
from deliverylab.core.report.content import DifferenceRow, PageContent
from deliverylab.core.report.fonts import Style, clipped, draw_text, fitted, text_width, wrapped
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import (
    BODY,
    GREY,
    HEADING,
    INK,
    LABEL,
    QUIET,
    SMALL,
    SMALL_INK,
    STRONG,
    hairline,
)

TWO_LINE_ROW = 22.0
"""Rows at least this high hold two lines."""
_COLUMNS = (0.0, 0.335, 0.52, 0.685, 0.885)
"""Where the columns begin, as shares of the width."""
_COLUMN_GAP = 9.0
_NOTHING_CLEAR = "No clear difference in what these pictures can show."
_NOTHING_AT_ALL = "Nothing could be compared yet."


class DifferenceTable:
    """What differs and how sure: one row a clear difference, the largest first."""

    HEADING_HEIGHT, LABELS_HEIGHT = 18.0, 12.0

    def __init__(self, content: PageContent, width: float) -> None:
        self.content = content
        self.width = width

    def rows(self, fit: Fit) -> tuple[DifferenceRow, ...]:
        """Return the rows that are shown."""
        return self.content.clear[: fit.n_rows]

    def rest(self, fit: Fit) -> str:
        """Return the sentence on the clear differences that have no row."""
        rest = self.content.clear[fit.n_rows :]
        names = [f"{wording.lowered(row.name)} {row.when}".strip() for row in rest]
        return f"Also clear: {wording.joined(names)}." if names else ""

    def height(self, fit: Fit) -> float:
        """Return the height of heading, labels, rows and the sentence on the others."""
        rows = self.rows(fit)
        if not rows:
            return self.HEADING_HEIGHT + BODY.size * LEADING
        rest = SMALL.size * LEADING + 4.0 if self.rest(fit) else 0.0
        return self.HEADING_HEIGHT + self.LABELS_HEIGHT + len(rows) * fit.row_height + rest

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw all of it."""
        draw_text(canvas, left, top - HEADING.size, "What differs, and how sure we are", HEADING)
        rows = self.rows(fit)
        if not rows:
            words = _NOTHING_CLEAR if self.content.alike else _NOTHING_AT_ALL
            draw_lines(canvas, left, top - self.HEADING_HEIGHT, (words,), BODY)
            return
        key = "bar: difference · thin line: its ±"
        taken = text_width("What differs, and how sure we are", HEADING) + 12.0
        key = clipped(key, SMALL, self.width - taken)
        draw_text(canvas, left + self.width, top - HEADING.size, key, SMALL, align="right")
        top -= self.HEADING_HEIGHT
        labels = ("", self.content.heading_athlete, self.content.heading_model, "difference", "")
        for (x, width), label in zip(self._columns(left), labels, strict=True):
            draw_text(canvas, x, top - SMALL.size, clipped(label, SMALL, width), SMALL)
        top -= self.LABELS_HEIGHT
        for row in rows:
            hairline(canvas, left, top, left + self.width)
            self._draw_row(canvas, left, top, row, fit)
            top -= fit.row_height
        hairline(canvas, left, top, left + self.width)
        if rest := self.rest(fit):
            line = clipped(rest, SMALL_INK, self.width)
            draw_text(canvas, left, top - 4.0 - SMALL.size, line, SMALL_INK)

    def _columns(self, left: float) -> list[tuple[float, float]]:
        ends = [*_COLUMNS[1:], 1.0 + _COLUMN_GAP / self.width]
        return [
            (left + start * self.width, (end - start) * self.width - _COLUMN_GAP)
            for start, end in zip(_COLUMNS, ends, strict=True)
        ]

    def _draw_row(
        self, canvas: Any, left: float, top: float, row: DifferenceRow, fit: Fit
    ) -> None:
        columns = self._columns(left)
        has_two = fit.row_height >= TWO_LINE_ROW
        middle = top - fit.row_height / 2.0
        first = middle + 2.2 if has_two else middle - 3.0
        second = middle - 7.6
        self._draw_topic(canvas, columns[0], row, (first, second), has_two=has_two)
        for (x, width), text, style in (
            (columns[1], row.athlete, STRONG),
            (columns[2], row.model, QUIET),
        ):
            shown, sized = fitted(text, style, width, 6.2)
            draw_text(canvas, x, first, shown, sized)
        x, width = columns[3]
        if has_two:
            for text, style, y in (
                (row.words or "differs", STRONG, first),
                (f"by {row.amount}", SMALL, second),
            ):
                shown, sized = fitted(text, style, width, 6.0)
                draw_text(canvas, x, y, shown, sized)
        else:
            shown, sized = fitted(f"{row.words or 'differs'}, {row.amount}", STRONG, width, 6.0)
            draw_text(canvas, x, first, shown, sized)
        self._draw_verdict(canvas, columns[4], row, (first, second), has_two=has_two)

    @staticmethod
    def _draw_topic(
        canvas: Any,
        column: tuple[float, float],
        row: DifferenceRow,
        baselines: tuple[float, float],
        *,
        has_two: bool,
    ) -> None:
        x, width = column
        if not has_two:
            taken = text_width(f" {row.when}", SMALL) if row.when else 0.0
            shown, sized = fitted(row.name, BODY, width - min(taken, 0.5 * width), 6.8)
            x += draw_text(canvas, x, baselines[0], shown, sized) + 3.0
            if row.when:
                room = column[0] + width - x + _COLUMN_GAP / 2.0
                draw_text(canvas, x, baselines[0], clipped(row.when, SMALL, room), SMALL)
            return
        lines = wrapped(row.name, BODY, width, 2) if text_width(row.name, BODY) > width else ()
        if lines:
            draw_text(canvas, x, baselines[0], lines[0], BODY)
            below = " · ".join(part for part in (lines[1], row.when) if part)
            draw_text(canvas, x, baselines[1], clipped(below, SMALL, width), SMALL)
            return
        draw_text(canvas, x, baselines[0], row.name, BODY)
        draw_text(canvas, x, baselines[1], clipped(row.when, SMALL, width), SMALL)

    @staticmethod
    def _draw_verdict(
        canvas: Any,
        column: tuple[float, float],
        row: DifferenceRow,
        baselines: tuple[float, float],
        *,
        has_two: bool,
    ) -> None:
        x, width = column
        word_width = text_width(row.verdict_word, SMALL) + 9.0
        if has_two:
            cell = Cell(x, baselines[0] - 0.5, width, 8.0)
            draw_whisker(canvas, row.ratio, row.margin_ratio, cell)
            start = x + (width - word_width) / 2.0
            y = baselines[1]
        else:
            start, y = x + width - word_width, baselines[0]
        draw_verdict_shape(canvas, row.verdict, start + 2.6, y + 2.5)
        draw_text(canvas, start + 9.0, y, row.verdict_word, SMALL_INK)


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
    """One of the two lists under the table: a shape, a heading, and a few small lines."""

    INDENT = 9.0
    HEIGHT = 12.5

    def __init__(
        self, verdict: str, title: str, paragraphs: tuple[str, ...], width: float
    ) -> None:
        self.verdict = verdict
        self.title = title
        self.paragraphs = paragraphs
        self.width = width

    def lines(self, fit: Fit) -> tuple[str, ...]:
        """Return the lines that are shown; what is left is counted in the last one."""
        width = self.width - self.INDENT
        lines: list[str] = []
        for number, paragraph in enumerate(self.paragraphs):
            more = len(self.paragraphs) - number
            room = fit.n_list_lines - len(lines) - (1 if more > 1 else 0)
            needed = wrapped(paragraph, SMALL_INK, width)
            if room <= 0 or (len(needed) > room and number > 0):
                reasons = wording.counted(more, "more reason")
                lines.append(f"and {reasons}: see the results table")
                break
            lines += needed[:room] if len(needed) <= room else wrapped(
                paragraph, SMALL_INK, width, room
            )
        return tuple(clipped(line, SMALL_INK, width) for line in lines[: fit.n_list_lines])

    def height(self, fit: Fit) -> float:
        """Return the height of heading and lines; 0 without any."""
        lines = self.lines(fit)
        return self.HEIGHT + len(lines) * SMALL.size * LEADING if lines else 0.0

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
        draw_lines(canvas, x, top - self.HEIGHT, lines, SMALL_INK)


def alike_list(content: PageContent, width: float) -> VerdictList:
    """Return the list of metrics without a difference that can be seen."""
    names = content.alike
    text = wording.sentence(wording.joined(names)) if names else ""
    paragraphs = (text,) if text else ()
    return VerdictList("within_error", "No difference we can see", paragraphs, width)


def withheld_list(content: PageContent, width: float) -> VerdictList:
    """Return the list of what cannot be compared, and why."""
    paragraphs = tuple(
        wording.sentence(f"{wording.joined(group.topics)}: {group.reason}")
        for group in content.withheld
    )
    return VerdictList("not_comparable", "Not shown, and why", paragraphs, width)
