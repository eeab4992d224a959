"""The plan on the page: what to work on, one thing below the other, on a pale panel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from deliverylab.core.report.blocks import LEADING, Fit, draw_lines
from deliverylab.core.report.content import PageContent
from deliverylab.core.report.fonts import draw_text, fitted, wrapped
from deliverylab.core.report.page_plan import PlanItem
from deliverylab.core.report.style import (
    BODY,
    HEADING,
    INK,
    PANEL,
    PAPER,
    SMALL_INK,
)

CUE = BODY._replace(size=9.0, weight="bold")
NUMBER = BODY._replace(size=8.6, weight="bold", colour=PAPER)
DRILL = SMALL_INK._replace(weight="bold")
IN_FULL = "In full on the technical sheet."
MOST_AIM_LINES = 2


@dataclass(frozen=True)
class _Laid:
    """One thing to work on in lines."""

    cue: tuple[str, ...]
    aim: tuple[str, ...]
    drill: tuple[str, ...]
    how: tuple[str, ...]
    caution: tuple[str, ...]
    is_cut: bool

    @property
    def height(self) -> float:
        """Height of the taller column, points."""
        left = len(self.cue) * CUE.size * 1.25 + len(self.aim) * SMALL_INK.size * LEADING
        n_right = len(self.drill) + len(self.how) + len(self.caution)
        return max(left, n_right * SMALL_INK.size * LEADING)


class PlanPanel:
    """What to work on until the next look."""

    PADDING, INDENT, SPACING, COLUMN_GAP = 11.0, 25.0, 7.0, 16.0
    TITLE_HEIGHT = 19.0
    LEFT_SHARE = 0.46

    def __init__(self, content: PageContent, width: float) -> None:
        self.plan = content.plan
        self.width = width
        self.room = width - 2.0 * self.PADDING

    def _laid(self, item: PlanItem, fit: Fit) -> _Laid:
        n_most = fit.n_plan_lines
        room = self.room - self.INDENT
        has_right = bool(item.drill or item.how or item.caution)
        left = self.LEFT_SHARE * room if has_right else room
        right = room - left - self.COLUMN_GAP
        wanted = wrapped(item.cue, CUE, left), wrapped(item.aim, SMALL_INK, left)
        cue = wrapped(item.cue, CUE, left, 1 if n_most < 2 else 2 if n_most < 5 else n_most - 2)
        aim = wrapped(item.aim, SMALL_INK, left, 1 if n_most < 2 else MOST_AIM_LINES)
        if not has_right:
            return _Laid(cue, aim, (), (), (), is_cut=(cue, aim) != wanted)
        name = f"Drill: {item.drill}" if item.drill else ""
        every = [wrapped(t, s, right) for t, s in ((name, DRILL), (item.how, SMALL_INK))]
        caution = f"Mind: {item.caution}" if item.caution else ""
        every.append(wrapped(caution, SMALL_INK, right))
        # what to mind comes before how it is done: that can be shown, this must be known
        drill = wrapped(name, DRILL, right, 1 if n_most < 5 else 2)
        mind = wrapped(caution, SMALL_INK, right, max(1, n_most - len(drill)))
        how = wrapped(item.how, SMALL_INK, right, n_most - len(drill) - len(mind))
        is_cut = (cue, aim, drill, how, mind) != (*wanted, *every)
        return _Laid(cue, aim, drill, how, mind, is_cut=is_cut)

    def _lines_below(self, laid: list[_Laid], fit: Fit) -> tuple[str, ...]:
        """Return the cautions, the note, and where the rest of what was cut stands."""
        if self.plan is None:
            return ()
        n_most = 1 if fit.n_plan_lines < 2 else 2
        note = wrapped(self.plan.note, SMALL_INK, self.room, n_most)
        is_cut = note != wrapped(self.plan.note, SMALL_INK, self.room)
        lines = (*wrapped(" ".join(self.plan.cautions), SMALL_INK, self.room), *note)
        if not (is_cut or any(item.is_cut for item in laid)):
            return lines
        return (*lines, IN_FULL)

    def height(self, fit: Fit) -> float:
        """Return the height of the panel; 0 without a plan."""
        if self.plan is None:
            return 0.0
        laid = [self._laid(item, fit) for item in self.plan.items]
        items = sum(item.height + self.SPACING for item in laid)
        below = len(self._lines_below(laid, fit)) * SMALL_INK.size * LEADING
        return 2.0 * self.PADDING + self.TITLE_HEIGHT - 3.0 + items + below - 3.0

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw the panel, its title, and one thing below the other."""
        if self.plan is None:
            return
        height = self.height(fit)
        canvas.setFillColor(PANEL)
        canvas.roundRect(left, top - height, self.width, height, 5.0, stroke=0, fill=1)
        left += self.PADDING
        top -= self.PADDING - 1.0
        title, style = fitted(self.plan.title, HEADING, self.room, 8.0)
        draw_text(canvas, left, top - HEADING.size + 1.0, title, style)
        top -= self.TITLE_HEIGHT
        laid = [self._laid(item, fit) for item in self.plan.items]
        for number, item in enumerate(laid, start=1):
            _draw_number(canvas, left + 8.0, top - 6.2, number)
            self._draw_item(canvas, left + self.INDENT, top, item)
            top -= item.height + self.SPACING
        draw_lines(canvas, left, top, self._lines_below(laid, fit), SMALL_INK)

    def _draw_item(self, canvas: Any, left: float, top: float, item: _Laid) -> None:
        y = top
        for text in item.cue:
            draw_text(canvas, left, y - CUE.size, text, CUE)
            y -= CUE.size * 1.25
        draw_lines(canvas, left, y - 0.5, item.aim, SMALL_INK)
        room = self.room - self.INDENT
        right = left + self.LEFT_SHARE * room + self.COLUMN_GAP
        y = draw_lines(canvas, right, top - 1.0, item.drill, DRILL)
        y = draw_lines(canvas, right, y, item.how, SMALL_INK)
        draw_lines(canvas, right, y, item.caution, SMALL_INK)


def _draw_number(canvas: Any, x: float, y: float, number: int) -> None:
    canvas.setFillColor(INK)
    canvas.circle(x, y, 7.6, stroke=0, fill=1)
    draw_text(canvas, x, y - 3.1, str(number), NUMBER, align="centre")
