from __future__ import annotations

import pytest

from deliverylab.core.compare.chain_layout import ChainLayout, PlacedNode
from deliverylab.core.report.chain_arrows import LANE, Grid, draw_arrows, lanes
from deliverylab.core.report.raster import render_png

GRID = Grid(box_width=80.0, box_height=30.0, gutter=20.0, row_gap=10.0)


def laid(places, edges):
    nodes = tuple(PlacedNode(None, column, row, is_start=False) for column, row in places)
    return ChainLayout(("leg lift", "stride", "release"), nodes, edges)


def test_an_arrow_passes_a_column_in_its_own_row_where_that_is_free():
    layout = laid([(0, 0), (1, 1), (2, 0)], ((0, 2),))
    assert lanes(layout, GRID) == {(0, 2): GRID.middle(0)}


def test_else_it_passes_between_the_rows():
    layout = laid([(0, 0), (1, 0), (1, 1), (2, 1)], ((0, 3),))
    assert lanes(layout, GRID) == {(0, 3): 35.0}  # box 30, half of the gap 5
    assert GRID.height(layout) == 70.0


def test_below_the_last_row_it_gets_room():
    layout = laid([(0, 0), (1, 0), (2, 0)], ((0, 2),))
    assert lanes(layout, GRID)[0, 2] == 35.0
    assert GRID.height(layout) == 35.0 + LANE


def test_arrows_of_several_starts_keep_apart_in_one_gap():
    layout = laid([(0, 0), (0, 1), (1, 0), (1, 1), (2, 0), (2, 1)], ((0, 5), (0, 4), (1, 4)))
    found = lanes(layout, GRID)
    assert found[0, 5] == found[0, 4]
    assert abs(found[0, 4] - found[1, 4]) == pytest.approx(LANE)


def test_neighbours_need_no_lane_also_backwards():
    assert lanes(laid([(0, 0), (1, 1)], ((0, 1), (1, 0))), GRID) == {}


@pytest.mark.parametrize(
    ("places", "edge", "spot"),
    [
        ([(0, 0), (1, 0)], (0, 1), (90.0, 15.0)),  # in the gutter, in the middle of the row
        ([(0, 0), (1, 0)], (1, 0), (90.0, 15.0)),
        ([(0, 0), (0, 1)], (0, 1), (40.0, 35.0)),  # down between two rows
        ([(0, 0), (1, 0), (2, 0)], (0, 2), (140.0, 35.0)),  # below the box in between
        (
            [(1, 0), (1, 1), (1, 2)],
            (0, 2),
            (92.0, 55.0),
        ),  # round the box, in the gutter on its left
        ([(0, 0), (0, 1), (0, 2)], (0, 2), (88.0, 55.0)),  # the first column has one on its right
    ],
)
def test_arrows_run_where_there_is_no_box(canvas, places, edge, spot):
    draw_arrows(canvas, laid(places, (edge,)), GRID, 100.0, 700.0)
    picture = render_png(canvas.finish(), dpi=72.0)
    x, y = round(100.0 + spot[0]), round(842.0 - 700.0 + spot[1])
    assert picture[y - 3 : y + 4, x - 3 : x + 4].min() < 200
    taken = {(column, row) for column, row in places}
    for column, row in taken:
        left, top = 100.0 + GRID.left(column) + 2.0, 142.0 + GRID.top(row) + 2.0
        inside = picture[round(top) : round(top + 26.0), round(left) : round(left + 76.0)]
        assert inside.min() > 240
