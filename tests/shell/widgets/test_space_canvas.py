from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.shell.drawing.space_figure import SpaceBody, SpaceScene, Turn, standing_views
from deliverylab.shell.widgets.space_canvas import DEGREES_PER_PX, KEY_DEG, SpaceCanvas
from tests.shell.gestures import SHIFT, drag, move, press, release, tap, turn_wheel


@pytest.fixture
def canvas(qtbot):
    made = SpaceCanvas()
    qtbot.addWidget(made)
    made.resize(300, 300)
    made.show()
    return made


def _scene(hand):
    return SpaceScene(
        athlete=SpaceBody(points_m=np.full((len(LANDMARK_KEYS), 3), np.nan), hand=hand)
    )


def test_a_drag_turns_it_about_the_vertical_and_tips_it(canvas):
    before = canvas.turn
    drag(canvas, [QPointF(100, 100), QPointF(120, 100), QPointF(140, 90)])
    assert canvas.turn.azimuth_deg == pytest.approx(before.azimuth_deg - 40 * DEGREES_PER_PX)
    assert canvas.turn.pitch_deg == pytest.approx(before.pitch_deg + 10 * DEGREES_PER_PX)
    assert canvas.view == ""


def test_while_it_is_held_lines_are_thin(canvas):
    press(canvas, QPointF(100, 100))
    move(canvas, QPointF(110, 100), buttons=Qt.MouseButton.LeftButton)
    assert canvas.scene.is_turning
    canvas.show_scene(_scene("right"))
    assert canvas.scene.is_turning, "a frame that comes meanwhile is drawn thin as well"
    release(canvas, QPointF(110, 100))
    assert not canvas.scene.is_turning


def test_the_wheel_and_keys_come_closer(canvas):
    turn_wheel(canvas, QPointF(100, 100), 1)
    assert canvas.turn.zoom == pytest.approx(1.2)
    tap(canvas, Qt.Key.Key_Minus)
    tap(canvas, Qt.Key.Key_Minus)
    assert canvas.turn.zoom == pytest.approx(1 / 1.2)
    tap(canvas, Qt.Key.Key_0)
    assert canvas.turn == Turn()


def test_arrow_keys_turn_it(canvas):
    before = canvas.turn
    tap(canvas, Qt.Key.Key_Left)
    tap(canvas, Qt.Key.Key_Down)
    assert canvas.turn == before.turned(KEY_DEG, KEY_DEG)
    tap(canvas, Qt.Key.Key_Right, SHIFT)
    assert canvas.turn.azimuth_deg == pytest.approx(before.azimuth_deg + KEY_DEG - 2.0)


@pytest.mark.parametrize(
    ("key", "view"),
    [
        (Qt.Key.Key_A, "above"),
        (Qt.Key.Key_S, "side"),
        (Qt.Key.Key_B, "behind"),
        (Qt.Key.Key_P, "plate"),
    ],
)
def test_keys_look_from_a_side_by_name(canvas, qtbot, key, view):
    with qtbot.waitSignal(canvas.view_changed) as caught:
        tap(canvas, key)
    assert caught.args == [view]
    assert canvas.view == view
    wanted = standing_views("right")[view]
    assert (canvas.turn.azimuth_deg, canvas.turn.pitch_deg) == (
        wanted.azimuth_deg,
        wanted.pitch_deg,
    )
    tap(canvas, Qt.Key.Key_Left)
    assert canvas.view == ""


def test_a_key_asks_for_trails(canvas, qtbot):
    with qtbot.waitSignal(canvas.trails_toggled):
        tap(canvas, Qt.Key.Key_T)


def test_of_a_left_hander_the_same_side_of_the_body_is_seen(canvas):
    free = canvas.turn.azimuth_deg
    canvas.show_scene(_scene("left"))
    assert canvas.turn.azimuth_deg == pytest.approx(360.0 - free)
    canvas.look_from("side")
    left = canvas.turn.azimuth_deg
    canvas.show_scene(_scene("right"))
    assert canvas.turn.azimuth_deg == pytest.approx((left + 180.0) % 360.0)


def test_the_keyboard_is_shown(canvas):
    canvas.setFocus()
    without = canvas.grab().toImage()
    canvas.clearFocus()
    assert canvas.grab().toImage() != without
