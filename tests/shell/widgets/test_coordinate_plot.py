from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QApplication, QToolTip, QWidget

from deliverylab.core.model.track import ORIGINS
from deliverylab.shell.drawing.coordinate_scene import CoordinateScene
from deliverylab.shell.theme import theme
from deliverylab.shell.widgets.coordinate_plot import (
    SYMBOLS,
    CoordinatePlot,
    symbol_pixmap,
)
from tests.shell.drawing.test_coordinate_scene import scene_of
from tests.shell.gestures import CTRL, SHIFT, click, double_click, press, release, tap, turn_wheel

FRAMES = list(range(10, 90))
JUMP = 40


@pytest.fixture
def plot(qtbot):
    # in a widget, as it stands in the window: closed by itself the library empties it
    holder = QWidget()
    qtbot.addWidget(holder)
    made = CoordinatePlot(holder)
    made.resize(700, 200)
    holder.resize(700, 200)
    holder.show()
    across = [100.0 + frame + (60.0 if frame == JUMP else 0.0) for frame in FRAMES]
    made.show_scene(
        scene_of(
            FRAMES,
            across,
            origins=["placed"] + ["tracked"] * (len(FRAMES) - 1),
            marks=(0.2, 0.7),
            looks={JUMP: "60 px off"},
        )
    )
    made.show_span(0.0, 1.0, 128.0, 14.0)
    QApplication.processEvents()
    made.holder = holder  # or it would be gone, and the plot with it
    return made


def heard(signal):
    got = []
    signal.connect(lambda *values: got.append(values))
    return got


def test_the_axis_lies_between_the_given_margins(plot):
    assert plot.x_of(0.0) == pytest.approx(128.0, abs=1.0)
    assert plot.x_of(1.0) == pytest.approx(700.0 - 14.0, abs=1.0)


def test_a_jump_is_seen_and_ringed(plot):
    course = plot.courses["across"]
    at = plot.point_at("across", JUMP)
    assert plot.point_at("across", JUMP - 1).y() - at.y() > 10.0
    ring_x, ring_y = course.rings.getData()
    assert (ring_x.tolist(), ring_y.tolist()) == ([JUMP / 100.0], [100.0 + JUMP + 60.0])
    colour = plot.grab().toImage().pixelColor(QPoint(round(at.x()), round(at.y()) - 8))
    caution = theme().colour("caution")
    assert abs(colour.red() - caution.red()) + abs(colour.green() - caution.green()) < 160


def test_a_click_chooses_the_nearest_position_in_the_curve_under_the_pointer(plot):
    chosen = heard(plot.point_chosen)
    for direction, frame in (("across", JUMP), ("up", 70)):
        click(plot.viewport(), plot.point_at(direction, frame) + QPointF(1.0, 2.0))
        assert chosen[-1] == (frame,)
    click(plot.viewport(), QPointF(plot.x_of(0.05), 30.0))  # before the first
    assert chosen[-1] == (FRAMES[0],)


def test_other_buttons_open_and_choose_nothing(plot):
    chosen = heard(plot.point_chosen)
    at = plot.point_at("up", 50)
    for button in (Qt.MouseButton.RightButton, Qt.MouseButton.MiddleButton):
        press(plot.viewport(), at, button=button)
        release(plot.viewport(), at, button=button)
    assert chosen == []
    assert QApplication.activePopupWidget() is None


def test_wheel_and_double_click_ask_for_another_part_of_the_axis(plot):
    zoomed, everything = heard(plot.zoomed), heard(plot.all_wanted)
    turn_wheel(plot.viewport(), QPointF(plot.x_of(0.5), 60.0), 1.0)
    (factor, place) = zoomed[0]
    assert factor > 1.0
    assert place == pytest.approx(0.5, abs=0.01)
    assert not everything
    double_click(plot.viewport(), QPointF(plot.x_of(0.5), 60.0))
    assert len(everything) == 1
    assert plot.x_of(0.0) == pytest.approx(128.0, abs=1.0)  # nothing has moved by itself


def test_arrow_keys_step_and_other_keys_are_the_windows(plot):
    stepped = heard(plot.frames_stepped)
    tap(plot, Qt.Key.Key_Left)
    tap(plot, Qt.Key.Key_Right)
    tap(plot, Qt.Key.Key_Right, SHIFT)
    tap(plot, Qt.Key.Key_Right, CTRL)
    tap(plot, Qt.Key.Key_A)
    assert stepped == [(-1,), (1,), (10,)]


def test_a_resting_pointer_is_told_of_the_position_under_it(plot):
    at = plot.point_at("across", JUMP).toPoint()
    for place, told in ((at, True), (QPoint(at.x() + 150, at.y()), False)):
        event = QHelpEvent(QEvent.Type.ToolTip, place, plot.mapToGlobal(place))
        QApplication.sendEvent(plot.viewport(), event)
        if told:
            assert QToolTip.text().startswith("Frame 40, tracked\n")
            assert QToolTip.text().endswith("60 px off")


def test_marks_of_sparse_positions_are_large_and_of_dense_ones_small(plot):
    dots = plot.courses["up"].dots
    dense = dots["tracked"].opts["size"]
    plot.show_span(0.3, 0.4, 128.0, 14.0)
    assert dots["tracked"].opts["size"] == SYMBOLS["tracked"][1] >= dense
    assert dots["placed"].opts["size"] == SYMBOLS["placed"][1]


def test_the_values_fit_the_part_that_is_shown(plot):
    plot.show_span(0.1, 0.2, 128.0, 14.0)
    bottom, top = plot.courses["across"].plot.viewRange()[1]
    assert bottom < 108.0
    assert 122.0 < top < 140.0


def test_origins_are_told_apart_without_colour(plot):
    assert set(SYMBOLS) == set(ORIGINS)
    pictures = [symbol_pixmap(origin, "text", 14, 1.0).toImage() for origin in ORIGINS]
    for number, one in enumerate(pictures):
        assert all(one != other for other in pictures[number + 1 :])


def test_nothing_to_show_is_drawn_as_nothing(plot):
    plot.show_scene(CoordinateScene())
    course = plot.courses["across"]
    assert not course.marks
    assert all(len(dots.data) == 0 for dots in course.dots.values())
    assert plot.nearest_row(QPointF(300.0, 50.0))[0] is None
    chosen = heard(plot.point_chosen)
    click(plot.viewport(), QPointF(300.0, 50.0))
    assert chosen == []
    plot.grab()


def test_colours_and_type_follow_the_look(plot, qapp):
    plot.show_playhead(0.5)
    before = plot.backgroundBrush().color()
    least = plot.minimumHeight()
    try:
        theme().apply(qapp, "light", 1.5)
        assert plot.backgroundBrush().color() == theme().colour("pane") != before
        assert plot.minimumHeight() > least
        assert plot.courses["up"].playhead.pen.color() == theme().colour("text")
    finally:
        theme().apply(qapp, "dark", 1.0)
