"""What every printed page, and every part of one, keeps to."""

from __future__ import annotations

from deliverylab.core.report.blocks import Fit
from deliverylab.core.report.page import MARGIN_BOTTOM, MARGIN_SIDE, MARGIN_TOP, PAPERS

MOST_OVERLAP_PT = 0.2
"""Boxes reach round the letters' ink; on no page of these tests do two reach as far into each other."""
FIT = Fit(
    picture_height=90.0,
    n_rows=7,
    row_height=26.0,
    n_list_lines=5,
    chart_height=100.0,
    n_measured_lines=10,
    gap=15.0,
)
"""Room as a page of middling length has it."""
WIDTH = 507.0
"""Of the parts that are drawn, points: about that of a page between its margins."""


def assert_laid_out(boxes, paper):
    """Check that text keeps to the margins, and that nothing is written over something else."""
    width, height = PAPERS[paper]
    assert boxes
    for box in boxes:
        assert box.left >= MARGIN_SIDE - 0.5, box
        assert box.right <= width - MARGIN_SIDE + 0.5, box
        assert box.bottom >= MARGIN_BOTTOM - 0.5, box
        assert box.top <= height - MARGIN_TOP + 0.5, box
    assert_apart(boxes)


def assert_apart(boxes):
    """Check that nothing is written over something else."""
    for number, box in enumerate(boxes):
        for other in boxes[number + 1 :]:
            assert box.overlap(other) < MOST_OVERLAP_PT, (box, other)


def assert_part_laid_out(part, fit, canvas, text_boxes):
    """Draw a part of a page, and check that its text keeps to its height and width, and apart."""
    part.draw(canvas, 44.0, 700.0, fit)
    boxes = text_boxes(canvas.finish())
    assert min(box.bottom for box in boxes) >= 700.0 - part.height(fit) - 0.5
    assert max(box.right for box in boxes) <= 44.0 + WIDTH + 0.5
    assert_apart(boxes)
