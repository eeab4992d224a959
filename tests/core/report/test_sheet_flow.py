from __future__ import annotations

import pytest

from deliverylab.core.report.sheet_flow import Cell, Row, Section, Stack, paginated
from deliverylab.core.report.style import SMALL_INK


def row(text, width=200.0):
    return Row((Cell(0.0, width, text, SMALL_INK),))


def texts(page):
    return [cell.text for placed in page for cell in getattr(placed.piece, "cells", ())]


def test_a_row_is_as_high_as_its_tallest_cell(canvas, text_boxes):
    cells = (
        Cell(0.0, 80.0, "one two three four five six", SMALL_INK),
        Cell(100.0, 80.0, "one", SMALL_INK),
    )
    made = Row(cells)
    assert len(made.lines[0]) == 2
    assert made.height > row("one").height
    made.draw(canvas, 50.0, 700.0)
    boxes = text_boxes(canvas.finish())
    assert min(box.bottom for box in boxes) >= 700.0 - made.height - 0.5
    assert max(box.right for box in boxes if box.left < 150.0) <= 130.5


def test_rows_of_a_stack_stand_below_one_another(canvas, text_boxes):
    stack = Stack((row("above"), row("below")), 200.0)
    stack.draw(canvas, 50.0, 700.0)
    first, second = sorted(text_boxes(canvas.finish()), key=lambda box: -box.top)
    assert "above" in first.text
    assert first.bottom >= second.top
    assert second.bottom >= 700.0 - stack.height


def test_pages_fill_and_headings_come_again():
    labels = row("label")
    section = Section("Numbers", tuple(row(f"{n}") for n in range(40)), labels)
    pages = paginated([section, Section("Empty", ())], 200.0, 150.0, 200.0)
    assert len(pages) > 2
    assert texts(pages[0])[:3] == ["Numbers", "label", "0"]
    assert all(texts(page)[:2] == ["Numbers, continued", "label"] for page in pages[1:])
    told = [text for page in pages for text in texts(page) if text.isdigit()]
    assert told == [f"{n}" for n in range(40)]
    for number, page in enumerate(pages):
        last = page[-1]
        assert last.top + last.piece.height <= (200.0 if number else 150.0)


def test_a_heading_never_stands_alone_at_the_foot():
    first = Section("First", tuple(row(f"{n}") for n in range(5)))
    second = Section("Second", (Stack(tuple(row("x") for _ in range(6))),))
    room = sum(piece.height for piece in first.pieces) + 55.0
    pages = paginated([first, second], 200.0, room, room)
    assert "Second" not in texts(pages[0])
    assert texts(pages[1])[0] == "Second"


def test_what_is_higher_than_a_page_still_comes_once():
    tall = Stack(tuple(row("x") for _ in range(60)))
    pages = paginated([Section("Tall", (row("a"), tall, row("b")))], 200.0, 100.0, 100.0)
    assert [placed.piece for page in pages for placed in page].count(tall) == 1


@pytest.mark.parametrize("n", [0, 1])
def test_without_sections_there_is_one_empty_page(n):
    assert paginated([Section("Empty", ())] * n, 200.0, 100.0, 100.0) == ((),)
