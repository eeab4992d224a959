from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.shell.drawing.guess_mark import GuessMark
from deliverylab.shell.widgets.stage_canvas import StageCanvas
from tests.shell import gestures

HELD = GuessMark(x_px=700.0, y_px=300.0, is_held=True)


@pytest.fixture
def canvas(qtbot):
    made = StageCanvas()
    qtbot.addWidget(made)
    made.resize(640, 400)
    made.set_picture(None, (1280, 720))
    made.show()
    made.set_next_landmark("left_knee", "lead knee", "centre of the joint")
    made.heard = []
    made.guess_moved.connect(lambda *step: made.heard.append(("moved", *step)))
    made.guess_taken.connect(lambda: made.heard.append(("taken",)))
    made.guess_dropped.connect(lambda: made.heard.append(("dropped",)))
    made.leading_stopped.connect(lambda: made.heard.append(("stopped",)))
    made.nudged.connect(lambda *step: made.heard.append(("nudged", *step)))
    made.frames_stepped.connect(lambda n: made.heard.append(("stepped", n)))
    made.landmark_placed.connect(lambda key, *_: made.heard.append(("placed", key)))
    return made


def test_arrow_keys_move_a_guess_in_hand_and_frames_without(canvas):
    gestures.tap(canvas, Qt.Key.Key_Right)
    canvas.set_guess(GuessMark(x_px=700.0, y_px=300.0))
    gestures.tap(canvas, Qt.Key.Key_Left)
    canvas.set_guess(HELD)
    gestures.tap(canvas, Qt.Key.Key_Right)
    gestures.tap(canvas, Qt.Key.Key_Up, gestures.SHIFT)
    gestures.tap(canvas, Qt.Key.Key_Down, gestures.CTRL)
    canvas.set_mirrored(True)
    gestures.tap(canvas, Qt.Key.Key_Right)
    assert canvas.heard == [
        ("stepped", 1),
        ("stepped", -1),
        ("moved", 1.0, 0.0),
        ("moved", 0.0, -10.0),
        ("moved", 0.0, 0.1),
        ("moved", -1.0, 0.0),
    ]


def test_return_takes_the_guess_unless_the_pointer_is_at_work(canvas):
    canvas.set_guess(HELD)
    gestures.tap(canvas, Qt.Key.Key_Return)
    assert canvas.heard == [("taken",)]
    gestures.move(canvas, QPointF(300.0, 200.0))
    gestures.tap(canvas, Qt.Key.Key_Return)
    assert canvas.heard[-1] == ("placed", "left_knee")
    gestures.tap(canvas, Qt.Key.Key_Left)  # the hand is on the keys again
    gestures.tap(canvas, Qt.Key.Key_Return)
    assert canvas.heard[-1] == ("taken",)


def test_escape_lets_the_guess_go_and_then_stops_being_led(canvas):
    canvas.is_led = True
    canvas.set_guess(HELD)
    gestures.tap(canvas, Qt.Key.Key_Escape)
    assert canvas.heard == [("dropped",)]
    canvas.set_guess(None)
    gestures.tap(canvas, Qt.Key.Key_Escape)
    assert canvas.heard[-1] == ("stopped",)
    canvas.is_led = False
    canvas.heard.clear()
    gestures.tap(canvas, Qt.Key.Key_Escape)
    assert canvas.heard == []


def test_the_loupe_is_over_a_guess_in_hand(canvas):
    canvas.set_guess(HELD)
    assert canvas._magnified() == (700.0, 300.0)
    canvas.pick_points(1, ["here"])
    assert canvas._magnified() is None
    assert not canvas.holds_guess
