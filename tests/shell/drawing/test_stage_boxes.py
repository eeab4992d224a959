from __future__ import annotations

from PySide6.QtGui import QImage, QPainter

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.stage_boxes import StageBox, box_between, paint_boxes
from deliverylab.shell.drawing.view_transform import ViewTransform


def test_a_box_is_the_same_from_any_two_corners():
    assert box_between((30, 40), (10, 90)) == box_between((10, 90), (30, 40))
    box = box_between((30, 40), (10, 90))
    assert box[:4] == (10, 40, 30, 90)
    assert box.contains(20, 90)
    assert not box.contains(31, 50)
    assert box.size_px == 50


def test_outlines_and_words_are_painted(qapp):
    image = QImage(640, 360, QImage.Format.Format_ARGB32)
    image.fill(0)
    view = ViewTransform(frame_width=640, frame_height=360).resized(640, 360, None).fitted()
    painter = QPainter(image)
    paint_boxes(painter, [StageBox(100, 100, 300, 300, "1", is_chosen=True)], view)
    painter.end()
    edge = view.to_widget(300, 200)
    assert image.pixelColor(edge.toPoint()).getRgb()[:3] == palette.PICKED.getRgb()[:3]
    outside = view.to_widget(500, 200)
    assert image.pixelColor(outside.toPoint()).alpha() == 0
