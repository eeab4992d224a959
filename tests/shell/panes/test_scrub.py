from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.core.model.changes import SetDelivery
from deliverylab.shell.drawing.scrub_scene import FLAGS_HEIGHT
from deliverylab.shell.panes.scrub import ScrubPane
from tests.shell.conftest import MARKS_A, SCALE, delivery_of, figure_tracks
from tests.shell.gestures import drag, tap


@pytest.fixture
def pane(qtbot, pair):
    """The pane over a session with two deliveries."""
    made = ScrubPane(pair)
    qtbot.addWidget(made)
    made.resize(1000, 320)
    made.show()
    qtbot.waitExposed(made)
    return made


def place(pane: ScrubPane, frame: float, y: float) -> QPointF:
    return QPointF(pane.bar.layout_now().x_of(frame / 240.0), y)


def test_scrubbing_one_shows_the_other_at_the_same_phase(pair, pane):
    y = pane.bar.layout_now().row_rect(0).center().y()
    drag(pane.bar, [place(pane, 30, y), place(pane, 100, y)])
    assert pair.state("athlete").frame == 100
    # as near as its own frames allow
    assert pair.phase("model") == pytest.approx(pair.phase("athlete"), abs=0.6)
    places = pane.bar._places()
    assert places["model"] == pytest.approx(places["athlete"], abs=1.3 / 240.0)


def test_unlinked_the_other_stays(pair, pane):
    pane._link.click()
    assert not pair.is_linked
    before = pair.state("model").frame
    tap(pane.bar, Qt.Key.Key_Right)
    assert pair.state("athlete").frame == 1
    assert pair.state("model").frame == before
    pane._link.click()
    assert pair.is_linked


def test_keys_go_from_event_to_event(pair, pane):
    seen = []
    for _ in range(3):
        tap(pane.bar, Qt.Key.Key_Down)
        seen.append(pair.event_at_frame("athlete"))
    assert seen == ["leg_lift", "foot_contact", "release"]
    pane._before.click()
    assert pair.event_at_frame("athlete") == "foot_contact"


def test_a_dragged_flag_moves_the_mark_in_one_step(pair, pane):
    n_steps = pair.undo_stack.count()
    flag = place(pane, 240 * MARKS_A["foot_contact"], FLAGS_HEIGHT - 6.0)
    drag(pane.bar, [flag, place(pane, 146, 20), place(pane, 149, 20), place(pane, 150, 20)])
    assert pair.camera("athlete").marks["foot_contact"].time_s == pytest.approx(150 / 240)
    assert pair.state("athlete").frame == 150
    assert pair.undo_stack.count() == n_steps + 1
    pair.undo()
    assert pair.camera("athlete").marks["foot_contact"].time_s == MARKS_A["foot_contact"]
    assert pane.bar.scene.row("athlete").marks["foot_contact"] == MARKS_A["foot_contact"]


def test_an_event_is_marked_from_the_menu(pair, pane):
    pair.show_frame("athlete", 148)
    pane._on_mark_menu_opened()
    actions = {one.text().partition("\t")[0]: one for one in pane._mark.menu().actions()}
    assert "foot contact  (0.600 s)" in actions
    actions["foot plant"].trigger()
    assert pair.camera("athlete").marks["foot_plant"].time_s == pytest.approx(148 / 240)
    assert "foot_plant" in pane.bar.scene.row("athlete").marks


def test_the_next_event_is_asked_for_with_its_cue(pair, pane):
    assert "foot plant" in pane.hint
    assert "the ankle has stopped" in pane.hint
    pair.activate("model")
    pair.remove_mark("model", "foot_contact")
    assert "first frame in which the shoe touches" in pane.hint


def test_a_press_on_the_other_row_makes_it_the_active_one(pair, pane):
    y = pane.bar.layout_now().row_rect(1).center().y()
    drag(pane.bar, [place(pane, 100, y), place(pane, 101, y)])
    assert pair.active_side == "model"
    assert pane.bar.active == "model"


def test_coverage_follows_what_is_placed(pair, pane, qtbot):
    pair.show_frame("athlete", 60)
    pair.place_landmark("athlete", "left_knee", 300.0, 300.0)
    qtbot.waitUntil(lambda: pane.bar.scene.row("athlete").coverage[60] > 0.0)
    assert pane.bar.scene.row("athlete").coverage[60] == pytest.approx(1 / 20)


def test_the_first_curve_that_can_be_drawn_is_drawn_until_one_is_chosen(session, qtbot):
    tracks = figure_tracks(list(range(10, 220)))
    delivery = delivery_of("Bo 1", marks=MARKS_A, scale=SCALE, tracks=tracks)
    session.project.apply(SetDelivery(name="Bo 1", delivery=delivery))
    pane = ScrubPane(session)
    qtbot.addWidget(pane)
    assert len(pane.bar.scene.curves) == 1
    index = pane.curve_chooser.findData("lead_knee_flexion")
    pane.curve_chooser.setCurrentIndex(index)
    pane.curve_chooser.activated.emit(index)
    assert "knee" in pane.bar.scene.curve_name.lower()
    session.mark_event("athlete", "foot_plant", 0.61)
    assert pane.curve_chooser.currentIndex() == index


def test_an_empty_session_offers_nothing(session, qtbot):
    pane = ScrubPane(session)
    qtbot.addWidget(pane)
    assert not pane._mark.isEnabled()
    assert pane.bar.scene.rows == ()


def test_a_dragged_end_trims_the_clip_in_one_step_and_can_be_let_out_again(pair, pane):
    y = pane.bar.layout_now().row_rect(0).center().y()
    end = QPointF(pane.bar.layout_now().x_of(239 / 240.0) + 4.0, y)
    n_steps = pair.undo_stack.count()
    drag(pane.bar, [end, place(pane, 220, y), place(pane, 200, y)])
    assert pair.camera("athlete").end_frame == 200
    assert pair.undo_stack.count() == n_steps + 1
    pair.show_frame("athlete", 230)
    assert pair.state("athlete").frame == 200
    end = QPointF(pane.bar.layout_now().x_of(200 / 240.0) + 4.0, y)
    drag(pane.bar, [end, place(pane, 205, y), place(pane, 210, y)])
    assert pair.camera("athlete").end_frame == 210
    pair.undo()
    pair.undo()
    assert pair.camera("athlete").last_frame is None


def test_a_trim_that_would_cut_a_mark_off_is_refused_aloud(pair, pane):
    y = pane.bar.layout_now().row_rect(0).center().y()
    end = QPointF(pane.bar.layout_now().x_of(239 / 240.0) + 4.0, y)
    drag(pane.bar, [end, place(pane, 100, y)])
    assert pair.camera("athlete").last_frame is None
    assert "would be cut off" in pane.notice.text
