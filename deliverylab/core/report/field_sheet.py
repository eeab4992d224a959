"""The field set-up sheet: how two phones film a delivery in space, on one page to take along."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import Any, NamedTuple

from deliverylab.core.report.field_layout import SIZE_PX, FieldLayout, StoodView, field_layout
from deliverylab.core.report.field_pictures import draw_picture
from deliverylab.core.report.field_plan import QUIET_MARK, draw_detail, draw_plan
from deliverylab.core.report.field_words import CAUTIONS, FIGURES, Sign, Step, sheet_words
from deliverylab.core.report.fonts import Style, draw_text, fitted, wrapped
from deliverylab.core.report.page import (
    PAPERS,
    Paper,
    new_canvas,
)
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import GREY, INK, TEAL, hairline
from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.landmarks import Hand

TITLE = Style(20.0, INK, "bold")
HEADING = Style(11.0, INK, "bold")
BODY = Style(9.5, INK)
STRONG = Style(9.5, INK, "bold")
QUIET = Style(9.5, GREY)
"""Read at arm's length, out of doors: larger than on the summary page."""
MARGIN_SIDE, MARGIN_TOP, MARGIN_BOTTOM = 36.0, 30.0, 28.0
"""Free edge of the paper, points: what any printer leaves."""
GUTTER = 20.0
LINE = 12.4
"""From one line of text to the next, points."""
DETAIL_WIDTH, DETAIL_GAP, DETAIL_LEAST = 124.0, 10.0, 140.0
HEAD_LEADING = 1.55
STEP_GAP, PICTURE_GAP, FIGURES_HEIGHT = 8.0, 3.0, 13.0
N_GAPS, MOST_EXTRA_GAP = 4, 8.0

_INDENT = 12.0
_ITEM_GAP = 1.5


class Fit(NamedTuple):
    """Heights of the drawings and the gap between the bands, points."""

    plan_height: float
    picture_height: float
    gap: float


_FITS = tuple(
    Fit(plan, picture, gap)
    for plan, picture, gap in (
        (250.0, 140.0, 16.0),
        (240.0, 134.0, 14.0),
        (230.0, 128.0, 13.0),
        (220.0, 122.0, 12.0),
        (210.0, 116.0, 11.0),
        (200.0, 110.0, 10.0),
        (190.0, 104.0, 9.0),
    )
)
"""From the most generous to the tightest; the last holds every sheet on every paper."""


@dataclass(frozen=True)
class Section:
    """A numbered step with its items, set to a width."""

    step: Step
    width: float

    def lines(self) -> tuple[tuple[str, ...], ...]:
        """Return the lines of each item."""
        room = self.width - (_INDENT if self.step.sign else 0.0)
        return tuple(wrapped(item, BODY, room) for item in self.step.items)

    def height(self) -> float:
        """Return the height that `draw` takes, points."""
        items = self.lines()
        n_lines = sum(len(lines) for lines in items)
        return HEADING.size * HEAD_LEADING + n_lines * LINE + len(items) * _ITEM_GAP

    def draw(self, canvas: Any, left: float, top: float, *, hanging: float = 0.0) -> float:
        """Draw below `top`, items set in by `hanging`; return where the next thing may begin."""
        draw_text(canvas, left, top - HEADING.size, self.step.title, HEADING)
        top -= HEADING.size * HEAD_LEADING
        left += hanging
        indent = _INDENT if self.step.sign else 0.0
        for number, lines in enumerate(self.lines(), start=1):
            _draw_sign(canvas, self.step.sign, number, left, top)
            top = _draw_lines(canvas, left + indent, top, lines) - _ITEM_GAP
        return top


def _draw_lines(canvas: Any, left: float, top: float, lines: tuple[str, ...]) -> float:
    for line in lines:
        draw_text(canvas, left, top - BODY.size, line, BODY)
        top -= LINE
    return top


