from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter

from deliverylab.shell.drawing.annotations import (
    AngleArc,
    Cross,
    Note,
    PlumbLine,
    ScaleLine,
    arc_angles,
    paint_annotations,
)
from deliverylab.shell.drawing.view_transform import ViewTransform


@pytest.mark.parametrize(
    ("a", "b", "is_flexion", "angle"),
    [
        ((0, -10), (10, 0), False, 90.0),
        ((0, -10), (0, 10), True, 0.0),
        ((0, -10), (10, 0), True, 90.0),
        ((-10, 0), (10, 10), True, 45.0),
        ((-10, 0), (10, -10), True, 45.0),
    ],
)
def test_the_arc_spans_the_angle_that_is_written_beside_it(a, b, is_flexion, angle):
    _, sweep = arc_angles(QPointF(0, 0), QPointF(*a), QPointF(*b), is_flexion=is_flexion)
    assert abs(sweep) == pytest.approx(angle)


def test_every_kind_leaves_ink(qapp):
    view = ViewTransform(width=400.0, height=300.0).fitted()
    for annotation in (
        AngleArc(vertex=(900, 500), arm_a=(800, 300), arm_b=(950, 800), text="47° ± 4"),
        ScaleLine(a=(400, 900), b=(700, 905), text="1.00 m"),
        PlumbLine(at=(500, 900), lean_deg=2.0, length_px=600),
        Cross(at=(500, 500), text="1"),
        Note(at=(500, 500), text="98° ± 8 in space"),
        Note(at=(1850, 500), text="98° ± 8 in space"),
    ):
        image = QImage(400, 300, QImage.Format.Format_RGB32)
        image.fill(0)
        blank = image.copy()
        painter = QPainter(image)
        paint_annotations(painter, (annotation,), view)
        painter.end()
        assert image != blank
