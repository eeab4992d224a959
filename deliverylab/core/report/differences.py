"""The page's middle: the table of what differs, and the lists of what does not or cannot be said."""

from __future__ import annotations

from typing import Any

from deliverylab.core.report import wording
from deliverylab.core.report.blocks import LEADING, Fit, draw_lines
from deliverylab.core.report.charts import draw_whisker
from deliverylab.core.report.content import PageContent
from deliverylab.core.report.fonts import Style, clipped, draw_text, fitted, text_width, wrapped
from deliverylab.core.report.page_rows import DifferenceRow
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import (
    BODY,
    HEADING,
    QUIET,
    SMALL,
    SMALL_INK,
    STRONG,
    hairline,
)
from deliverylab.core.report.verdicts import draw_verdict_shape, shortened

TWO_LINE_ROW = 22.0
"""Rows at least this high hold two lines."""
_COLUMNS = (0.0, 0.335, 0.52, 0.685, 0.885)
_ONE_LINE_COLUMNS = (0.0, 0.31, 0.51, 0.645, 0.925)
"""Where the columns begin, as shares of the width; rows of one line have no bar."""
_COLUMN_GAP = 9.0
_NOTHING_CLEAR = "No clear difference in what these pictures can show."
_SHEET = "on the technical sheet"
_NOTHING_AT_ALL = "Nothing could be compared yet."


def _has_two(fit: Fit) -> bool:
    """Return whether rows hold two lines."""
    return fit.row_height >= TWO_LINE_ROW


