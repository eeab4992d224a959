from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QToolTip

from deliverylab.shell.drawing.scrub_scene import (
    FLAGS_HEIGHT,
    Ghost,
    ScrubCurve,
    ScrubRow,
    ScrubScene,
)
from deliverylab.shell.widgets.scrub_bar import ScrubBar
from tests.shell.gestures import (
    CTRL,
    SHIFT,
    click,
    double_click,
    drag,
    move,
    press,
    tap,
    turn_wheel,
)

N_FRAMES = 240
MARKS = {"leg_lift": 0.1, "foot_contact": 0.6, "release": 0.75}


def row_of(side="athlete", **fields) -> ScrubRow:
    times_s = np.arange(N_FRAMES) / 240.0
    return ScrubRow(
        side=side,
        name=side,
        axis=times_s,
        times_s=times_s,
        coverage=np.linspace(0.0, 1.0, N_FRAMES),
        marks=MARKS,
        first_frame=fields.pop("first_frame", 0),
        last_frame=fields.pop("last_frame", N_FRAMES - 1),
        **fields,
    )


@pytest.fixture
def bar(qtbot):
    """A bar with two deliveries and a curve."""
    made = ScrubBar()
    qtbot.addWidget(made)
    made.resize(900, 260)
    axis = np.arange(N_FRAMES) / 240.0
    curve = ScrubCurve("athlete", axis, np.sin(6.0 * axis), np.full(N_FRAMES, 0.1))
    rows = (row_of(first_frame=10, last_frame=220), row_of("model", has_movable_marks=False))
    made.set_scene(
        ScrubScene(rows, (curve,), "trunk forward tilt", phases=((0.0, 0.1), (100.0, 0.6)))
    )
    made.set_frames({"athlete": 144, "model": 144}, "100 % · 0.600 s · frame 144")
    made.show()
    qtbot.waitExposed(made)
    return made


def heard(signal) -> list:
    """Return a list that fills with what a signal brings."""
    calls: list = []
    signal.connect(lambda *values: calls.append(values))
    return calls


def place(bar: ScrubBar, frame: int, y: float) -> QPointF:
    return QPointF(bar.layout_now().x_of(frame / 240.0), y)


def row_y(bar: ScrubBar, number: int) -> float:
    return bar.layout_now().row_rect(number).center().y()


def test_a_press_shows_the_frame_under_the_hand(bar):
    frames = heard(bar.frame_requested)
    drag(bar, [place(bar, 60, row_y(bar, 0)), place(bar, 61, 150.0), place(bar, 90, 150.0)])
    assert frames == [("athlete", 60), ("athlete", 61), ("athlete", 90)]


def test_scrubbing_stays_within_the_trim(bar):
    frames = heard(bar.frame_requested)
    drag(bar, [place(bar, 5, row_y(bar, 0)), place(bar, 235, row_y(bar, 0))])
    assert frames == [("athlete", 10), ("athlete", 220)]


def test_a_press_on_the_other_row_takes_that_delivery(bar):
    frames, sides = heard(bar.frame_requested), heard(bar.side_chosen)
    press(bar, place(bar, 30, row_y(bar, 1)))
    assert sides == [("model",)]
    assert frames == [("model", 30)]


def test_a_flag_is_gone_to_by_a_click_and_moved_by_a_drag(bar):
    chosen, moved = heard(bar.event_chosen), heard(bar.mark_moved)
    started, ended = heard(bar.mark_drag_started), heard(bar.mark_drag_ended)
    frames = heard(bar.frame_requested)
    flag = place(bar, 144, FLAGS_HEIGHT - 6.0)
    drag(bar, [flag, flag + QPointF(1.0, 0.0)])
    assert (chosen, moved) == ([("foot_contact",)], [])
    drag(bar, [flag, place(bar, 148, 20.0), place(bar, 150, 20.0)])
    assert (started, ended) == ([("athlete", "foot_contact")],) * 2
    assert moved[-1] == ("athlete", "foot_contact", pytest.approx(150 / 240.0))
    assert frames[-1] == ("athlete", 150), "the frame of the flag is shown meanwhile"


def test_a_flag_on_which_the_axis_hangs_stays(bar):
    bar.set_active("model")
    moved = heard(bar.mark_moved)
    drag(bar, [place(bar, 144, FLAGS_HEIGHT - 6.0), place(bar, 170, 20.0)])
    assert moved == []


def test_a_double_click_on_the_flags_lane_asks_for_a_mark(bar):
    wanted = heard(bar.mark_requested)
    double_click(bar, place(bar, 100, 20.0))
    assert wanted == [("athlete", pytest.approx(100 / 240.0))]


@pytest.mark.parametrize(
    ("key", "keys", "signal", "wish"),
    [
        (Qt.Key.Key_Right, Qt.KeyboardModifier.NoModifier, "frames_stepped", (1,)),
        (Qt.Key.Key_Left, SHIFT, "frames_stepped", (-10,)),
        (Qt.Key.Key_PageDown, Qt.KeyboardModifier.NoModifier, "frames_stepped", (10,)),
        (Qt.Key.Key_Up, Qt.KeyboardModifier.NoModifier, "events_stepped", (-1,)),
        (Qt.Key.Key_Down, Qt.KeyboardModifier.NoModifier, "events_stepped", (1,)),
        (Qt.Key.Key_Home, Qt.KeyboardModifier.NoModifier, "frame_requested", ("athlete", 10)),
        (Qt.Key.Key_End, Qt.KeyboardModifier.NoModifier, "frame_requested", ("athlete", 220)),
        (
            Qt.Key.Key_Delete,
            Qt.KeyboardModifier.NoModifier,
            "mark_removed",
            ("athlete", "foot_contact"),
        ),
    ],
)
def test_keys(bar, key, keys, signal, wish):
    calls = heard(getattr(bar, signal))
    tap(bar, key, keys)
    assert calls == [wish]


