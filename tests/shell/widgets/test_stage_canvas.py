from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt
from PySide6.QtGui import QKeyEvent

from deliverylab.shell.drawing.placing_surface import WAITING
from deliverylab.shell.widgets.stage_canvas import StageCanvas
from tests.shell.gestures import (
    CTRL,
    MIDDLE,
    SHIFT,
    click,
    double_click,
    drag,
    move,
    press,
    release,
    tap,
    turn_wheel,
)

KNEE, ANKLE = (660.25, 500.75), (650.0, 600.0)


@pytest.fixture
def canvas(qtbot):
    """A canvas over a grey 1280 x 720 picture with a knee and an ankle."""
    made = StageCanvas()
    qtbot.addWidget(made)
    made.resize(771, 503)
    made.set_picture(np.full((720, 1280, 3), 90, np.uint8), (1280, 720))
    made.set_skeleton({"left_knee": (*KNEE, "placed"), "left_ankle": (*ANKLE, "tracked")}, "right")
    made.show()
    qtbot.waitExposed(made)
    return made


def heard(signal) -> list:
    """Return a list that fills with what a signal brings."""
    calls: list = []
    signal.connect(lambda *values: calls.append(values))
    return calls


def at(canvas: StageCanvas, x_px: float, y_px: float) -> QPointF:
    return canvas.view.to_widget(x_px, y_px)


# ------------------------------------------------------------------------------------ placing


@pytest.mark.parametrize("is_mirrored", [False, True])
@pytest.mark.parametrize("n_notches", [0, 3, 9.5, 17])
def test_a_click_places_with_sub_pixel_accuracy(canvas, n_notches, is_mirrored):
    canvas.set_mirrored(is_mirrored)
    turn_wheel(canvas, at(canvas, 500.0, 300.0), n_notches)
    canvas.set_next_landmark("right_wrist", "throwing wrist", "centre of the joint")
    placed = heard(canvas.landmark_placed)
    click(canvas, at(canvas, 503.37, 291.81))
    ((key, x_px, y_px),) = placed
    assert key == "right_wrist"
    assert (x_px, y_px) == pytest.approx((503.37, 291.81), abs=1e-6)


def test_a_click_off_the_frame_places_nothing(canvas):
    canvas.set_next_landmark("right_wrist", "throwing wrist")
    turn_wheel(canvas, QPointF(385, 240), -4)
    placed = heard(canvas.landmark_placed)
    click(canvas, QPointF(3.0, 3.0))
    assert placed == []


def test_two_quick_clicks_place_two_landmarks(canvas):
    canvas.set_next_landmark("right_wrist", "throwing wrist")
    placed = heard(canvas.landmark_placed)
    double_click(canvas, at(canvas, 500.0, 300.0))
    assert len(placed) == 2


def test_ctrl_places_over_another_point(canvas):
    canvas.set_next_landmark("right_wrist", "throwing wrist")
    placed = heard(canvas.landmark_placed)
    click(canvas, at(canvas, *KNEE))
    assert placed == []
    click(canvas, at(canvas, *KNEE), keys=CTRL)
    assert placed[0] == pytest.approx(("right_wrist", *KNEE), abs=1e-6)


def test_enter_places_where_the_pointer_is(canvas):
    canvas.set_next_landmark("right_wrist", "throwing wrist")
    placed = heard(canvas.landmark_placed)
    move(canvas, at(canvas, 410.5, 222.25))
    tap(canvas, Qt.Key.Key_Return)
    assert placed[0][1:] == pytest.approx((410.5, 222.25), abs=1e-6)


def test_nothing_is_placed_before_the_picture_is_exact(canvas):
    grey = np.full((720, 1280, 3), 90, np.uint8)
    canvas.set_picture(grey[::2, ::2], (1280, 720), is_exact=False)
    canvas.set_next_landmark("right_wrist", "throwing wrist")
    placed, asked = heard(canvas.landmark_placed), heard(canvas.exact_requested)
    click(canvas, at(canvas, 500.0, 300.0))
    assert (placed, len(asked)) == ([], 1)
    assert canvas.scene.message == WAITING
    canvas.set_picture(grey, (1280, 720), is_exact=True)
    assert placed[0] == pytest.approx(("right_wrist", 500.0, 300.0), abs=1e-6)
    assert not canvas.scene.message


def test_an_exact_picture_that_comes_at_once_takes_the_click_at_once(canvas):
    grey = np.full((720, 1280, 3), 90, np.uint8)
    canvas.set_picture(grey, (1280, 720), is_exact=False)
    canvas.exact_requested.connect(lambda: canvas.set_picture(grey, (1280, 720)))
    canvas.set_next_landmark("right_wrist", "throwing wrist")
    placed = heard(canvas.landmark_placed)
    click(canvas, at(canvas, 500.0, 300.0))
    assert len(placed) == 1


