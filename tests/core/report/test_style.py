from __future__ import annotations

import pytest
from reportlab.lib.colors import black, white

from deliverylab.core.report.style import (
    AMBER,
    GREY,
    INK,
    LILAC,
    PANEL,
    PAPER,
    TEAL,
    contrast,
    hairline,
)


def test_contrast_has_the_ends_that_wcag_gives():
    assert contrast(black, white) == pytest.approx(21.0)
    assert contrast(white, white) == pytest.approx(1.0)


@pytest.mark.parametrize("colour", [INK, GREY])
def test_text_can_be_read(colour):
    # WCAG 2 level AA for small text: 4.5 to 1
    assert contrast(colour, PAPER) >= 4.5
    assert contrast(colour, PANEL) >= 4.5


@pytest.mark.parametrize("colour", [AMBER, TEAL, LILAC])
def test_lines_can_be_seen_on_paper_and_panel(colour):
    # WCAG 2 for graphics: 3 to 1
    assert contrast(colour, PAPER) >= 3.0
    assert contrast(colour, PANEL) >= 3.0


def test_a_hairline_is_drawn_solid(canvas):
    canvas.setDash(3, 2)
    hairline(canvas, 10.0, 20.0, 30.0)
    drawn = "\n".join(canvas._code)
    assert "[] 0 d" in drawn
    assert "10 20 m 30 20 l" in drawn
