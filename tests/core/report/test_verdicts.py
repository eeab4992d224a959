from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.compare.parties import one_party
from deliverylab.core.report.blocks import Fit
from deliverylab.core.report.content import compose
from deliverylab.core.report.fonts import text_width
from deliverylab.core.report.raster import render_png
from deliverylab.core.report.style import SMALL_INK
from deliverylab.core.report.verdicts import (
    alike_list,
    draw_verdict_shape,
    shortened,
    withheld_list,
)

FIT = Fit(
    picture_height=90.0,
    n_rows=7,
    row_height=26.0,
    n_list_lines=9,
    chart_height=100.0,
    n_measured_lines=10,
    gap=15.0,
)


@pytest.fixture
def content(athlete, model, make_differences):
    def build(n_alike, n_hidden):
        return compose(one_party(athlete), one_party(model), make_differences(4, n_alike, n_hidden))

    return build


def test_names_are_counted_where_they_are_many():
    assert shortened(("a", "b", "c"), 3) == "a, b and c"
    assert shortened(("a", "b", "c"), 2) == "a, b and c"  # "1 more" would save nothing
    assert shortened(("a", "b", "c", "d"), 2) == "a, b and 2 more"


@pytest.mark.parametrize("n_lines", [2, 3, 5, 9])
@pytest.mark.parametrize("n", [1, 5, 25])
def test_lists_keep_to_their_lines_and_width(content, n, n_lines):
    fit = replace(FIT, n_list_lines=n_lines)
    for part in (alike_list(content(n, n), 240.0), withheld_list(content(n, n), 240.0)):
        lines = part.lines(fit)
        assert 1 <= len(lines) <= n_lines
        assert all(text_width(line, SMALL_INK) <= 240.0 - part.INDENT + 0.01 for line in lines)


def test_where_there_is_room_everything_is_said(content):
    page = content(3, 6)
    said = " ".join(withheld_list(page, 240.0).lines(replace(FIT, n_list_lines=40)))
    for group in page.withheld:
        assert all(topic in said.lower() for topic in group.topics)
        assert group.remedy in said


def test_what_is_left_out_is_counted(content):
    said = " ".join(withheld_list(content(3, 25), 240.0).lines(replace(FIT, n_list_lines=3)))
    assert "more reason" in said


def test_an_empty_list_takes_no_room(content):
    assert alike_list(content(0, 1), 240.0).height(FIT) == 0.0
    assert withheld_list(content(1, 0), 240.0).height(FIT) == 0.0


def test_lists_stay_within_their_height(content, canvas, text_boxes):
    part = withheld_list(content(3, 25), 240.0)
    part.draw(canvas, 100.0, 700.0, FIT)
    boxes = text_boxes(canvas.finish())
    assert min(box.bottom for box in boxes) >= 700.0 - part.height(FIT)
    assert max(box.right for box in boxes) <= 340.0


def test_verdicts_differ_by_shape(canvas):
    for number, verdict in enumerate(("clear", "within_error", "not_comparable")):
        draw_verdict_shape(canvas, verdict, 50.0 + 50.0 * number, 800.0)
    picture = render_png(canvas.finish(), dpi=720.0)[..., 0]

    def darkness(x, dx, dy):
        patch = picture[420 - dy - 2 : 420 - dy + 2, (x * 10) + dx - 2 : (x * 10) + dx + 2]
        return 255.0 - float(patch.mean())

    # centre, and straight above: filled has both, open only the rim, a dash only the centre
    assert darkness(50, 0, 0) > 150
    assert darkness(50, 0, 18) > 150
    assert darkness(100, 0, 0) < 20
    assert darkness(100, 0, 21) > 80
    assert darkness(150, 0, 0) > 80
    assert darkness(150, 0, 18) < 20