def test_a_place_that_waits_is_forgotten_with_its_frame(canvas):
    grey = np.full((720, 1280, 3), 90, np.uint8)
    canvas.set_picture(grey, (1280, 720), is_exact=False)
    canvas.set_next_landmark("right_wrist", "throwing wrist")
    placed = heard(canvas.landmark_placed)
    click(canvas, at(canvas, 500.0, 300.0))
    canvas.drop_pending()
    canvas.set_picture(grey, (1280, 720), is_exact=True)
    assert placed == []


# ----------------------------------------------------------------------------------- dragging


@pytest.mark.parametrize("is_mirrored", [False, True])
def test_a_drag_moves_the_nearest_point_without_a_jump(canvas, is_mirrored):
    canvas.set_mirrored(is_mirrored)
    started, ended = heard(canvas.drag_started), heard(canvas.drag_ended)
    moved, chosen = heard(canvas.landmark_moved), heard(canvas.landmark_chosen)
    start = at(canvas, *KNEE) + QPointF(3.0, -2.0)
    drag(canvas, [start, start + QPointF(6, 2), start + QPointF(20, 10)])
    assert (started, ended, chosen) == ([("left_knee",)],) * 2 + ([("left_knee",)],)
    expected = canvas.view.to_frame(at(canvas, *KNEE) + QPointF(20, 10))
    assert moved[-1] == pytest.approx(("left_knee", *expected), abs=1e-6)
    assert canvas.scene.points["left_knee"][:2] == pytest.approx(expected, abs=1e-6)
    assert canvas.scene.moving == ""


def test_a_click_on_a_point_chooses_it_and_leaves_it_where_it_is(canvas):
    moved, chosen = heard(canvas.landmark_moved), heard(canvas.landmark_chosen)
    drag(canvas, [at(canvas, *ANKLE), at(canvas, *ANKLE) + QPointF(1.5, 1.0)])
    assert (moved, chosen) == ([], [("left_ankle",)])
    assert canvas.scene.chosen == "left_ankle"


def test_shift_drags_a_tenth_as_far(canvas):
    moved = heard(canvas.landmark_moved)
    start = at(canvas, *KNEE)
    drag(canvas, [start, start + QPointF(40, 0)], keys=SHIFT)
    expected = KNEE[0] + 0.1 * 40 / canvas.view.zoom
    assert moved[-1][1] == pytest.approx(expected, abs=1e-6)


def test_a_point_cannot_be_dragged_out_of_the_frame(canvas):
    moved = heard(canvas.landmark_moved)
    start = at(canvas, *KNEE)
    drag(canvas, [start, start + QPointF(5000, -5000)])
    assert moved[-1][1:] == pytest.approx((1279.5, -0.5))


def test_a_drag_on_a_light_picture_begins_once_the_exact_one_is_here(canvas):
    grey = np.full((720, 1280, 3), 90, np.uint8)
    canvas.set_picture(grey, (1280, 720), is_exact=False)
    moved = heard(canvas.landmark_moved)
    start = at(canvas, *KNEE)
    press(canvas, start)
    move(canvas, start + QPointF(15, 0), buttons=Qt.MouseButton.LeftButton)
    assert moved == []
    canvas.set_picture(grey, (1280, 720), is_exact=True)
    move(canvas, start + QPointF(16, 0), buttons=Qt.MouseButton.LeftButton)
    release(canvas, start + QPointF(16, 0))
    assert moved[-1][1] == pytest.approx(KNEE[0] + 16 / canvas.view.zoom, abs=1e-6)


# --------------------------------------------------------------------------------------- keys


@pytest.mark.parametrize(
    ("key", "keys", "wish"),
    [
        (Qt.Key.Key_Left, Qt.KeyboardModifier.NoModifier, (-1.0, 0.0)),
        (Qt.Key.Key_Up, SHIFT, (0.0, -10.0)),
        (Qt.Key.Key_Right, CTRL, (0.1, 0.0)),
        (Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier, (0.0, 0.1)),
    ],
)
def test_arrows_nudge_the_chosen_landmark(canvas, key, keys, wish):
    canvas.set_chosen("left_knee")
    nudged = heard(canvas.nudged)
    tap(canvas, key, keys)
    assert nudged == [wish]


def test_a_nudge_goes_where_the_arrow_points_also_mirrored(canvas):
    canvas.set_chosen("left_knee")
    canvas.set_mirrored(True)
    nudged = heard(canvas.nudged)
    tap(canvas, Qt.Key.Key_Right)
    tap(canvas, Qt.Key.Key_Up)
    assert nudged == [(-1.0, 0.0), (0.0, -1.0)]


