from __future__ import annotations

import pytest
from PySide6.QtGui import QImage, QPainter

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.guess_mark import RADIUS, REACH, GuessMark, paint_guess
from deliverylab.shell.drawing.skeleton import SkeletonLook, StagePoint, paint_skeleton
from deliverylab.shell.drawing.view_transform import ViewTransform

BLACK = 0xFF000000
VIEW = ViewTransform(320.0, 240.0, 320.0, 240.0, 1.0, 159.5, 119.5)


def _image(paint):
    image = QImage(320, 240, QImage.Format.Format_RGB32)
    image.fill(BLACK)
    painter = QPainter(image)
    paint(painter)
    painter.end()
    return image


@pytest.mark.parametrize("is_held", [False, True])
def test_the_joint_under_a_guess_stays_seen(qapp, is_held):
    mark = GuessMark(x_px=100.0, y_px=80.0, is_held=is_held)
    image = _image(lambda painter: paint_guess(painter, mark, VIEW, "throwing"))
    inside = [image.pixel(100 + dx, 80 + dy) for dx in range(-4, 5) for dy in range(-4, 5)]
    assert set(inside) == {BLACK}
    row = [image.pixel(x, 80) for x in range(88, 113)]
    assert set(row) != {BLACK}
    # strokes outside the ring only where keys move it
    stroke = image.pixel(100 + round(sum(REACH) / 2), 80)
    assert (stroke == palette.THROWING.rgb()) == is_held


def test_it_looks_unlike_a_placed_point(qapp):
    mark = GuessMark(x_px=100.0, y_px=80.0)
    guess = _image(lambda painter: paint_guess(painter, mark, VIEW, "throwing"))
    points = {"right_knee": StagePoint(100.0, 80.0)}
    placed = _image(lambda painter: paint_skeleton(painter, points, VIEW, "right", SkeletonLook()))
    assert placed.pixel(100, 80) != BLACK
    assert guess.pixel(100, 80) == BLACK
    assert placed.pixel(100 + round(RADIUS), 80) == BLACK
