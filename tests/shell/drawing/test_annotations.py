from __future__ import annotations

from PySide6.QtGui import QImage, QPainter

from deliverylab.core.metrics.figure_marks import ArcMark
from deliverylab.core.model.scale import Point
from deliverylab.shell.drawing.annotations import Cross, ScaleLine, Trail, paint_annotations
from deliverylab.shell.drawing.measure_marks import MeasureMarks
from deliverylab.shell.drawing.view_transform import ViewTransform

KNEE = ArcMark(
    metric="lead_knee_flexion",
    event="release",
    name="Lead knee flexion",
    text="47° ± 4",
    is_in_space=False,
    corner=Point(900, 500),
    reference=Point(950, 700),
    arm=Point(860, 700),
)


def test_every_kind_leaves_ink(qapp):
    view = ViewTransform(width=400.0, height=300.0).fitted()
    for annotation in (
        MeasureMarks(marks=(KNEE,)),
        ScaleLine(a=(400, 900), b=(700, 905), text="1.00 m"),
        Cross(at=(500, 500), text="1"),
        Trail(places=((500, 500), (520, 480), (540, 470))),
    ):
        image = QImage(400, 300, QImage.Format.Format_RGB32)
        image.fill(0)
        blank = image.copy()
        painter = QPainter(image)
        paint_annotations(painter, (annotation,), view)
        painter.end()
        assert image != blank
