from __future__ import annotations

from PySide6.QtGui import QImage, QPainter

from deliverylab.shell.drawing.handles import Handle, paint_handles
from deliverylab.shell.drawing.view_transform import ViewTransform

BLACK = 0xFF000000


def test_a_handle_is_a_ring_whose_middle_stays_free_and_its_line_is_drawn():
    view = ViewTransform(320.0, 240.0, 320.0, 240.0, 1.0, 159.5, 119.5)
    image = QImage(320, 240, QImage.Format.Format_RGB32)
    image.fill(BLACK)
    painter = QPainter(image)
    handles = (
        Handle(key="a", name="one", x_px=60.0, y_px=100.0, joined_to="b"),
        Handle(key="rubber", name="rubber", x_px=200.0, y_px=50.0),
    )
    paint_handles(
        painter, (*handles, Handle(key="b", name="two", x_px=160.0, y_px=100.0)), view, ""
    )
    painter.end()
    assert image.pixel(200, 50) == BLACK
    ring = [image.pixel(x, 50) for x in range(190, 211)]
    assert any(pixel != BLACK for pixel in ring)
    assert image.pixel(110, 100) != BLACK
