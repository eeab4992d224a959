from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.core.model.changes import replace
from deliverylab.shell.drawing.scrub_scene import FLAGS_HEIGHT
from deliverylab.shell.window.window import Window
from tests.shell.filmed_twice import named, put
from tests.shell.gestures import SHIFT, click, tap
from tests.shell.suggested import NOT_SEEN, suggest_on


def ghost_place(window: Window, event: str) -> QPointF:
    bar = window.scrub.bar
    ghost = bar.scene.row("athlete").suggested[event]
    return QPointF(bar.layout_now().x_of(ghost.place), FLAGS_HEIGHT - 4.0)


@pytest.fixture
def window(open_window, pair, qtbot):
    """A window on two deliveries, with two events suggested and on the bar."""
    made = open_window(pair)
    # the events are put there by hand: nothing else is looked for
    made.suggestion_watch._timer.blockSignals(True)
    suggest_on(pair, hand_break=0.3, foot_plant=0.62)
    qtbot.waitUntil(lambda: "suggested" in made.scrub.hint)
    qtbot.waitUntil(lambda: "suggested" in made.checklist.steps["events"].detail)
    return made


def test_tracks_become_marks_by_one_key(open_window, session, qtbot):
    """From solved clips without marks: one press of A, nothing before it."""
    put(session, named(3, "Ana 3"))
    delivery = session.delivery("athlete")
    for camera in delivery.cameras:
        session.project.replace_camera(delivery.name, replace(camera, marks={}))
    window = open_window(session)
    qtbot.waitUntil(lambda: len(session.open_suggestions("athlete")) == 6, timeout=10_000)
    tap(window.stages["athlete"].canvas, Qt.Key.Key_A)
    marks = session.camera("athlete").marks
    assert len(marks) == 6
    assert all(mark.u_s > 0.002 for mark in marks.values())
    assert session.undo_stack.count() == 1


def test_a_accepts_all_and_undo_takes_them_back(window, pair):
    assert window.message_line.hint.startswith("2 events are suggested: A accepts all")
    tap(window.stages["athlete"].canvas, Qt.Key.Key_A)
    assert {"hand_break", "foot_plant"} <= pair.camera("athlete").marks.keys()
    assert "2 events are marked" in window.notices.text
    assert not window.scrub.accept.isVisible()
    window.notices._button.click()
    assert "foot_plant" not in pair.camera("athlete").marks
    assert window.scrub.accept.isVisible()


def test_shift_a_accepts_the_nearest_and_shows_it(window, pair):
    pair.show_frame("athlete", 140)
    tap(window.stages["athlete"].canvas, Qt.Key.Key_A, SHIFT)
    assert pair.camera("athlete").marks["foot_plant"].u_s == 0.004
    assert "hand_break" not in pair.camera("athlete").marks
    assert pair.state("athlete").frame == pair.camera("athlete").timing.frame_at(0.62)
    assert window.notices.text.startswith("Foot plant is marked at 0.620 s ± 8 ms")


def test_a_click_on_a_ghost_accepts_and_shows_it(window, pair):
    click(window.scrub.bar, ghost_place(window, "hand_break"))
    assert pair.camera("athlete").marks["hand_break"].time_s == 0.3
    assert pair.state("athlete").frame == 72
    assert "foot_plant" not in pair.camera("athlete").marks


def test_the_step_of_events_shows_the_first_and_offers_all(window, pair):
    assert window.checklist.steps["events"].detail == "2 suggested: A accepts"
    assert NOT_SEEN in window.checklist.steps["events"].toolTip()
    window.do_step("events")
    assert pair.state("athlete").frame == 72
    assert "2 events are suggested" in window.notices.text
    window.notices._button.click()
    assert {"hand_break", "foot_plant"} <= pair.camera("athlete").marks.keys()


def test_the_button_beside_mark_here_accepts_all(window, pair):
    assert window.scrub.accept.text() == "Accept 2"
    assert "hand break: 0.300 s ± 8 ms" in window.scrub.accept.toolTip()
    assert NOT_SEEN in window.scrub._mark.toolTip()
    window.scrub.accept.click()
    assert len(pair.camera("athlete").marks) == 5


def test_what_does_not_fit_is_said_before_and_with_it(window, pair, qtbot):
    suggest_on(pair, full_layback=0.77)
    qtbot.waitUntil(lambda: window.scrub.accept.text() == "Accept 1")
    odd = "release is marked before full layback"
    assert odd in window.scrub.accept.toolTip()
    window.do_step("events")
    assert odd.capitalize() in window.notices.text
    tap(window.stages["athlete"].canvas, Qt.Key.Key_A)
    assert odd.capitalize() in window.notices.text
    assert window.notices.level == "caution"


def test_where_nothing_is_suggested_it_says_why(window, pair):
    suggest_on(pair)
    tap(window.stages["athlete"].canvas, Qt.Key.Key_A)
    assert window.notices.text.startswith("No other event is suggested.")
    assert NOT_SEEN in window.notices.text
    assert pair.undo_stack.count() == 0


def test_marking_asks_for_what_is_missing_where_nothing_is_suggested(window, pair, qtbot):
    suggest_on(pair)
    qtbot.waitUntil(lambda: "To mark next" in window.scrub.hint)
    assert window.scrub.hint.endswith(f"Not suggested: {NOT_SEEN}")
    window.scrub._on_mark_menu_opened()
    tips = {
        one.text().partition("\t")[0]: one.toolTip() for one in window.scrub._mark.menu().actions()
    }
    assert tips["finish"].endswith(f"Not suggested: {NOT_SEEN}")
