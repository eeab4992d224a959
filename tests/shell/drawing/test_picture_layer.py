"""Pictures land where landmarks are drawn: pixel centres at integer coordinates."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter

from deliverylab.shell.drawing.picture_layer import PictureLayer, paint_bare_stage
from deliverylab.shell.drawing.view_transform import ViewTransform

pytestmark = pytest.mark.usefixtures("qapp")
RED, GREY = (220, 30, 20), (90, 90, 90)


def one_red_pixel(x: int, y: int, size=(64, 48)) -> np.ndarray:
    picture = np.full((size[1], size[0], 3), GREY, dtype=np.uint8)
    picture[y, x] = RED
    return picture


def canvas(width=640, height=480) -> QImage:
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(0)
    return image


def painted(layer: PictureLayer, view: ViewTransform) -> QImage:
    image = canvas(round(view.width), round(view.height))
    painter = QPainter(image)
    layer.paint(painter, view)
    painter.end()
    return image


def colour_at(image: QImage, point: QPointF) -> tuple[int, int, int]:
    colour = image.pixelColor(int(point.x()), int(point.y()))
    return colour.red(), colour.green(), colour.blue()


def view_of(zoom: float, *, is_mirrored=False) -> ViewTransform:
    return ViewTransform(
        frame_width=64,
        frame_height=48,
        width=640.0,
        height=480.0,
        zoom=zoom,
        centre_x=30.0,
        centre_y=20.0,
        is_mirrored=is_mirrored,
    )


@pytest.mark.parametrize("is_mirrored", [False, True])
@pytest.mark.parametrize("zoom", [5.3, 8.0, 12.7])
def test_a_pixel_is_painted_about_its_integer_place(zoom, is_mirrored):
    layer = PictureLayer()
    layer.set_picture(one_red_pixel(33, 17), (64, 48))
    view = view_of(zoom, is_mirrored=is_mirrored)
    image = painted(layer, view)
    for dx, dy in ((0.0, 0.0), (-0.4, -0.4), (0.4, 0.4), (-0.4, 0.4)):
        assert colour_at(image, view.to_widget(33 + dx, 17 + dy)) == RED
    for dx, dy in ((-0.7, 0.0), (0.7, 0.0), (0.0, 0.7), (0.0, -0.7)):
        assert colour_at(image, view.to_widget(33 + dx, 17 + dy)) == GREY


def test_a_smaller_copy_fills_the_same_rectangle():
    layer = PictureLayer()
    layer.set_picture(one_red_pixel(10, 6, size=(32, 24)), (64, 48))
    view = view_of(8.0)
    image = painted(layer, view)
    # pixel 10 of the half copy covers pixels 20 and 21 of the frame
    assert colour_at(image, view.to_widget(20.5, 12.5)) == RED
    assert colour_at(image, view.to_widget(17.5, 12.5)) == GREY


def test_the_picture_is_copied_so_that_its_memory_may_change():
    picture = one_red_pixel(33, 17)
    layer = PictureLayer()
    layer.set_picture(picture, (64, 48))
    picture[:] = 0
    view = view_of(8.0)
    assert colour_at(painted(layer, view), view.to_widget(33, 17)) == RED


def test_another_view_is_drawn_anew_and_the_same_one_is_kept():
    layer = PictureLayer()
    layer.set_picture(one_red_pixel(33, 17), (64, 48))
    first = painted(layer, view_of(8.0))
    kept = layer._scaled.cacheKey()
    assert painted(layer, view_of(8.0)) == first
    assert layer._scaled.cacheKey() == kept
    assert painted(layer, view_of(9.0)) != first


@pytest.mark.parametrize("is_mirrored", [False, True])
@pytest.mark.parametrize("at", [(33.0, 17.0), (33.4, 16.6), (0.0, 0.0)])
def test_the_loupe_has_its_place_in_the_middle(at, is_mirrored):
    layer = PictureLayer()
    layer.set_picture(one_red_pixel(round(at[0]), round(at[1])), (64, 48))
    image = canvas()
    painter = QPainter(image)
    layer.paint_patch(
        painter,
        centre=QPointF(200.0, 150.0),
        radius=60.0,
        at=at,
        magnification=9.0,
        is_mirrored=is_mirrored,
    )
    painter.end()
    assert colour_at(image, QPointF(200.0, 150.0)) == RED
    # one px of the frame is nine of the screen
    assert colour_at(image, QPointF(200.0 + 9.5, 150.0)) != RED
    assert colour_at(image, QPointF(150.0, 95.0)) == (0, 0, 0), "nothing outside of the disc"


def test_without_a_picture_a_stage_with_its_ground_is_painted():
    view = view_of(8.0)
    image = canvas()
    painter = QPainter(image)
    paint_bare_stage(painter, view, 30.0)
    painter.end()
    above, below = view.to_widget(20.3, 28.0), view.to_widget(20.3, 32.0)
    assert colour_at(image, above) != colour_at(image, below)
    assert colour_at(image, above) != (0, 0, 0)