def _draw_sign(canvas: Any, sign: Sign, number: int, left: float, top: float) -> None:
    """Draw what stands before an item: a dot, a box to tick, or its number."""
    base = top - BODY.size
    if sign == "dot":
        canvas.setFillColor(TEAL)
        canvas.circle(left + 3.0, base + 3.3, 1.6, stroke=0, fill=1)
    elif sign == "box":
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.9)
        canvas.setDash()
        canvas.rect(left + 0.5, base - 0.4, 7.4, 7.4, stroke=1, fill=0)
    elif sign == "number":
        draw_text(canvas, left, base, f"{number}", STRONG)


class Sheet:
    """A sheet's parts, set to the width of its paper."""

    def __init__(self, layout: FieldLayout, system: UnitSystem, width: float) -> None:
        self.layout, self.system, self.width = layout, system, width
        self.column = 0.5 * (width - GUTTER)
        words = self.words = sheet_words(layout, system)
        self.bring = Section(words.bring, self.column)
        self.lay = Section(words.lay, self.column - DETAIL_WIDTH - DETAIL_GAP)
        self.phones: tuple[tuple[StoodView, Section], ...] = (
            ("open-side", Section(words.side, self.column)),
            ("rear", Section(words.rear, self.column)),
        )
        self.steps = (
            tuple(Section(step, self.column) for step in (words.settings, words.film)),
            tuple(Section(step, self.column) for step in (words.check, words.desk)),
        )
        self.cautions = wrapped(" ".join(CAUTIONS), BODY, width)

    @property
    def head_height(self) -> float:
        """Height of the title and of the line under it."""
        return TITLE.size * 1.25 + LINE

    @property
    def foot_height(self) -> float:
        """Height of the cautions with the line above them."""
        return 5.0 + len(self.cautions) * LINE

    def needed(self, fit: Fit) -> float:
        """Return the height of everything above the cautions."""
        lower = max(sum(part.height() for part in parts) + STEP_GAP for parts in self.steps)
        bands = (
            self.head_height,
            self.field_height(fit),
            self.phones_height(fit),
            lower,
        )
        return sum(bands) + N_GAPS * fit.gap

    def field_height(self, fit: Fit) -> float:
        """Return the height of the band with the plan and with what to bring and to lay."""
        words = self.bring.height() + STEP_GAP + max(self.lay.height(), DETAIL_LEAST)
        return max(words, HEADING.size * HEAD_LEADING + fit.plan_height)

    def phones_height(self, fit: Fit) -> float:
        """Return the height of the band with both pictures."""
        return (
            max(part.height() for _, part in self.phones)
            + PICTURE_GAP
            + fit.picture_height
            + FIGURES_HEIGHT
        )

    def draw(self, canvas: Any, top: float, fit: Fit) -> None:
        """Draw everything above the cautions."""
        left, right = MARGIN_SIDE, MARGIN_SIDE + self.column + GUTTER
        draw_text(canvas, left, top - TITLE.size, self.words.title, TITLE)
        draw_text(canvas, left + self.width, top - TITLE.size, "deliverylab", QUIET, align="right")
        under, style = fitted(self.words.under, QUIET, self.width, 8.0)
        draw_text(canvas, left, top - self.head_height + 4.0, under, style)
        top -= self.head_height + fit.gap
        self._draw_field(canvas, left, right, top, fit)
        top -= self.field_height(fit) + fit.gap
        for (view, part), x in zip(self.phones, (left, right), strict=True):
            self._draw_phone(canvas, view, part, x, top, fit)
        top -= self.phones_height(fit)
        middle = left + 0.5 * self.width
        draw_text(canvas, middle, top + 1.0, FIGURES, QUIET_MARK, align="centre")
        top -= fit.gap
        for parts, x in zip(self.steps, (left, right), strict=True):
            y = top
            for part in parts:
                y = part.draw(canvas, x, y) - STEP_GAP

    def _draw_field(self, canvas: Any, left: float, right: float, top: float, fit: Fit) -> None:
        """Draw what to bring and to lay on the left, the plan on the right."""
        bottom = top - self.field_height(fit)
        y = self.bring.draw(canvas, left, top) - STEP_GAP
        detail = Cell(left, bottom, DETAIL_WIDTH, y - HEADING.size * HEAD_LEADING - bottom)
        self.lay.draw(canvas, left, y, hanging=DETAIL_WIDTH + DETAIL_GAP)
        draw_detail(canvas, self.layout, self.system, detail)
        plan_top = top - HEADING.size * HEAD_LEADING
        draw_text(canvas, right, top - HEADING.size, self.words.stand_title, HEADING)
        draw_plan(
            canvas, self.layout, self.system, Cell(right, bottom, self.column, plan_top - bottom)
        )

    def _draw_phone(
        self, canvas: Any, view: StoodView, part: Section, left: float, top: float, fit: Fit
    ) -> None:
        """Draw where a phone stands and, below, its picture in the column's middle."""
        part.draw(canvas, left, top)
        width = fit.picture_height * SIZE_PX[0] / SIZE_PX[1]
        bottom = top - self.phones_height(fit) + FIGURES_HEIGHT
        cell = Cell(left + 0.5 * (self.column - width), bottom, width, fit.picture_height)
        draw_picture(canvas, self.layout, view, cell)

    def draw_foot(self, canvas: Any, top: float) -> None:
        """Draw the cautions: always whole, always at the foot."""
        hairline(canvas, MARGIN_SIDE, top, MARGIN_SIDE + self.width)
        _draw_lines(canvas, MARGIN_SIDE, top - 5.0, self.cautions)


