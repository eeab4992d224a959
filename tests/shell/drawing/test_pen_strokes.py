"""Strokes of drawings by hand, as they are painted."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QImage, QPainter

from deliverylab.core.model.walkthrough import Drawing
from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.pen_strokes import PenStroke, paint_drawings
from deliverylab.shell.drawing.view_transform import ViewTransform

VIEW = ViewTransform(
    frame_width=200.0, frame_height=200.0, width=200.0, height=200.0, zoom=1.0, centre_x=99.5,
    centre_y=99.5,
)  # fmt: skip


def painted(qapp, drawings=(), pen=None, view=VIEW):
    picture = QImage(200, 200, QImage.Format.Format_RGB32)
    picture.fill(QColor("#808080"))
    painter = QPainter(picture)
    paint_drawings(painter, drawings, pen, view)
    painter.end()
    return picture


def is_ink(picture, x, y):
    return picture.pixelColor(x, y).name() == palette.PICKED.name()


@pytest.mark.parametrize(
    ("kind", "points", "inked", "clear"),
    [
        ("line", ((20.0, 100.0), (180.0, 100.0)), [(100, 100)], [(100, 90)]),
        ("circle", ((100.0, 100.0), (150.0, 100.0)), [(150, 100), (50, 100), (100, 50)], [(100, 100)]),
        ("arrow", ((20.0, 100.0), (180.0, 100.0)), [(100, 100), (171, 96)], [(29, 96)]),
        ("arc", ((180.0, 100.0), (100.0, 100.0), (100.0, 20.0)), [(140, 100), (100, 60)], [(60, 100)]),
        ("freehand", ((20.0, 20.0), (180.0, 20.0), (180.0, 180.0)), [(100, 20), (180, 100)], [(100, 100)]),
    ],
)  # fmt: skip
def test_every_kind_has_ink_where_it_should(qapp, kind, points, inked, clear):
    picture = painted(qapp, [Drawing(side="athlete", kind=kind, points_px=points)])
    assert all(is_ink(picture, *place) for place in inked)
    assert not any(is_ink(picture, *place) for place in clear)


def test_what_is_being_drawn_is_seen_once_it_has_two_points(qapp):
    bare = painted(qapp)
    assert painted(qapp, pen=PenStroke("line", ((20.0, 50.0),))) == bare
    assert is_ink(painted(qapp, pen=PenStroke("line", ((20.0, 50.0), (180.0, 50.0)))), 100, 50)
