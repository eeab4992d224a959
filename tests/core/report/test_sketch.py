from __future__ import annotations

import cv2
import numpy as np
import pytest

from deliverylab.core.report.figures import Bone, Box, Figure, Joint
from deliverylab.core.report.raster import render_png
from deliverylab.core.report.sketch import Cell, draw_figure, draw_marker, jpeg
from deliverylab.core.report.style import AMBER, INK, LILAC, PANEL, PAPER, TEAL, contrast

CELL = Cell(100.0, 400.0, 200.0, 100.0)
WINDOW = Box(-0.5, -0.5, 199.5, 99.5)


def _figure(picture):
    return Figure(
        picture=picture,
        width_px=200,
        height_px=100,
        bones=(Bone("throwing", 20, 50, 90, 50), Bone("glove", 110, 50, 180, 50)),
        joints=(Joint("throwing", 20, 50), Joint("glove", 180, 50)),
    )


def _drawn(canvas, picture, *, is_model=False, window=WINDOW):
    draw_figure(canvas, _figure(picture), window, CELL, is_model=is_model)
    # 72 dots an inch times 4: one frame pixel is 4 dots
    whole = render_png(canvas.finish(), dpi=288.0)
    top, left = round((842.0 - 500.0) * 4), 400
    return whole[top : top + 400, left : left + 800].astype(int)


def _near(colour, rgb):
    wanted = np.array([colour.red, colour.green, colour.blue]) * 255.0
    return float(np.abs(np.asarray(rgb) - wanted).max())


def test_a_jpeg_keeps_colour_order():
    red = np.zeros((16, 16, 3), dtype=np.uint8)
    red[..., 0] = 255
    back = cv2.imdecode(np.frombuffer(jpeg(red), np.uint8), cv2.IMREAD_COLOR)
    assert back[8, 8, 2] > 240
    assert back[8, 8, 0] < 20


def test_bare_skeletons_stand_on_a_panel(canvas):
    shown = _drawn(canvas, None)
    assert _near(PANEL, shown[40, 400]) < 3
    assert _near(AMBER, shown[202, 200]) < 8
    assert _near(TEAL, shown[202, 600]) < 8


@pytest.mark.parametrize("level", [0, 128, 255])
def test_lines_have_a_rim_that_stands_out_on_any_picture(canvas, level):
    shown = _drawn(canvas, np.full((100, 200, 3), level, dtype=np.uint8))
    assert _near(AMBER, shown[202, 200]) < 8
    column = shown[170:235, 200].mean(axis=1)
    # light next to the line, whatever lies behind
    assert column.max() > 225
    if level == 255:
        # and darker outside, so that the light rim has an edge
        assert column.min() < 190


def test_the_model_delivery_is_dashed_and_lilac(canvas):
    shown = _drawn(canvas, None, is_model=True)
    line = [_near(LILAC, rgb) < 40 for rgb in shown[202, 110:330]]
    assert 0.4 < np.mean(line) < 0.8
    changes = np.abs(np.diff(np.array(line, dtype=int))).sum()
    assert changes > 8


def test_the_window_places_frame_pixels_where_points_are(canvas):
    picture = np.zeros((100, 200, 3), dtype=np.uint8)
    picture[20:31, 60:71] = 255
    draw_figure(
        canvas,
        Figure(picture=picture, width_px=200, height_px=100),
        Box(49.5, 9.5, 149.5, 59.5),
        CELL,
        is_model=False,
    )
    whole = render_png(canvas.finish(), dpi=72.0)
    # centre of the patch, (65, 25), is 15.5 px right and 15.5 px below the window's corner, 2 pt each
    x, y = 100 + 31, 842 - 500 + 31
    assert whole[y, x].min() > 240  # JPEG is not exact
    assert whole[y, x + 30].max() < 10


def test_a_frame_smaller_than_the_window_leaves_the_panel(canvas):
    shown = _drawn(
        canvas, np.zeros((100, 200, 3), dtype=np.uint8), window=Box(-100.5, -50.5, 299.5, 149.5)
    )
    assert _near(PANEL, shown[30, 30]) < 4
    assert shown[150, 400].max() < 10


def test_an_absent_figure_is_an_empty_panel(canvas):
    draw_figure(canvas, None, WINDOW, CELL, is_model=False)
    whole = render_png(canvas.finish(), dpi=72.0)
    assert _near(PANEL, whole[842 - 450, 200]) < 3


def test_sides_differ_by_shape(canvas):
    draw_marker(canvas, "throwing", 50.0, 800.0, is_model=False, size=10.0)
    draw_marker(canvas, "glove", 100.0, 800.0, is_model=False, size=10.0)
    whole = render_png(canvas.finish(), dpi=72.0)
    assert _near(AMBER, whole[842 - 810, 59]) < 90  # a square's corner
    assert whole[842 - 810, 110].tolist() == [255, 255, 255]  # a circle has none
    assert contrast(INK, PAPER) > 4.5
