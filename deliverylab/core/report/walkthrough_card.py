"""What is written around the two pictures of a walkthrough, drawn once for each stop."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from reportlab.pdfgen.canvas import Canvas

from deliverylab.core.report import walkthrough_style as look
from deliverylab.core.report.figures import Picture, Side
from deliverylab.core.report.fonts import Style, clipped, draw_text, fitted, text_width, wrapped
from deliverylab.core.report.raster import POINTS_PER_INCH, render_png
from deliverylab.core.report.scripts import reads_from_right
from deliverylab.core.report.walkthrough_layout import Area, WalkLayout
from deliverylab.core.report.walkthrough_words import NumberLine

CAPTION_SHARE = 0.36
"""Share of the width that the caption takes beside the numbers."""
OUTSIDE_SHARE = 0.06
"""Of the strip, for what runs before the first event, and as much after the last one."""
SMALLEST_CAPTION = 0.72
"""Of the caption's size, where a long one is set smaller before it is cut."""


@dataclass(frozen=True, kw_only=True)
class StripMark:
    """An event on the strip.

    Attributes
    ----------
    phase : float
        Percent.
    name : str
    weight : int
        Which names are left out first where they would touch: the smallest.
    """

    phase: float
    name: str
    weight: int = 0


@dataclass(frozen=True, kw_only=True)
class CardContent:
    """What is written around the pictures at one moment.

    Attributes
    ----------
    title, subtitle : str
        Who, and compared with whom.
    athlete, model : str
        What the two are called.
    span : (float, float)
        First and last phase that is passed.
    marks : tuple of StripMark
        Events within it, by phase.
    chosen : int or None
        Which of them is the moment's.
    running : str
        What comes next and how fast, while the movement runs.
    caption : str
        In plain words, while it stands still.
    numbers : tuple of NumberLine
    is_still : bool
        Whether the movement stands still; while it runs, the lines' meaning is shown instead.
    """

    title: str
    subtitle: str
    athlete: str
    model: str
    span: tuple[float, float]
    marks: tuple[StripMark, ...]
    chosen: int | None
    running: str = ""
    caption: str = ""
    numbers: tuple[NumberLine, ...] = ()
    is_still: bool = True


def strip_x(layout: WalkLayout, content: CardContent, phase: float) -> float:
    """Return where a phase lies on the strip, px; kept within its ends.

    What runs before the first event and after the last one takes little room.
    """
    outer = [mark.phase for mark in content.marks] or list(content.span)
    phases = np.maximum.accumulate([content.span[0], min(outer), max(outer), content.span[1]])
    # where two fall together, their places still differ
    knots = phases + 1e-6 * np.arange(4)
    share = float(np.interp(phase, knots, (0.0, OUTSIDE_SHARE, 1.0 - OUTSIDE_SHARE, 1.0)))
    return layout.strip.left + share * layout.strip.width


def card(layout: WalkLayout, content: CardContent) -> Picture:
    """Return the picture without the two clips: titles, strip, caption and numbers; RGB."""
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=(layout.width, layout.height), invariant=1)
    pen = _Pen(canvas, layout)
    canvas.setFillColor(look.GROUND)
    canvas.rect(0, 0, layout.width, layout.height, stroke=0, fill=1)
    _draw_head(pen, content)
    _draw_strip(pen, content)
    if content.is_still:
        _draw_stop(pen, content)
    else:
        _draw_running(pen, content)
    canvas.showPage()
    canvas.save()
    return render_png(buffer.getvalue(), dpi=POINTS_PER_INCH)


class _Pen:
    """Draws on a page whose rows count from above, in px of the finished picture."""

    def __init__(self, canvas: Any, layout: WalkLayout) -> None:
        self.canvas = canvas
        self.layout = layout
        self.unit = layout.unit

    def sized(self, style: Style) -> Style:
        return style.sized(style.size * self.unit)

    def write(self, x: float, y: float, text: str, style: Style, *, align: Any = "left") -> float:
        """Write a line with its baseline in row `y`; the style is one that was sized."""
        return draw_text(self.canvas, x, self.layout.height - y, text, style, align=align)

    def line(self, start: tuple[float, float], end: tuple[float, float], width: float) -> None:
        self.canvas.setLineWidth(width * self.unit)
        height = self.layout.height
        self.canvas.line(start[0], height - start[1], end[0], height - end[1])

    def disc(self, x: float, y: float, radius: float, *, is_full: bool) -> None:
        self.canvas.circle(
            x, self.layout.height - y, radius * self.unit, stroke=1, fill=int(is_full)
        )


