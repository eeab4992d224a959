from __future__ import annotations

from PySide6.QtGui import QColor

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.set_up_picture import PictureView
from deliverylab.shell.set_up_plan import Plan, plan_scene


def picture_of(qtbot, plan) -> PictureView:
    view = PictureView()
    qtbot.addWidget(view)
    view.resize(480, 270)
    view.show()
    view.show_scene(plan_scene(plan), plan.hand)
    return view


def _places_of(image, colour: QColor):
    return [
        (x, y)
        for x in range(image.width())
        for y in range(image.height())
        if image.pixelColor(x, y) == colour
    ]


def test_the_figure_strides_to_the_side_of_the_plate(qtbot):
    for hand, is_right in (("right", True), ("left", False)):
        image = picture_of(qtbot, Plan(hand=hand)).grab().toImage()
        lead = [x for x, _ in _places_of(image, palette.GLOVE)]
        drive = [x for x, _ in _places_of(image, palette.THROWING)]
        assert lead
        assert drive
        assert (sum(lead) / len(lead) > sum(drive) / len(drive)) == is_right


def test_a_farther_camera_without_zoom_sees_a_smaller_figure(qtbot):
    heights = []
    for distance_m in (6.0, 18.0):
        plan = Plan(distance_m=distance_m, field_of_view_deg=65.0)
        image = picture_of(qtbot, plan).grab().toImage()
        rows = [y for _, y in _places_of(image, palette.THROWING)]
        heights.append(max(rows) - min(rows))
    assert heights[0] > 2 * heights[1]


def test_what_is_outside_is_said(qtbot):
    assert picture_of(qtbot, Plan()).accessibleName().endswith("the whole body is inside")
    cut = picture_of(qtbot, Plan(distance_m=3.0, field_of_view_deg=24.0))
    assert "outside at" in cut.accessibleName()
    assert _places_of(cut.grab().toImage(), palette.PICKED)
