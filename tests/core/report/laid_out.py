"""What every printed page keeps to."""

from __future__ import annotations

from deliverylab.core.report.page import MARGIN_BOTTOM, MARGIN_SIDE, MARGIN_TOP, PAPERS

MOST_OVERLAP_PT = 0.2
"""Boxes reach round the letters' ink; on no page of these tests do two reach as far into each other."""


def assert_laid_out(boxes, paper):
    """Check that text keeps to the margins, and that nothing is written over something else."""
    width, height = PAPERS[paper]
    assert boxes
    for number, box in enumerate(boxes):
        assert box.left >= MARGIN_SIDE - 0.5, box
        assert box.right <= width - MARGIN_SIDE + 0.5, box
        assert box.bottom >= MARGIN_BOTTOM - 0.5, box
        assert box.top <= height - MARGIN_TOP + 0.5, box
        for other in boxes[number + 1 :]:
            assert box.overlap(other) < MOST_OVERLAP_PT, (box, other)