def _draw_head(pen: _Pen, content: CardContent) -> None:
    head, unit = pen.layout.head, pen.unit
    title, subtitle = pen.sized(look.TITLE), pen.sized(look.SUBTITLE)
    room = head.width * (0.6 if not pen.layout.is_upright else 0.55)
    text, style = fitted(content.title, title, room, title.size * 0.7)
    baseline = head.top + 36.0 * unit
    x = head.left + pen.write(head.left, baseline, text, style) + 22.0 * unit
    text, style = fitted(content.subtitle, subtitle, head.right - x, subtitle.size * 0.7)
    pen.write(x, baseline, text, style)


def _draw_strip(pen: _Pen, content: CardContent) -> None:
    strip, unit, layout = pen.layout.strip, pen.unit, pen.layout
    y = strip.top + 26.0 * unit
    pen.canvas.setStrokeColor(look.LINE)
    pen.canvas.setLineCap(1)
    pen.line((strip.left, y), (strip.right, y), 4.0)
    taken: list[tuple[float, float]] = []
    order = sorted(
        range(len(content.marks)),
        key=lambda number: (number != content.chosen, -content.marks[number].weight),
    )
    for number in order:
        mark = content.marks[number]
        is_chosen = number == content.chosen
        x = strip_x(layout, content, mark.phase)
        pen.canvas.setStrokeColor(look.TEXT if is_chosen else look.FAINT)
        pen.canvas.setFillColor(look.TEXT if is_chosen else look.GROUND)
        pen.canvas.setLineWidth(2.5 * unit)
        pen.disc(x, y, 8.0 if is_chosen else 6.0, is_full=True)
        style = pen.sized(look.SMALL._replace(colour=look.TEXT) if is_chosen else look.SMALL)
        half = 0.5 * text_width(mark.name, style)
        middle = min(max(x, strip.left + half), strip.right - half)
        left, right = middle - half - 7.0 * unit, middle + half + 7.0 * unit
        if any(left < end and start < right for start, end in taken):
            continue
        taken.append((left, right))
        pen.write(middle, strip.top + 60.0 * unit, mark.name, style, align="centre")


def _areas(layout: WalkLayout) -> tuple[Area, Area]:
    """Return where the caption and where the numbers stand."""
    words = layout.words
    if layout.is_upright:
        caption = words._replace(height=round(178 * layout.unit))
        return caption, words._replace(top=caption.bottom, height=words.bottom - caption.bottom)
    width = round(CAPTION_SHARE * words.width)
    gap = round(44 * layout.unit)
    numbers = Area(words.left + width + gap, words.top, words.width - width - gap, words.height)
    return words._replace(width=width), numbers


def _draw_stop(pen: _Pen, content: CardContent) -> None:
    beside, numbers = _areas(pen.layout)
    if not content.numbers:
        beside = pen.layout.words
    _draw_caption(pen, content.caption, beside)
    if content.numbers:
        _draw_numbers(pen, content, numbers)


def _draw_caption(pen: _Pen, caption: str, area: Area) -> None:
    """Write the caption: smaller where it is long, and cut only then."""
    top = area.top + 6.0 * pen.unit
    room = area.bottom - top
    style = pen.sized(look.CAPTION)
    smallest = style.size * SMALLEST_CAPTION
    leading = 1.32
    while True:
        n_lines = max(1, int(room / (style.size * leading)))
        lines = wrapped(caption, style, area.width)
        if len(lines) <= n_lines or style.size <= smallest:
            break
        style = style.sized(max(smallest, style.size * 0.94))
    is_from_right = reads_from_right(caption)
    x, align = (area.right, "right") if is_from_right else (area.left, "left")
    for number, line in enumerate(wrapped(caption, style, area.width, n_lines)):
        pen.write(x, top + (number + 0.9) * leading * style.size, line, style, align=align)