def test_arrows_step_frames_and_events_where_there_is_nothing_to_nudge(canvas):
    frames, events = heard(canvas.frames_stepped), heard(canvas.events_stepped)
    nudged, chosen = heard(canvas.nudged), heard(canvas.landmark_chosen)
    tap(canvas, Qt.Key.Key_Right)
    tap(canvas, Qt.Key.Key_Left)
    tap(canvas, Qt.Key.Key_Right, SHIFT)
    tap(canvas, Qt.Key.Key_Left, SHIFT)
    tap(canvas, Qt.Key.Key_Up)
    tap(canvas, Qt.Key.Key_Down)
    tap(canvas, Qt.Key.Key_Right, CTRL)
    assert frames == [(1,), (-1,), (10,), (-10,)]
    assert events == [(-1,), (1,)]
    assert nudged == []
    assert set(chosen) == {("",)}


def test_keys_skip_hide_and_remove(canvas):
    canvas.set_next_landmark("right_wrist", "throwing wrist")
    canvas.set_chosen("left_knee")
    skipped, hidden = heard(canvas.landmark_skipped), heard(canvas.landmark_hidden)
    removed, steps = heard(canvas.landmark_removed), heard(canvas.frames_stepped)
    for key in (Qt.Key.Key_S, Qt.Key.Key_H, Qt.Key.Key_Delete, Qt.Key.Key_Period, Qt.Key.Key_Comma):
        tap(canvas, key)
    assert skipped == [("right_wrist",)]
    assert hidden == [("right_wrist",)]
    assert removed == [("left_knee",)]
    assert steps == [(1,), (-1,)]


def is_claimed(canvas: StageCanvas, key: Qt.Key) -> bool:
    event = QKeyEvent(QEvent.Type.ShortcutOverride, key, Qt.KeyboardModifier.NoModifier)
    event.ignore()
    canvas.event(event)
    return event.isAccepted()


def test_arrows_nudge_while_a_landmark_is_chosen_and_step_once_it_is_let_go(canvas):
    nudged, frames = heard(canvas.nudged), heard(canvas.frames_stepped)
    click(canvas, at(canvas, *KNEE))
    assert is_claimed(canvas, Qt.Key.Key_Left)
    tap(canvas, Qt.Key.Key_Left)
    tap(canvas, Qt.Key.Key_Escape)
    assert is_claimed(canvas, Qt.Key.Key_Left)
    tap(canvas, Qt.Key.Key_Left)
    assert nudged == [(-1.0, 0.0)]
    assert frames == [(-1,)]
    assert not is_claimed(canvas, Qt.Key.Key_1), "digits mark events"


# -------------------------------------------------------------------------------------- loupe


def test_the_loupe_shows_the_place_under_the_pointer_while_placing(canvas):
    move(canvas, at(canvas, 400.0, 300.0))
    assert canvas._magnified() is None
    canvas.set_next_landmark("right_wrist", "throwing wrist")
    assert canvas._magnified() == pytest.approx((400.0, 300.0), abs=1e-6)
    canvas.grab()
    place = canvas.scene.loupe.centre
    pointer = at(canvas, 400.0, 300.0)
    assert abs(place.x() - pointer.x()) + abs(place.y() - pointer.y()) > 100


def test_a_held_key_opens_the_loupe(canvas, qtbot):
    move(canvas, at(canvas, 400.0, 300.0))
    qtbot.keyPress(canvas, Qt.Key.Key_L)
    assert canvas._magnified() is not None
    qtbot.keyRelease(canvas, Qt.Key.Key_L)
    assert canvas._magnified() is None


def test_while_dragging_the_loupe_follows_the_landmark(canvas):
    start = at(canvas, *KNEE)
    press(canvas, start)
    move(canvas, start + QPointF(30, 0), buttons=Qt.MouseButton.LeftButton)
    expected = canvas.view.to_frame(start + QPointF(30, 0))
    assert canvas._magnified() == pytest.approx(expected, abs=1e-6)
    release(canvas, start + QPointF(30, 0))


# --------------------------------------------------------------------------------------- view


def test_the_wheel_zooms_about_the_pointer(canvas):
    pointer = at(canvas, 640.0, 360.0)
    turn_wheel(canvas, pointer, 4)
    assert canvas.view.zoom > 2.0 * canvas.view.fit_zoom
    assert canvas.view.to_frame(pointer) == pytest.approx((640.0, 360.0), abs=1e-6)


