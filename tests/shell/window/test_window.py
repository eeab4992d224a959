from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QFileDialog

from deliverylab.core.model.changes import replace
from deliverylab.core.model.plan import Plan, Priority
from deliverylab.core.vocabulary.events import EVENTS
from deliverylab.shell.dialogs.new_delivery import NewDeliveryDialog
from deliverylab.shell.dialogs.work_on import WorkOnPanel
from tests.shell.conftest import MARKS_A, SCALE, delivery_of, figure_tracks

ALL_MARKS = {
    "leg_lift": 0.1,
    "foot_contact": 0.6,
    "foot_plant": 0.625,
    "full_layback": 0.725,
    "release": 0.75,
}


def test_it_begins_by_asking_for_a_clip(window, clip, monkeypatch):
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(clip), ""))
    window.do_next()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, NewDeliveryDialog)
    dialog.reject()


def test_the_scale_comes_next(window, session):
    session.add_delivery(delivery_of("Bo 1"))
    window.do_next()
    assert window.scale_panel is not None


def test_events_are_led_through_one_by_one(window, session):
    session.add_delivery(delivery_of("Bo 1", scale=SCALE))
    window.do_next()
    for event in (event for event in EVENTS if event.key_instant):
        assert f"find {event.name}" in window.notices.text
        session.show_frame("athlete", round(240 * ALL_MARKS[event.key]))
        window.notices._button.click()
        assert session.camera("athlete").marks[event.key].time_s == ALL_MARKS[event.key]
    window.checklist.refresh()
    assert window.checklist.next_step == "landmarks"


def test_landmarks_are_led_through_event_by_event(window, session, qtbot):
    session.add_delivery(delivery_of("Bo 1", scale=SCALE, marks=ALL_MARKS))
    window.do_next()
    assert session.state("athlete").frame == 24
    # those that results need there, and then by itself the event that gives most results
    for _ in range(16):
        session.place_landmark("athlete", session.next_landmark("athlete"), 100, 100)
    assert session.state("athlete").frame == 180
    assert session.next_landmark("athlete") == "head_top"


def test_the_side_that_lacks_something_is_turned_to(window, pair):
    window.set_scale("model")
    window.close_scale()
    pair.set_scale("model", None)
    pair.activate("athlete")
    window.do_step("scale")
    assert window.scale_panel.side == "model"


@pytest.mark.parametrize(
    "step", ["clip", "scale", "events", "landmarks", "compare", "plan", "page"]
)
def test_every_step_can_be_pressed_at_any_time(window, placed_pair, step, monkeypatch, qtbot):
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: ("", ""))
    window.do_step(step)
    is_page = window.centre.currentWidget() is window.page
    assert is_page == (step == "page")
    if step == "page":
        qtbot.waitUntil(lambda: bool(window.page.pdf), timeout=20_000)


def test_a_partner_the_plan_and_the_page_come_last(window, session, qtbot):
    frames = [round(240 * time_s) for time_s in ALL_MARKS.values()]
    full = {"scale": SCALE, "marks": ALL_MARKS, "tracks": figure_tracks(frames)}
    session.add_delivery(delivery_of("Bo 1", **full))
    window.checklist.refresh()
    assert window.checklist.next_step == "compare"
    session.add_delivery(delivery_of("Kim 4", **full))
    window.checklist.refresh()
    # the same figure again: nothing differs, so that nothing is planned
    assert window.checklist.next_step == "page"
    session.add_delivery(
        delivery_of("Lou 2", **full | {"scale": replace(SCALE, length_m=0.8 * SCALE.length_m)})
    )
    session.set_pair("Bo 1", "Lou 2")
    window.do_next()
    assert isinstance(window.tool, WorkOnPanel)
    session.set_plan(Plan(priorities=(Priority(metric="stride_length", way="more"),)))
    window.do_next()
    assert window.centre.currentWidget() is window.page
    qtbot.waitUntil(lambda: bool(window.page.pdf), timeout=20_000)


def test_marks_that_are_odd_are_questioned_on_the_left(window, session):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A | {"finish": 0.2}))
    window.checklist.refresh()
    assert any(look.level == "caution" for look in window.checklist.looks)


class Paints(QObject):
    """Counts how often a widget is painted."""

    def __init__(self, widget):
        super().__init__(widget)
        self.n_paints = 0
        widget.installEventFilter(self)

    def eventFilter(self, _watched, event):  # noqa: N802 - Qt calls it
        self.n_paints += event.type() == QEvent.Type.Paint
        return False


def test_a_moved_point_is_painted_once_with_its_numbers_and_on_its_stage_only(
    window, placed_pair, qtbot
):
    placed_pair.go_to_event("foot_contact")
    qtbot.wait(100)
    own, others = (Paints(window.stages[side].canvas) for side in ("athlete", "model"))
    row = window.readings.rows["lead_knee_flexion", "foot_contact"]
    before = row._face.number
    placed_pair.begin_gesture()
    for number in range(1, 6):
        placed_pair.place_landmark("athlete", "left_knee", 757.0 + 2 * number, 500.0)
        QApplication.processEvents()
    placed_pair.end_gesture()
    qtbot.wait(30)
    assert row._face.number != before
    assert own.n_paints == 5
    assert others.n_paints == 0