class DifferenceTable:
    """What differs and how sure: one row a clear difference, the largest first."""

    HEADING_HEIGHT, LABELS_HEIGHT = 18.0, 12.0

    def __init__(self, content: PageContent, width: float) -> None:
        self.content = content
        self.width = width
        self._labels = {has_two: self._new_labels(has_two=has_two) for has_two in (True, False)}

    def _new_labels(self, *, has_two: bool) -> tuple[list[tuple[str, ...]], float]:
        """Return both headings in lines, and the height of all."""
        headings = (self.content.heading_athlete, self.content.heading_model)
        columns = self._columns(0.0, has_two=has_two)[1:3]
        labels = [
            wrapped(h, SMALL, column, 2) for h, (_, column) in zip(headings, columns, strict=True)
        ]
        n_lines = max(map(len, labels))
        return labels, self.LABELS_HEIGHT + SMALL.size * 1.2 * (n_lines - 1)

    def rows(self, fit: Fit) -> tuple[DifferenceRow, ...]:
        """Return the rows that are shown in their order: what is spoken of, and the largest."""
        rows = self.content.rows
        first = sorted(range(len(rows)), key=lambda number: rows[number].spoken_of)
        return tuple(rows[number] for number in sorted(first[: fit.n_rows]))

    def rest(self, fit: Fit) -> str:
        """Return the sentence under the table: clear differences without a row, or that none is."""
        if not any(row.verdict == "clear" for row in self.content.rows):
            return _NOTHING_CLEAR
        shown = self.rows(fit)
        rest = [row for row in self.content.rows if row.verdict == "clear" and row not in shown]
        names = tuple(f"{wording.lowered(row.name)} {row.when}".strip() for row in rest)
        for n_most in range(len(names), 0, -1):
            where = f" {_SHEET}" if n_most + 1 < len(names) else ""
            text = f"Also clear: {shortened(names, n_most)}{where}."
            if text_width(text, SMALL_INK) <= self.width:
                return text
        if not names:
            return ""
        return f"Also clear: {wording.counted(len(names), 'more difference')}, {_SHEET}."

    def height(self, fit: Fit) -> float:
        """Return the height of heading, labels, rows and the sentence on the others."""
        rows = self.rows(fit)
        if not rows:
            return self.HEADING_HEIGHT + BODY.size * LEADING
        rest = SMALL.size * LEADING + 4.0 if self.rest(fit) else 0.0
        return (
            self.HEADING_HEIGHT + self._labels[_has_two(fit)][1] + len(rows) * fit.row_height + rest
        )

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw all of it."""
        draw_text(canvas, left, top - HEADING.size, "What differs, and how sure we are", HEADING)
        rows = self.rows(fit)
        if not rows:
            draw_lines(canvas, left, top - self.HEADING_HEIGHT, (_NOTHING_AT_ALL,), BODY)
            return
        if _has_two(fit):
            taken = text_width("What differs, and how sure we are", HEADING) + 12.0
            key = clipped("bar: difference · thin line: its ±", SMALL, self.width - taken)
            draw_text(canvas, left + self.width, top - HEADING.size, key, SMALL, align="right")
        top -= self.HEADING_HEIGHT
        top = self._draw_labels(canvas, left, top, has_two=_has_two(fit))
        for row in rows:
            hairline(canvas, left, top, left + self.width)
            self._draw_row(canvas, left, top, row, fit)
            top -= fit.row_height
        hairline(canvas, left, top, left + self.width)
        if rest := self.rest(fit):
            draw_text(canvas, left, top - 4.0 - SMALL.size, rest, SMALL_INK)

    def _draw_labels(self, canvas: Any, left: float, top: float, *, has_two: bool) -> float:
        """Draw what stands over the columns, and return where the rows begin."""
        labels, height = self._labels[has_two]
        columns = self._columns(left, has_two=has_two)[1:4]
        for (x, _), lines in zip(columns, (*labels, ("Difference",)), strict=True):
            y = top - height + self.LABELS_HEIGHT - SMALL.size
            for text in reversed(lines):
                draw_text(canvas, x, y, text, SMALL)
                y += 1.2 * SMALL.size
        return top - height

    def _columns(self, left: float, *, has_two: bool) -> list[tuple[float, float]]:
        starts = _COLUMNS if has_two else _ONE_LINE_COLUMNS
        ends = [*starts[1:], 1.0 + _COLUMN_GAP / self.width]
        return [
            (left + start * self.width, (end - start) * self.width - _COLUMN_GAP)
            for start, end in zip(starts, ends, strict=True)
        ]

    def _draw_row(self, canvas: Any, left: float, top: float, row: DifferenceRow, fit: Fit) -> None:
        has_two = _has_two(fit)
        columns = self._columns(left, has_two=has_two)
        middle = top - fit.row_height / 2.0
        first = middle + 2.2 if has_two else middle - 3.0
        second = middle - 7.6
        self._draw_topic(canvas, columns[0], row, (first, second), has_two=has_two)
        for column, value, style in (
            (columns[1], row.athlete, STRONG),
            (columns[2], row.model, QUIET),
        ):
            if has_two:
                self._draw_value(canvas, column, value, style, (first, second))
            else:
                # both have the same unit: it stands beside the first
                unit = value[1] if value is row.athlete else ""
                self._draw_in_line(canvas, column, (value[0], unit), style, first)
        self._draw_difference(canvas, columns[3], row, (first, second), has_two=has_two)
        self._draw_verdict(canvas, columns[4], row, (first, second), has_two=has_two)

    @staticmethod
    def _draw_value(
        canvas: Any,
        column: tuple[float, float],
        value: tuple[str, str],
        style: Style,
        baselines: tuple[float, float],
    ) -> None:
        """Draw a value with its unit beside it, or below where there is no room."""
        (x, width), (number, unit) = column, value
        whole = f"{number} {unit}".strip()
        is_split = text_width(whole, style) > width
        draw_text(
            canvas, x, baselines[0], *fitted(number if is_split else whole, style, width, 6.2)
        )
        if is_split:
            draw_text(canvas, x, baselines[1], clipped(unit, SMALL, width), SMALL)

    @staticmethod
    def _draw_in_line(
        canvas: Any,
        column: tuple[float, float],
        value: tuple[str, str],
        style: Style,
        baseline: float,
    ) -> None:
        """Draw a value with its unit beside it in small letters."""
        (x, width), (number, unit) = column, value
        end = x + draw_text(canvas, x, baseline, *fitted(number, style, width, 6.2)) + 3.0
        if unit:
            room = x + width + _COLUMN_GAP / 2.0 - end
            draw_text(canvas, end, baseline, *fitted(unit, SMALL, room, 4.8))

    @staticmethod
    def _draw_difference(
        canvas: Any,
        column: tuple[float, float],
        row: DifferenceRow,
        baselines: tuple[float, float],
        *,
        has_two: bool,
    ) -> None:
        x, width = column
        is_clear = row.verdict == "clear"
        style = STRONG if is_clear else QUIET
        words = (row.words or "differs") if is_clear else "no clear difference"
        if has_two:
            amount = f"by {row.amount}" if is_clear else row.amount
            for text, line_style, y in (
                (words, style, baselines[0]),
                (amount, SMALL, baselines[1]),
            ):
                draw_text(canvas, x, y, *fitted(text, line_style, width, 6.0))
            return
        # the unit stands in the same line already
        amount = row.amount.removesuffix(f" {row.athlete[1]}") if row.athlete[1] else row.amount
        taken = text_width(amount, SMALL) + 4.0
        shown, sized = fitted(words, style, width - taken, 6.0)
        x += draw_text(canvas, x, baselines[0], shown, sized) + 4.0
        draw_text(canvas, x, baselines[0], amount, SMALL)

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
        word = row.verdict_word if row.verdict == "clear" else "within its ±"
        word_width = text_width(word, SMALL) + 9.0
        if has_two:
            cell = Cell(x, baselines[0] - 0.5, width, 8.0)
            draw_whisker(canvas, row.ratio, row.margin_ratio, cell)
            start = x + (width - word_width) / 2.0
            y = baselines[1]
        else:
            start, y = x + width - word_width, baselines[0]
        draw_verdict_shape(canvas, row.verdict, start + 2.6, y + 2.5)
        draw_text(canvas, start + 9.0, y, word, SMALL_INK)
