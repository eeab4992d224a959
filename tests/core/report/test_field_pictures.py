from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.report.field_layout import SIZE_PX, field_layout
from deliverylab.core.report.field_pictures import draw_picture, on_paper
from deliverylab.core.report.raster import render_png
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import AMBER
from deliverylab.core.vocabulary.field import FIELDS

HEIGHT = 110.0
CELL = Cell(80.0, 400.0, HEIGHT * SIZE_PX[0] / SIZE_PX[1], HEIGHT)


def test_the_picture_fills_its_cell():
    camera = field_layout("baseball", "right").camera("rear")
    edges = np.array([[-0.5, -0.5], [SIZE_PX[0] - 0.5, SIZE_PX[1] - 0.5]])
    (left, top), (right, bottom) = on_paper(camera, CELL, edges)
    assert (left, top) == pytest.approx((CELL.left, CELL.bottom + CELL.height))
    assert (right, bottom) == pytest.approx((CELL.left + CELL.width, CELL.bottom))


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("view", ["open-side", "rear"])
def test_cones_are_drawn_where_the_camera_sees_them(canvas, hand, view):
    layout = field_layout("baseball", hand)
    draw_picture(canvas, layout, view, CELL)
    picture = render_png(canvas.finish(), dpi=288.0).astype(int)
    amber = np.array([round(255 * part) for part in (AMBER.red, AMBER.green, AMBER.blue)])
    camera = layout.camera(view)
    for cone in layout.cones:
        body = np.add(cone.place_m, (0.0, 0.0, 0.05))
        x, y = on_paper(camera, CELL, camera.project(body))
        column, row = round(4.0 * x), round(4.0 * (842.0 - y))
        assert np.abs(picture[row, column] - amber).max() < 12, (cone.key, picture[row, column])


@pytest.mark.parametrize("size", FIELDS, ids=lambda size: size.key)
@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("view", ["open-side", "rear"])
@pytest.mark.parametrize("distance_m", [5.0, 6.0, 11.0, 15.0])
def test_names_stand_clear(canvas, text_boxes, size, hand, view, distance_m):
    draw_picture(canvas, field_layout(size.key, hand, distance_m, distance_m), view, CELL)
    boxes = text_boxes(canvas.finish())
    assert sorted(box.text.strip() for box in boxes) == ["cones", "middle half", "rubber"]
    for number, box in enumerate(boxes):
        assert box.left >= CELL.left, box
        assert box.right <= CELL.left + CELL.width, box
        assert box.bottom >= CELL.bottom, box
        for other in boxes[number + 1 :]:
            assert box.overlap(other) < 0.6, (box, other)
