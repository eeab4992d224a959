"""Rows of cells that flow over as many pages as needed, headings repeated on each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple, Protocol

from deliverylab.core.report.blocks import LEADING
from deliverylab.core.report.fonts import Style, draw_text, wrapped
from deliverylab.core.report.style import HEADING, hairline


class Piece(Protocol):
    """Something that stands on one page as a whole."""

    @property
    def height(self) -> float:
        """Height that `draw` takes, points."""

    def draw(self, canvas: Any, left: float, top: float) -> None:
        """Draw below `top`."""


class Cell(NamedTuple):
    """A text in a column: where it begins, how wide it may be, points."""

    left: float
    width: float
    text: str
    style: Style


@dataclass(frozen=True)
class Row:
    """Cells side by side, each wrapped into as many lines as it needs.

    Attributes
    ----------
    cells : tuple of Cell
    above : float
        Room above, points.
    """

    cells: tuple[Cell, ...]
    above: float = 1.5
    lines: tuple[tuple[str, ...], ...] = field(init=False)

    def __post_init__(self) -> None:
        """Wrap the cells once."""
        lines = tuple(wrapped(cell.text, cell.style, cell.width) for cell in self.cells)
        object.__setattr__(self, "lines", lines)

    @property
    def height(self) -> float:
        """Height of the tallest cell with the room above."""
        tallest = (
            len(lines) * cell.style.size * LEADING
            for cell, lines in zip(self.cells, self.lines, strict=True)
        )
        return self.above + max(tallest, default=0.0)

    def draw(self, canvas: Any, left: float, top: float) -> None:
        """Draw all cells; first lines share their baseline."""
        largest = max((cell.style.size for cell in self.cells), default=0.0)
        for cell, lines in zip(self.cells, self.lines, strict=True):
            y = top - self.above - largest
            for line in lines:
                draw_text(canvas, left + cell.left, y, line, cell.style)
                y -= cell.style.size * LEADING


@dataclass(frozen=True)
class Stack:
    """Rows that stay together, with a hairline above where one is wanted."""

    rows: tuple[Row, ...]
    width: float = 0.0
    below: float = 3.0

    @property
    def height(self) -> float:
        """Height of all rows and the room below."""
        return sum(row.height for row in self.rows) + self.below

    def draw(self, canvas: Any, left: float, top: float) -> None:
        """Draw the rows below one another."""
        if self.width:
            hairline(canvas, left, top, left + self.width)
        for row in self.rows:
            row.draw(canvas, left, top)
            top -= row.height


@dataclass(frozen=True)
class Section:
    """A heading, labels of its columns, and what stands under them.

    Attributes
    ----------
    title : str
    pieces : tuple of Piece
        In order; each stays whole.
    labels : Row or None
        Repeated on each page.
    """

    title: str
    pieces: tuple[Piece, ...]
    labels: Row | None = None


class Placed(NamedTuple):
    """A piece, and how far below the top of the page's body it begins, points."""

    piece: Piece
    top: float


def paginated(
    sections: Sequence[Section], width: float, first_room: float, room: float
) -> tuple[tuple[Placed, ...], ...]:
    """Distribute sections over pages: a heading never stands alone, a piece is never cut.

    Parameters
    ----------
    sections : sequence of Section
        Those without pieces are left out.
    width, first_room, room : float
        Width of each page's body, and height of the first's and of the others', points.

    Returns
    -------
    tuple of tuple of Placed
        One a page.
    """
    pages: list[list[Placed]] = [[]]
    top = 0.0
    for section in sections:
        title = section.title
        is_begun = False
        for piece in section.pieces:
            head = () if is_begun else _head(section, title, width, is_first=top == 0.0)
            needed = sum(each.height for each in head) + piece.height
            if top + needed > (room if len(pages) > 1 else first_room) and pages[-1]:
                pages.append([])
                top = 0.0
                name = f"{title}, continued" if is_begun else title
                head = _head(section, name, width, is_first=True)
            for each in (*head, piece):
                pages[-1].append(Placed(each, top))
                top += each.height
            is_begun = True
    return tuple(tuple(page) for page in pages)


def _head(section: Section, title: str, width: float, *, is_first: bool) -> tuple[Row, ...]:
    heading = Row((Cell(0.0, width, title, HEADING),), above=0.0 if is_first else 14.0)
    return (heading,) if section.labels is None else (heading, section.labels)
