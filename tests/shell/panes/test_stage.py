"""The stage with a real session: what the hand does becomes edits, what is edited is drawn."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.store.projectfile import clip_reference
from deliverylab.core.video.writer import write_clip
from deliverylab.shell.drawing.annotations import ScaleLine
from deliverylab.shell.panes.stage import StagePane
from tests.shell.conftest import MARKS_A, MARKS_B, SCALE, camera_of, delivery_of, figure_tracks
from tests.shell.filmed_twice import named, put
from tests.shell.gestures import click, drag, move, press, release, tap

N_FRAMES = 24


@pytest.fixture
def stages(qtbot, pair):
    """Both stages over a session with two deliveries without clips."""
    made = [StagePane(pair, "athlete"), StagePane(pair, "model")]
    for pane in made:
        qtbot.addWidget(pane)
        pane.resize(640, 520)
        pane.show()
    yield made
    for pane in made:
        pane.release()


def place(pane: StagePane, x_px: float, y_px: float) -> QPointF:
    return pane.canvas.view.to_widget(x_px, y_px)


def position(session, side: str, key: str):
    return session.camera(side).track(key).at(session.state(side).frame)


def test_a_click_places_the_landmark_that_is_asked_for(pair, stages):
    pane = stages[0]
    key = pair.next_landmark("athlete")
    assert "top of head" in pane.canvas.scene.request.name
    click(pane.canvas, place(pane, 490.25, 261.5))
    assert position(pair, "athlete", key)[:2] == pytest.approx((490.25, 261.5), abs=1e-6)
    assert key in pane.canvas.scene.points
    assert "neck" in pane.canvas.scene.request.name
    assert pane.canvas.scene.chosen == key, "the last one placed is the one that nudges move"


def test_a_drag_is_one_step_to_undo(pair, stages):
    pane = stages[0]
    pair.place_landmark("athlete", "left_knee", 660.0, 500.0)
    n_steps = pair.undo_stack.count()
    start = place(pane, 660.0, 500.0)
    drag(pane.canvas, [start, *(start + QPointF(6.0 * n, 3.0 * n) for n in range(1, 9))])
    moved = position(pair, "athlete", "left_knee")
    assert moved.x_px == pytest.approx(660.0 + 48.0 / pane.canvas.view.zoom)
    assert pair.undo_stack.count() == n_steps + 1
    pair.undo()
    assert position(pair, "athlete", "left_knee")[:2] == (660.0, 500.0)
    assert pane.canvas.scene.points["left_knee"][:2] == (660.0, 500.0)


def test_two_drags_are_two_steps(pair, stages):
    pane = stages[0]
    pair.place_landmark("athlete", "left_knee", 660.0, 500.0)
    n_steps = pair.undo_stack.count()
    for _ in range(2):
        at = position(pair, "athlete", "left_knee")
        start = place(pane, at.x_px, at.y_px)
        drag(pane.canvas, [start, start + QPointF(20, 0)])
    assert pair.undo_stack.count() == n_steps + 2


def test_readings_are_due_with_every_move_of_a_drag(pair, stages, qtbot):
    pane = stages[0]
    pair.place_landmark("athlete", "left_knee", 660.0, 500.0)
    start = place(pane, 660.0, 500.0)
    press(pane.canvas, start)
    with qtbot.waitSignal(pair.results_updated, timeout=1000):
        move(pane.canvas, start + QPointF(20, 0), buttons=Qt.MouseButton.LeftButton)
    release(pane.canvas, start + QPointF(20, 0))


def test_nudges_go_to_the_stage_that_has_the_keyboard(pair, stages):
    pane = stages[1]
    pair.set_mirrored(False)
    click(pane.canvas, place(pane, 300.0, 300.0))
    assert pair.active_side == "model"
    key = pair.current_landmark("model")
    tap(pane.canvas, Qt.Key.Key_Right)
    tap(pane.canvas, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert position(pair, "model", key)[:2] == pytest.approx((301.0, 310.0), abs=1e-6)


def test_skip_hide_and_remove_reach_the_session(pair, stages):
    canvas = stages[0].canvas
    first = pair.next_landmark("athlete")
    tap(canvas, Qt.Key.Key_S)
    second = pair.next_landmark("athlete")
    assert second != first
    tap(canvas, Qt.Key.Key_H)
    assert pair.camera("athlete").is_occluded(second, 0)
    assert canvas.scene.points[second].state == "hidden"
    click(canvas, place(stages[0], 300.0, 300.0))
    placed = pair.current_landmark("athlete")
    tap(canvas, Qt.Key.Key_Delete)
    assert position(pair, "athlete", placed) is None


def test_a_left_hander_is_drawn_mirrored_and_placed_where_the_frame_has_it(pair, stages):
    pane = stages[1]
    assert pane.canvas.view.is_mirrored
    assert not stages[0].canvas.view.is_mirrored, "the athlete is right-handed"
    assert "drawn mirrored" in pane.header.facts
    key = pair.next_landmark("model")
    assert key == "head_top"
    click(pane.canvas, place(pane, 900.5, 300.25))
    assert position(pair, "model", key)[:2] == pytest.approx((900.5, 300.25), abs=1e-6)
    assert place(pane, 900.0, 0.0).x() < pane.canvas.width() / 2


def test_linked_stages_show_the_same_phase(pair, stages):
    pair.show_frame("athlete", 100)
    assert pair.phase("athlete") == pytest.approx(pair.phase("model"), abs=0.5)
    assert f"frame {pair.state('model').frame} of 239" in stages[1].header.place
    assert "frame 100 of 239" in stages[0].header.place


def test_the_event_is_named_on_its_frame(pair, stages):
    pair.go_to_event("foot_contact")
    assert stages[0].canvas.scene.tag == "foot contact"
    pair.step(1)
    assert stages[0].canvas.scene.tag == ""


def test_the_knee_angle_stands_at_the_knee(qtbot, session):
    frame = round(MARKS_A["foot_contact"] * 240)
    tracks = figure_tracks(list(range(frame - 20, frame + 21)))
    delivery = delivery_of("Bo 1", marks=MARKS_A, scale=SCALE, tracks=tracks)
    session.project.apply(SetDelivery(name="Bo 1", delivery=delivery))
    pane = StagePane(session, "athlete")
    qtbot.addWidget(pane)
    session.go_to_event("foot_contact")
    drawn = {type(one).__name__: one for one in pane.canvas.scene.annotations}
    shown = [
        one
        for one in session.results("athlete")
        if one.metric == "lead_knee_flexion" and one.event == "foot_contact" and one.is_shown
    ]
    assert shown
    assert drawn["ScaleLine"].text == "1.50 m"
    marks = {mark.metric: mark for mark in drawn["MeasureMarks"].marks}
    knee = delivery.cameras[0].track("left_knee").at(frame)
    assert marks["lead_knee_flexion"].corner == (knee.x_px, knee.y_px)
    session.set_measures(False)
    assert "MeasureMarks" not in {type(one).__name__ for one in pane.canvas.scene.annotations}


def test_the_model_is_laid_over_the_athlete_when_that_is_wanted(qtbot, session):
    for name, marks in (("Bo 1", MARKS_A), ("Kim", MARKS_B)):
        tracks = figure_tracks(list(range(240)))
        delivery = delivery_of(name, marks=marks, scale=SCALE, tracks=tracks)
        session.project.apply(SetDelivery(name=name, delivery=delivery))
    session.set_pair("Bo 1", "Kim")
    pane = StagePane(session, "athlete")
    qtbot.addWidget(pane)
    pane.show()
    assert not pane.canvas.scene.ghost
    pane.header._overlay.click()
    session.show_frame("athlete", 100)
    ghost = dict(pane.canvas.scene.ghost)
    assert ghost
    session.set_linked(False)
    session.show_frame("model", 30)
    assert pane.canvas.scene.ghost.keys() == ghost.keys()
    before = pane.canvas.scene.ghost["left_knee"]
    session.place_landmark("model", "left_knee", 700.0, 520.0)
    assert pane.canvas.scene.ghost["left_knee"] != before
    pane.header._overlay.click()
    assert not pane.canvas.scene.ghost
    session.select("model", None)
    assert pane.header._overlay.isHidden()


def test_what_does_not_fit_is_said_and_not_raised(qtbot, session):
    pane = StagePane(session, "athlete")
    qtbot.addWidget(pane)
    pane.canvas.landmark_placed.emit("left_knee", 3.0, 4.0)
    assert "no delivery here" in pane.notice._text.text()


def test_another_delivery_is_chosen_in_the_header(pair, stages):
    pair.add_delivery(delivery_of("Bo 2"), side="athlete")
    stages[0].header.delivery_chosen.emit("Bo 1")
    assert pair.state("athlete").delivery == "Bo 1"
    stages[1].header.delivery_chosen.emit("")
    assert pair.delivery("model") is None
    assert stages[1].header.facts == "Nothing here yet"


# --------------------------------------------------------------------------------------- clips


@pytest.fixture
def filmed(qtbot, session, tmp_path):
    """A stage with a delivery of a small clip whose frames tell their index by their grey."""
    pictures = [np.full((72, 128, 3), 8 * frame + 20, np.uint8) for frame in range(N_FRAMES)]
    path = write_clip(tmp_path / "bo.mp4", pictures, 240)
    camera = camera_of(n_frames=N_FRAMES)
    camera = msgspec.structs.replace(
        camera, width_px=128, height_px=72, clip=clip_reference(path, tmp_path / "a.delivery")
    )
    session.path = tmp_path / "a.delivery"
    delivery = delivery_of("Bo 1", cameras=(camera,))
    session.project.apply(SetDelivery(name="Bo 1", delivery=delivery))
    pane = StagePane(session, "athlete")
    qtbot.addWidget(pane)
    pane.resize(400, 320)
    pane.show()
    yield pane
    pane.release()


def level(pane: StagePane) -> int:
    image = pane.canvas.scene.layer.image
    return -1 if image.isNull() else image.pixelColor(30, 30).green()


def test_the_stage_shows_the_frame_that_the_session_shows(filmed, session, qtbot):
    for frame in (5, 17, 16):
        session.show_frame("athlete", frame)
        qtbot.waitUntil(lambda: filmed.canvas.is_exact, timeout=20_000)
        # 8-bit colour conversion there and back costs a level or two
        assert level(filmed) == pytest.approx(8 * frame + 20, abs=3)


def test_a_place_is_taken_on_the_exact_frame_only(filmed, session, qtbot):
    qtbot.waitUntil(lambda: filmed.canvas.is_exact, timeout=20_000)
    session.show_frame("athlete", 9)
    filmed.canvas.is_exact = False
    click(filmed.canvas, place(filmed, 64.0, 36.0))
    key = session.current_landmark("athlete") or session.next_landmark("athlete")
    qtbot.waitUntil(lambda: position(session, "athlete", key) is not None, timeout=20_000)
    assert filmed.canvas.is_exact
    assert level(filmed) == pytest.approx(8 * 9 + 20, abs=3)


def test_a_clip_that_has_moved_can_be_looked_for(qtbot, session, tmp_path):
    path = write_clip(tmp_path / "bo.mp4", [np.zeros((72, 128, 3), np.uint8)] * 3, 240)
    session.path = tmp_path / "a.delivery"
    camera = camera_of(n_frames=3)
    camera = msgspec.structs.replace(camera, clip=clip_reference(path, session.path))
    path.unlink()
    delivery = delivery_of("Bo 1", cameras=(camera,))
    session.project.apply(SetDelivery(name="Bo 1", delivery=delivery))
    pane = StagePane(session, "athlete")
    qtbot.addWidget(pane)
    pane.show()
    assert "bo.mp4" in pane.notice.text
    asked = []
    pane.relink_requested.connect(asked.append)
    pane.notice._button.click()
    assert asked == ["athlete"]
    # its measurements are there all the same
    session.place_landmark("athlete", "left_knee", 30.0, 30.0)
    assert "left_knee" in pane.canvas.scene.points


def test_a_trim_keeps_the_picture_and_warms_what_is_left(filmed, session, qtbot, monkeypatch):
    session.show_frame("athlete", 10)
    qtbot.waitUntil(lambda: filmed.canvas.is_exact, timeout=20_000)
    asked = []
    reopen = filmed.feed.open
    monkeypatch.setattr(
        filmed.feed, "open", lambda *arguments: (asked.append(arguments), reopen(*arguments))
    )
    session.set_trim("athlete", 4, 15)
    assert [arguments[1:] for arguments in asked] == [(4, 15)]
    assert level(filmed) == pytest.approx(8 * 10 + 20, abs=3), "no flash of the bare stage"
    assert not filmed.canvas.is_exact, "and yet nothing is placed on it before it is there again"
    warm = []
    filmed.warmed.connect(lambda _side, share: warm.append(share))
    qtbot.waitUntil(
        lambda: filmed.canvas.is_exact and bool(warm) and warm[-1] == 1.0, timeout=20_000
    )
    session.show_frame("athlete", 20)
    assert session.state("athlete").frame == 15


def test_no_ruler_is_drawn_where_the_cameras_are_solved(qtbot, session):
    delivery = named(3, "Ana 3")
    side, rear = delivery.cameras
    scaled = msgspec.structs.replace(
        delivery, cameras=(msgspec.structs.replace(side, scale=SCALE), rear)
    )
    drawn = {}
    for name, space in (("solved", delivery.space), ("not", None)):
        put(session, msgspec.structs.replace(scaled, name=name, space=space))
        session.select("athlete", name)
        pane = StagePane(session, "athlete")
        qtbot.addWidget(pane)
        kinds = {type(each) for each in pane.canvas.scene.annotations}
        drawn[name] = ScaleLine in kinds
    assert drawn == {"solved": False, "not": True}
