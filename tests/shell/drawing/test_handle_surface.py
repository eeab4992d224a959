from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.shell.drawing.handles import Handle
from deliverylab.shell.widgets.stage_canvas import StageCanvas
from tests.shell.gestures import SHIFT, click, drag, move, press, release, tap

HANDLES = (
    Handle(key="a", name="first end", x_px=200.0, y_px=500.0, joined_to="b", text="1.50 m"),
    Handle(key="b", name="second end", x_px=900.0, y_px=520.0, joined_to="a"),
)


@pytest.fixture
def canvas(qtbot):
    made = StageCanvas()
    qtbot.addWidget(made)
    made.resize(771, 503)
    made.set_picture(np.full((720, 1280, 3), 90, np.uint8), (1280, 720))
    made.set_next_landmark("neck", "neck", "between the shoulders")
    made.set_handles(HANDLES, "Scale", "drag its points")
    made.show()
    qtbot.waitExposed(made)
    return made


def heard(signal) -> list:
    calls: list = []
    signal.connect(lambda *values: calls.append(values))
    return calls


@pytest.mark.parametrize("is_mirrored", [False, True])
def test_a_handle_follows_the_hand_without_a_jump(canvas, is_mirrored):
    canvas.set_mirrored(is_mirrored)
    moved = heard(canvas.handle_moved)
    start = canvas.view.to_widget(200.0, 500.0) + QPointF(3.0, 2.0)
    press(canvas, start)
    assert canvas._magnified() == (200.0, 500.0)
    move(canvas, start + QPointF(10.0, -4.0), buttons=Qt.MouseButton.LeftButton)
    across = -10.0 if is_mirrored else 10.0
    expected = (200.0 + across / canvas.view.zoom, 500.0 - 4.0 / canvas.view.zoom)
    assert moved[-1] == ("a", pytest.approx(expected[0]), pytest.approx(expected[1]))
    release(canvas, start)
    assert canvas.scene.held_handle == ""


def test_shift_moves_a_tenth_and_arrows_move_by_pixels(canvas):
    moved = heard(canvas.handle_moved)
    start = canvas.view.to_widget(900.0, 520.0)
    drag(canvas, [start, start + QPointF(10.0, 0.0)], keys=SHIFT)
    assert moved[-1][1] == pytest.approx(900.0 + 1.0 / canvas.view.zoom)
    tap(canvas, Qt.Key.Key_Right, SHIFT)
    assert moved[-1] == ("b", 910.0, 520.0), "the listener had not set the handle anew"


def test_no_landmark_is_placed_meanwhile(canvas):
    placed, removed = heard(canvas.landmark_placed), heard(canvas.landmark_removed)
    click(canvas, canvas.view.to_widget(600.0, 200.0))
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Delete, Qt.Key.Key_S):
        tap(canvas, key)
    assert (placed, removed) == ([], [])
    assert canvas.scene.request.name == "Scale"
    canvas.set_handles(None)
    assert "neck" in canvas.scene.request.name
    click(canvas, canvas.view.to_widget(600.0, 200.0))
    assert placed[0][0] == "neck"


def test_handles_stay_inside_the_frame(canvas):
    moved = heard(canvas.handle_moved)
    canvas.move_handle("a", -5000.0, 5000.0)
    assert moved == [("a", -0.5, 719.5)]


def test_picking_goes_before_handles(canvas):
    picked = heard(canvas.points_picked)
    canvas.pick_points(1, ["click"])
    click(canvas, canvas.view.to_widget(200.0, 500.0))
    assert len(picked) == 1
    assert canvas.scene.request.name == "Scale", "afterwards the handles are asked about again"
