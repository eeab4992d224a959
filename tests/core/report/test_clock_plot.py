from __future__ import annotations

import math

import pypdfium2
import pytest

from deliverylab.core.errors import OutputError
from deliverylab.core.report.clock_plot import ClockDrawing, write_clock_plot
from deliverylab.core.report.raster import page_sizes_mm, render_png

DRAWING = ClockDrawing(
    delivery="Ana 1",
    camera="rear",
    first="side",
    curve=(*((0.004 * row, 1.0 + abs(row - 20.0)) for row in range(-30, 71)), (0.288, math.nan)),
    offsets=(("by the solve", 0.0795, 0.0003), ("by event marks", 0.5, 0.01)),
)


def test_each_clock_has_a_page_that_says_what_was_found(tmp_path):
    path = write_clock_plot((DRAWING, DRAWING), tmp_path / "a.pdf")
    assert len(page_sizes_mm(path)) == 2
    document = pypdfium2.PdfDocument(path)
    try:
        text = document[0].get_textpage().get_text_bounded()
    finally:
        document.close()
    assert "Clock of rear against side" in text
    assert "by the solve: 79.50 ± 0.30 ms" in text
    # an offset that lies off the curve is told, not drawn
    assert "by event marks: 500.00 ± 10.00 ms" in text
    picture = render_png(path, 0, 72)
    # the curve itself is the darkest thing in the plot
    assert picture[70:200, 60:430].min() < 90


def test_a_folder_that_is_not_there_is_said(tmp_path):
    with pytest.raises(OutputError):
        write_clock_plot((DRAWING,), tmp_path / "no" / "a.pdf")