def test_keys_zoom_and_fit(canvas):
    fitted = canvas.view
    tap(canvas, Qt.Key.Key_Plus)
    assert canvas.view.zoom > fitted.zoom
    tap(canvas, Qt.Key.Key_0)
    assert canvas.view == fitted


def test_fit_goes_back_and_forth_between_what_matters_and_everything(canvas):
    whole = canvas.view
    canvas.set_home(QRectF(500, 200, 300, 400))
    home = canvas.view
    assert home.zoom > whole.zoom
    canvas.fit()
    assert canvas.view == whole
    canvas.fit()
    assert canvas.view == home


def test_the_middle_button_and_space_pan(canvas, qtbot):
    turn_wheel(canvas, QPointF(385, 240), 6)
    for is_middle in (True, False):
        before = at(canvas, *KNEE)
        if is_middle:
            drag(canvas, [QPointF(300, 200), QPointF(340, 190)], button=MIDDLE)
        else:
            qtbot.keyPress(canvas, Qt.Key.Key_Space)
            drag(canvas, [QPointF(300, 200), QPointF(340, 190)])
            qtbot.keyRelease(canvas, Qt.Key.Key_Space)
        shift = at(canvas, *KNEE) - before
        assert (shift.x(), shift.y()) == pytest.approx((40.0, -10.0))


def test_shift_and_wheel_step_frames(canvas):
    steps = heard(canvas.frames_stepped)
    turn_wheel(canvas, QPointF(300, 200), -2, keys=SHIFT)
    assert steps == [(2,)]


# ------------------------------------------------------------------------------------ picking


def test_points_are_picked_instead_of_landmarks(canvas):
    canvas.set_next_landmark("right_wrist", "throwing wrist", "centre of the joint")
    picked, placed = heard(canvas.points_picked), heard(canvas.landmark_placed)
    canvas.pick_points(2, ["one end of the rubber", "its other end"])
    assert "one end of the rubber" in canvas.scene.request.name
    click(canvas, at(canvas, *KNEE))
    assert "its other end" in canvas.scene.request.name
    tap(canvas, Qt.Key.Key_Backspace)
    assert "one end of the rubber" in canvas.scene.request.name
    click(canvas, at(canvas, 300.5, 620.25))
    click(canvas, at(canvas, 600.0, 621.0))
    (((a, b),),) = picked
    assert a == pytest.approx((300.5, 620.25), abs=1e-6)
    assert b == pytest.approx((600.0, 621.0), abs=1e-6)
    assert placed == []
    assert not canvas.is_picking
    assert "throwing wrist" in canvas.scene.request.name, "landmarks are asked for again"


def test_escape_ends_picking(canvas):
    stopped, picked = heard(canvas.picking_cancelled), heard(canvas.points_picked)
    canvas.pick_points(2, ["a", "b"])
    click(canvas, at(canvas, 300.0, 620.0))
    tap(canvas, Qt.Key.Key_Escape)
    assert len(stopped) == 1
    assert (picked, canvas.scene.picks) == ([], [])


# ---------------------------------------------------------------------------------- everything


@given(
    places=st.lists(
        st.tuples(st.floats(-0.5, 1279.5), st.floats(-0.5, 719.5)), min_size=1, max_size=4
    ),
    is_mirrored=st.booleans(),
)
def test_whatever_is_set_is_painted(qapp, places, is_mirrored):
    canvas = StageCanvas()
    canvas.resize(400, 300)
    keys = ["left_knee", "right_hand", "head_top", "ball"]
    states = ["placed", "tracked", "detected", "filled"]
    points = {key: (*place, state) for key, place, state in zip(keys, places, states, strict=False)}
    canvas.set_skeleton({**points, "left_toe": (float("nan"),) * 2 + ("hidden",)}, "left")
    canvas.set_partner_skeleton(points)
    canvas.set_mirrored(is_mirrored)
    canvas.set_tag("release")
    assert not canvas.grab().isNull()
    canvas.deleteLater()


def test_a_click_beside_another_landmark_places_the_one_asked_for(canvas):
    canvas.set_next_landmark("left_heel", "lead heel", "")
    placed, moved = heard(canvas.landmark_placed), heard(canvas.landmark_moved)
    chosen = heard(canvas.landmark_chosen)
    near = canvas.view.to_widget(*ANKLE) + QPointF(7.0, 0.0)
    click(canvas, near)
    assert [call[0] for call in placed] == ["left_heel"]
    assert chosen == []
    drag(canvas, [near, near + QPointF(9.0, 0.0)])
    assert moved[-1][0] == "left_ankle", "a drag moves the near one all the same"
    assert len(placed) == 1
    click(canvas, canvas.view.to_widget(*KNEE))
    assert chosen[-1] == ("left_knee",), "right on it, it is chosen"
