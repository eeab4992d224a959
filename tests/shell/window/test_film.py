"""Ball, falling ball and time of the clip, beside the stages, by hand and by key."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QPushButton

from deliverylab.core.model.changes import SetDelivery, replace
from deliverylab.core.model.timing import TimeDoubt, TimeRepair
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.video.writer import write_clip
from deliverylab.shell.dialogs.ball import BallPanel
from deliverylab.shell.dialogs.clip_time import ClipTimePanel
from deliverylab.shell.dialogs.fall import FallPanel
from deliverylab.shell.dialogs.scale import ScalePanel
from deliverylab.shell.widgets.look_card import LookCard
from tests.core.metrics.flown import discs, even, flown, thrown_m
from tests.shell.conftest import MARKS_A, SCALE, camera_of, delivery_of
from tests.shell.gestures import click
from tests.shell.thrown import fallen, thrown

N_FRAMES, RELEASE_FRAME, RATE_HZ = 24, 6, 240


@pytest.fixture(scope="module")
def filmed(tmp_path_factory):
    """Return a delivery whose clip shows a bright disc where the ball flies."""
    frames = np.arange(RELEASE_FRAME + 1, N_FRAMES)
    places = thrown_m((frames - RELEASE_FRAME) / RATE_HZ)
    timing = even(N_FRAMES, RATE_HZ)
    delivery = flown(places, timing, frames, release_s=RELEASE_FRAME / RATE_HZ, radar_m_s=38.0)
    camera = delivery.cameras[0]
    pictures = discs(delivery, N_FRAMES)
    path = write_clip(tmp_path_factory.mktemp("ball") / "side.mp4", pictures, rate=RATE_HZ)
    camera = replace(camera, clip=clip_reference(path, None), tracks={})
    return replace(delivery, cameras=(camera,))


@pytest.fixture
def show(window, session):
    def put(delivery):
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
        session.select("athlete", delivery.name)
        return window

    return put


def press(button, qtbot):
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def test_one_key_finds_the_ball_and_undo_takes_it_back(show, session, filmed, qtbot):
    window = show(filmed)
    canvas = window.stages["athlete"].canvas
    canvas.setFocus()
    qtbot.keyClick(canvas, Qt.Key.Key_B)
    assert isinstance(window.tool, BallPanel)
    qtbot.waitUntil(lambda: len(session.camera("athlete").track("ball")) > 3, timeout=20_000)
    qtbot.waitUntil(lambda: "agree within" in window.tool.speed.text)
    assert window.tool.answer.text.startswith("Found in")
    assert "by radar" in window.tool.speed.text
    assert session.state("athlete").frame == RELEASE_FRAME + 1
    assert window.stages["athlete"].canvas.scene.annotations
    window.notices._button.click()
    assert len(session.camera("athlete").track("ball")) == 0
    # an answer of a search does not outlive what it was about
    qtbot.waitUntil(lambda: not window.tool.answer.text)


def test_what_is_missing_for_the_search_is_said_in_the_panel(show, qtbot):
    window = show(delivery_of("Bo 1", marks=MARKS_A))
    window.find_ball()
    assert "how large the ball is" in window.tool.problem.text().lower()
    press(window.tool.done, qtbot)
    assert window.tool is None
    assert window.right.currentIndex() == 0


def test_the_ball_is_placed_by_a_click_a_frame(show, session, qtbot):
    truth = thrown(240.0)
    window = show(replace(truth, cameras=(replace(truth.cameras[0], tracks={}),)))
    window.place_ball()
    canvas = window.stages["athlete"].canvas
    for frame in range(7, 12):
        assert session.state("athlete").frame == frame
        assert str(frame) in canvas.scene.request.name
        place = truth.cameras[0].track("ball").at(frame)
        click(canvas, canvas.view.to_widget(place.x_px, place.y_px))
    # a frame left out by key is asked for in its turn
    qtbot.keyClick(canvas, Qt.Key.Key_Period)
    assert "13" in canvas.scene.request.name
    qtbot.keyClick(canvas, Qt.Key.Key_Escape)
    assert not canvas.is_picking
    assert session.camera("athlete").track("ball").frames.tolist() == [7, 8, 9, 10, 11]
    qtbot.waitUntil(lambda: "from the clip" in window.tool.speed.text)
    press(window.tool.take_away, qtbot)
    assert len(session.camera("athlete").track("ball")) == 0
    session.undo()
    assert len(session.camera("athlete").track("ball")) == 5


def test_the_kind_of_ball_is_chosen_in_the_panel(show, session):
    window = show(thrown(240.0))
    window.place_ball()
    window.tool.kind.setCurrentIndex(window.tool.kind.findData("softball-12"))
    window.tool.kind.activated.emit(window.tool.kind.currentIndex())
    assert session.delivery("athlete").ball == "softball-12"
    session.undo()
    assert session.delivery("athlete").ball == "baseball"


def test_radar_and_ball_offer_the_rate_and_one_press_sets_it(show, session, qtbot):
    window = show(thrown(30.0))
    window.place_ball()
    press(window.tool.speed.button, qtbot)
    assert session.camera("athlete").timing.capture_rate_hz == 240.0
    qtbot.waitUntil(lambda: "agree within" in window.tool.speed.text)
    window.notices._button.click()
    assert session.camera("athlete").timing.capture_rate_hz == 30.0


def test_a_falling_ball_tells_g_and_offers_the_rate(show, session, qtbot):
    window = show(fallen(120.0))
    window.check_fall()
    panel = window.tool
    assert isinstance(panel, FallPanel)
    assert (panel.first_frame, panel.last_frame) == (10, 70)
    assert panel.verdict.text.startswith("Your g is 2.4")
    press(panel.verdict.button, qtbot)
    qtbot.waitUntil(lambda: panel.verdict.text.startswith("Your g is 9.8"))
    assert "lies within your ±" in panel.verdict.text
    assert "same settings need it too" in window.notices.text
    session.show_frame("athlete", 30)
    press(panel.end, qtbot)
    assert (panel.first_frame, panel.last_frame) == (10, 30)
    assert "0.2 s or more" in panel._missing.text()


def test_a_fall_is_clicked_in_about_ten_frames(show, session):
    truth = fallen(240.0)
    window = show(replace(truth, cameras=(replace(truth.cameras[0], tracks={}),)))
    window.check_fall()
    window.tool.first_frame, window.tool.last_frame = 10, 70
    window.tool.place_by_hand()
    canvas = window.stages["athlete"].canvas
    for n in range(11):
        place = truth.cameras[0].track("ball").at(10 + 6 * n)
        click(canvas, canvas.view.to_widget(place.x_px, place.y_px))
    assert not canvas.is_picking
    assert session.camera("athlete").track("ball").frames.tolist() == list(range(10, 71, 6))


def test_a_search_for_a_fall_that_cannot_be_made_says_why(show, qtbot):
    window = show(fallen(240.0))
    window.check_fall()
    press(window.tool.look, qtbot)
    qtbot.waitUntil(lambda: bool(window.tool.problem.text()))
    assert "there is no clip" in window.tool.problem.text().lower()
    assert window.tool.look.isEnabled()


def test_the_clips_time_is_seen_and_corrected(show, session, qtbot):
    doubt = TimeDoubt(kind="ramp", frames=((3, 9),), reason="it slows down", remedy="film anew")
    repair = TimeRepair(times_s=tuple(k / 240 for k in range(240)), note="two pictures repeat")
    camera = camera_of(scale=SCALE, marks=MARKS_A)
    timing = replace(camera.timing, repair=repair, doubts=(doubt,))
    window = show(delivery_of("Bo 1", cameras=(replace(camera, timing=timing),)))
    window.show_clip_time()
    panel = window.tool
    assert isinstance(panel, ClipTimePanel)
    assert [card.button.text() for card in panel.cards] == ["Measure as stored", "Trust the clip"]
    press(panel.cards[0].button, qtbot)
    qtbot.waitUntil(lambda: len(panel.cards) == 1)
    assert session.camera("athlete").timing.repair is None
    qtbot.keyClicks(panel.read_out, "14,4")
    qtbot.keyClicks(panel.u_read_out, "4")
    panel.u_read_out.editingFinished.emit()
    camera = session.camera("athlete")
    assert (camera.row_time_s, camera.u_row_time_s) == pytest.approx((2e-5, 0.002 / 720))
    n_steps = session.undo_stack.count()
    panel.u_read_out.editingFinished.emit()
    assert session.undo_stack.count() == n_steps
    panel.read_out.setText("2000")
    panel.read_out.editingFinished.emit()
    assert "so slowly" in panel.problem.text()
    panel.read_out.setText("slow")
    panel.read_out.editingFinished.emit()
    assert "number" in panel.problem.text()
    assert not panel.look.isEnabled()
    panel.read_out.setText("")
    panel.read_out.editingFinished.emit()
    assert session.read_out_s("athlete")[0] == 0.0


def test_an_offer_in_the_list_of_looks_is_done_at_one_press_and_undone(show, session, qtbot):
    marks = {"leg_lift": 0.1, "foot_contact": 0.2, "release": 0.2 + 8 * 0.1}
    window = show(delivery_of("Bo 1", marks=marks))
    window.checklist.refresh()
    card = next(
        one for one in window.checklist.findChildren(LookCard) if one.findChild(QPushButton)
    )
    press(card.findChild(QPushButton), qtbot)
    assert session.camera("athlete").timing.capture_rate_hz == 960.0
    assert "960 a second" in window.notices.text
    window.notices._button.click()
    assert session.camera("athlete").timing.capture_rate_hz is None


def test_one_panel_at_a_time(show, session):
    window = show(delivery_of("Bo 1", marks=MARKS_A, scale=SCALE))
    window.set_scale("athlete")
    window.show_clip_time()
    assert window.scale_panel is None
    window.place_ball()
    assert isinstance(window.tool, BallPanel)
    window.set_scale("athlete")
    assert window.tool is None
    assert isinstance(window.scale_panel, ScalePanel)
    canvas = window.stages["athlete"].canvas
    canvas.points_picked.emit([(1.0, 2.0)])
    assert len(session.camera("athlete").track("ball")) == 0
    window.close_scale()
    window.check_fall()
    session.remove_delivery("Bo 1")
    assert window.tool is None


def test_a_click_beside_a_hand_in_motion_is_no_ball_of_the_other_stage(show, session):
    show(delivery_of("Kim 1", marks=MARKS_A, scale=SCALE))
    window = show(delivery_of("Bo 1", marks=MARKS_A, scale=SCALE))
    session.select("model", "Kim 1")
    session.activate("athlete")
    window.place_ball()
    click(window.stages["model"].canvas, QPointF(50, 50))
    assert len(session.camera("athlete").track("ball")) == 0