def test_the_wheel_steps_and_with_ctrl_zooms_about_the_pointer(bar):
    steps = heard(bar.frames_stepped)
    turn_wheel(bar, QPointF(400, 150), -3)
    turn_wheel(bar, QPointF(400, 150), 1, keys=SHIFT)
    assert steps == [(3,), (-10,)]
    before = bar.layout_now()
    turn_wheel(bar, place(bar, 144, 150.0), 5, keys=CTRL)
    after = bar.layout_now()
    assert after.high - after.low < 0.5 * (before.high - before.low)
    # the hand is half a screen pixel off the place, which the zoom enlarges
    assert after.x_of(0.6) == pytest.approx(before.x_of(0.6), abs=2.0)
    double_click(bar, QPointF(500, 170))
    assert bar.layout_now() == before


def test_a_zoomed_axis_follows_the_playhead(bar):
    turn_wheel(bar, place(bar, 144, 150.0), 8, keys=CTRL)
    bar.set_frames({"athlete": 30, "model": 30}, "")
    layout = bar.layout_now()
    assert layout.low <= 30 / 240.0 <= layout.high


def test_the_flag_under_the_pointer_is_lit(bar):
    move(bar, place(bar, 180, FLAGS_HEIGHT - 6.0))
    assert bar._hovered == "release"
    move(bar, place(bar, 200, FLAGS_HEIGHT - 6.0))
    assert bar._hovered == ""


def test_what_lies_still_is_drawn_once_while_the_playhead_moves(bar):
    first = bar.grab().toImage()
    key = bar._still.cacheKey()
    bar.set_frames({"athlete": 100, "model": 100}, "frame 100")
    assert bar.grab().toImage() != first
    assert bar._still.cacheKey() == key
    bar.set_active("model")
    bar.grab()
    assert bar._still.cacheKey() != key


def test_warming_is_seen_until_it_is_done(bar):
    still = bar.grab().toImage()
    bar.set_warming("athlete", 0.5)
    assert bar.grab().toImage() != still
    bar.set_warming("athlete", 1.0)
    assert bar.grab().toImage() == still


def test_an_empty_bar_is_quiet(qtbot):
    bar = ScrubBar()
    qtbot.addWidget(bar)
    bar.resize(600, 200)
    frames = heard(bar.frame_requested)
    press(bar, QPointF(300, 60))
    tap(bar, Qt.Key.Key_Right)
    turn_wheel(bar, QPointF(300, 60), 1)
    assert not bar.grab().isNull()
    assert frames == []


@pytest.fixture
def haunted(bar):
    """The bar with release suggested and not marked."""
    ghost = Ghost(place=0.75, low=0.74, high=0.76, text="Suggested: release")
    marks = {key: place for key, place in MARKS.items() if key != "release"}
    row = replace(row_of(), marks=marks, suggested={"release": ghost})
    bar.set_scene(ScrubScene((row, row_of("model"))))
    return bar


def test_a_click_on_a_ghost_accepts_it_and_does_not_go_to_a_flag(haunted):
    chosen, gone = heard(haunted.suggestion_chosen), heard(haunted.event_chosen)
    click(haunted, place(haunted, 180, FLAGS_HEIGHT - 4.0))
    assert chosen == [("athlete", "release")]
    assert gone == []
    click(haunted, place(haunted, 144, FLAGS_HEIGHT - 4.0))
    assert gone == [("foot_contact",)]
    assert len(chosen) == 1


def test_a_ghost_is_not_dragged(haunted):
    moved, chosen = heard(haunted.mark_moved), heard(haunted.suggestion_chosen)
    flag = place(haunted, 180, FLAGS_HEIGHT - 4.0)
    drag(haunted, [flag, place(haunted, 190, 20.0), place(haunted, 210, 20.0)])
    assert moved == []
    assert chosen == []


def test_the_pointer_on_a_ghost_says_what_is_suggested(haunted):
    move(haunted, place(haunted, 180, FLAGS_HEIGHT - 4.0))
    assert haunted._hovered == "release"
    assert haunted.cursor().shape() == Qt.CursorShape.PointingHandCursor
    assert QToolTip.text() == "Suggested: release"


def test_a_ghost_at_the_shown_frame_is_lit_and_is_no_mark_to_remove(haunted):
    removed = heard(haunted.mark_removed)
    haunted.set_frames({"athlete": 180}, "")
    assert haunted._ghost_here() == "release"
    tap(haunted, Qt.Key.Key_Delete)
    assert removed == []


def test_who_shows_the_same_axis_hears_when_it_changes(bar):
    spans = heard(bar.span_changed)
    bar.zoom(2.0, 0.5)
    bar.show_all()
    bar.resize(800, 260)
    assert len(spans) == 3
    assert bar.layout_now().low == bar.scene.used_span[0]