def chosen_fit(sheet: Sheet, available: float) -> Fit:
    """Return the most generous fit that the room allows, with what is left given to the gaps.

    Raises
    ------
    RuntimeError
        Not even the tightest fits: the words have grown beyond what the table of fits expects.
    """
    for fit in _FITS:
        spare = available - sheet.needed(fit)
        if spare >= 0.0:
            return fit._replace(gap=fit.gap + min(spare / N_GAPS, MOST_EXTRA_GAP))
    raise RuntimeError(f"the sheet needs {sheet.needed(_FITS[-1]):.0f} of {available:.0f} pt")


def field_sheet_pdf(
    field_size_key: str,
    hand: Hand,
    unit_system: UnitSystem,
    paper: Paper,
    side_distance_m: float = 6.0,
    rear_distance_m: float = 6.0,
) -> bytes:
    """Return the sheet as a PDF of one page: the same question gives the same bytes.

    Parameters
    ----------
    field_size_key : str
        Key of a field size, ``baseball``.
    hand : {"left", "right"}
        Throwing hand: the side phone stands on the open side.
    unit_system : {"metric", "imperial"}
        The reader's units.
    paper : {"a4", "letter"}
    side_distance_m, rear_distance_m : float, m
        Level distance of each phone from the middle of the stride, 5 to 15; the zoom follows.

    Raises
    ------
    NotFoundError
        No such field size.
    InputValueError
        No such hand or paper, or a phone too near or too far.
    """
    layout = field_layout(field_size_key, hand, side_distance_m, rear_distance_m)
    buffer = io.BytesIO()
    canvas = new_canvas(
        buffer,
        paper,
        title=f"Field set-up for two phones: {layout.field.name}, {hand}-hander",
        subject="where two phones and two cones stand so that a delivery can be measured in space",
    )
    page_width, page_height = PAPERS[paper]
    sheet = Sheet(layout, unit_system, page_width - 2.0 * MARGIN_SIDE)
    foot_top = MARGIN_BOTTOM + sheet.foot_height
    top = page_height - MARGIN_TOP
    sheet.draw(canvas, top, chosen_fit(sheet, top - foot_top))
    sheet.draw_foot(canvas, foot_top)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()