def _draw_numbers(pen: _Pen, content: CardContent, area: Area) -> None:
    """Write a table: what, athlete, model, how they differ."""
    unit = pen.unit
    shares = (0.0, 0.315, 0.495, 0.675)
    lefts = [area.left + share * area.width for share in shares]
    rights = [*lefts[1:], float(area.right)]
    small = pen.sized(look.SMALL)
    gap = 14.0 * unit
    heads = ("", content.athlete, content.model, "difference")
    for left, right, text in zip(lefts, rights, heads, strict=True):
        pen.write(left, area.top + 30.0 * unit, clipped(text, small, right - left - gap), small)
    step = min(46.0 * unit, (area.height - 40.0 * unit) / max(1, len(content.numbers)))
    tops = [area.top + 44.0 * unit + number * step for number in range(len(content.numbers))]
    pen.canvas.setStrokeColor(look.LINE)
    for top in tops:
        pen.line((area.left, top), (area.right, top), 1.5)
    for column, (left, right) in enumerate(zip(lefts, rights, strict=True)):
        cells = [
            ((row.name, row.athlete, row.model, row.words)[column], _cell_style(row, column))
            for row in content.numbers
        ]
        room = right - left - (gap if right < area.right else 0.0)
        full = look.NUMBER.size * unit
        # one size for a column: a smaller line among larger ones would look less important
        size = min(
            fitted(text, style.sized(full), room, 0.7 * full)[1].size for text, style in cells
        )
        for top, (text, style) in zip(tops, cells, strict=True):
            pen.write(
                left, top + 31.0 * unit, clipped(text, style.sized(size), room), style.sized(size)
            )


def _cell_style(row: NumberLine, column: int) -> Style:
    if column < 2:
        return look.NUMBER
    return look.NUMBER_STRONG if column == 3 and row.is_clear else look.NUMBER_QUIET


def _draw_running(pen: _Pen, content: CardContent) -> None:
    """Write what comes next, and what the lines of the skeletons mean."""
    unit, words = pen.unit, pen.layout.words
    style = pen.sized(look.RUNNING)
    pen.write(
        words.left, words.top + 34.0 * unit, clipped(content.running, style, words.width), style
    )
    small = pen.sized(look.SMALL)
    x, y = float(words.left), words.top + 84.0 * unit
    entries: Sequence[tuple[Side, bool, str]] = (
        ("throwing", False, "throwing side"),
        ("glove", False, "glove side"),
        ("middle", True, content.model),
    )
    for side, is_model, text in entries:
        colour = look.MODEL if is_model else look.SIDES[side]
        pen.canvas.setStrokeColor(colour)
        pen.canvas.setFillColor(look.GROUND)
        pen.canvas.setLineCap(0)
        if is_model:
            pen.canvas.setDash(*(unit * part for part in look.DASH_PX))
        pen.line((x, y), (x + 62.0 * unit, y), look.MODEL_LINE_PX if is_model else look.LINE_PX)
        pen.canvas.setDash()
        _draw_legend_marker(pen, side, x + 31.0 * unit, y, is_model=is_model)
        x += 76.0 * unit
        shown = clipped(text, small, words.right - x)
        x += pen.write(x, y + 7.0 * unit, shown, small) + 44.0 * unit


def _draw_legend_marker(pen: _Pen, side: Side, x: float, y: float, *, is_model: bool) -> None:
    if is_model:
        return
    half = look.MARKER_PX * pen.unit
    pen.canvas.setLineWidth(2.5 * pen.unit)
    if side == "throwing":
        bottom = pen.layout.height - y - half
        pen.canvas.rect(x - half, bottom, 2.0 * half, 2.0 * half, stroke=1, fill=1)
    else:
        pen.disc(x, y, look.MARKER_PX * 1.15, is_full=True)
