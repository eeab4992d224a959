"""The detector beside the stage: absent, with a box by hand, by a scan, stopped, and its queue."""

from __future__ import annotations

import threading

import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.core.workflow.detection import judged
from deliverylab.shell.dialogs.detecting import DetectPanel
from tests.core.tracking.posed import RedBoxNetwork, drawn
from tests.core.workflow.test_detection import _raw
from tests.core.workflow.walked import N_FRAMES, TORSO_PX, place
from tests.shell.detected import nobody_fetched_it, show_walk, stand_in
from tests.shell.gestures import CTRL, click, drag
from tests.shell.test_session_detecting import UnclearLead


def press(button, qtbot):
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


@pytest.fixture
def walking(window, session, tmp_path, qtbot):
    """The window with the walk on its stage, the first frame shown."""
    show_walk(session, tmp_path / "walk")
    canvas = window.stages["athlete"].canvas
    canvas.setFocus()
    qtbot.waitUntil(lambda: canvas.is_exact and not canvas.scene.layer.is_empty, timeout=10_000)
    return window


def n_detected(session):
    return sum(map(len, session.camera("athlete").tracks.values()))


def test_absent_it_is_said_in_plain_words_and_got_only_by_a_press(
    walking, session, monkeypatch, tmp_path, qtbot
):
    nobody_fetched_it(monkeypatch)
    n_fetched = []

    def fetch():
        n_fetched.append(1)
        stand_in(monkeypatch, tmp_path)

    monkeypatch.setattr("deliverylab.core.store.detector_files.fetch_detector", fetch)
    canvas = walking.stages["athlete"].canvas
    qtbot.keyClick(canvas, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    panel = walking.tool
    assert isinstance(panel, DetectPanel)
    assert not canvas.is_boxing
    assert panel.get.isVisible()
    assert not panel.start.isVisible()
    assert n_fetched == []
    press(panel.get, qtbot)
    assert not panel.working.stop.isVisible()
    qtbot.waitUntil(lambda: "is here" in panel.answer.text)
    assert n_fetched == [1]
    assert panel.start.isVisible()
    assert not panel.get.isVisible()


def test_key_drag_and_enter_detect_a_whole_clip(walking, session, monkeypatch, tmp_path, qtbot):
    stand_in(monkeypatch, tmp_path)
    session.show_frame("athlete", 15)
    canvas = walking.stages["athlete"].canvas
    qtbot.keyClick(canvas, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    assert canvas.is_boxing
    assert session.state("athlete").frame == 0
    (x_px, y_px), view = place(0), canvas.view
    corners = ((x_px - TORSO_PX, y_px - 60.0), (x_px + TORSO_PX, y_px + 62.0))
    drag(canvas, [view.to_widget(*corner) for corner in corners])
    panel = walking.tool
    assert session.detection_box("athlete") is not None
    assert "68 × 122 px" in panel._who.text()
    assert panel.start.hasFocus()
    qtbot.keyClick(panel.start, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: n_detected(session) > 300, timeout=20_000)
    assert "taken over, none left to you" in panel.answer.text
    assert not panel.queue.isVisible()
    walking.notices._button.click()
    assert n_detected(session) == 0


def test_what_waits_is_gone_through_by_one_key_and_one_click_each(
    walking, session, monkeypatch, tmp_path, qtbot
):
    stand_in(monkeypatch, tmp_path, UnclearLead())
    walking.show_detect()
    panel, canvas = walking.tool, walking.stages["athlete"].canvas
    press(panel.start, qtbot)
    assert not canvas.is_boxing
    qtbot.waitUntil(lambda: n_detected(session) > 300, timeout=20_000)
    qtbot.waitUntil(lambda: panel.queue.head == "Left to you: 2")
    assert len(panel.queue.cards) == 2
    canvas.setFocus()
    qtbot.keyClick(canvas, Qt.Key.Key_W)
    assert session.state("athlete").frame == 10
    assert session.next_landmark("athlete") == "left_ankle"
    assert panel.queue.head == "Left to you: 1 of 2"
    asked = canvas.scene
    qtbot.waitUntil(lambda: canvas.is_exact and asked.next_key == "left_ankle", timeout=10_000)
    # Ctrl: in a small canvas another point may lie under the pointer
    click(canvas, canvas.view.to_widget(150, 175), keys=CTRL)
    assert session.camera("athlete").track("left_ankle").at(10).origin == "placed"

    # the next one is asked for by itself
    def is_asked():
        assert panel.queue.head == "Left to you: 1 of 1"

    qtbot.waitUntil(is_asked)
    assert session.next_landmark("athlete") == "right_ankle"
    qtbot.waitUntil(lambda: canvas.is_exact and asked.next_key == "right_ankle", timeout=10_000)
    click(canvas, canvas.view.to_widget(140, 175), keys=CTRL)
    qtbot.waitUntil(lambda: panel.queue.head.startswith("Nothing is left"))
    assert "38 more lie between the events" in panel.queue.note
    assert session.camera("athlete").track("right_ankle").at(10).origin == "placed"


def test_of_several_people_a_click_on_the_stage_says_which(
    window, session, monkeypatch, tmp_path, qtbot
):
    stand_in(monkeypatch, tmp_path)
    show_walk(session, tmp_path / "walk", [drawn((80, 118, 36), (240, 118, 30))] * 3)
    window.show_detect()
    panel, canvas = window.tool, window.stages["athlete"].canvas
    press(panel.start, qtbot)
    qtbot.waitUntil(lambda: len(canvas.scene.boxes) == 2, timeout=20_000)
    assert [box.text for box in canvas.scene.boxes] == ["1", "2"]
    assert [one.isVisible() for one in panel.persons] == [True, True, False, False]
    click(canvas, canvas.view.to_widget(240, 118))
    qtbot.waitUntil(lambda: n_detected(session) > 0, timeout=20_000)
    assert abs(session.camera("athlete").track("left_hip").at(1).x_px - 240) < 15
    assert not panel.persons[0].isVisible()


def test_one_of_several_people_is_chosen_by_key_too(window, session, monkeypatch, tmp_path, qtbot):
    stand_in(monkeypatch, tmp_path)
    show_walk(session, tmp_path / "walk", [drawn((80, 118, 36), (240, 118, 30))] * 3)
    window.show_detect()
    panel = window.tool
    press(panel.start, qtbot)
    qtbot.waitUntil(panel.persons[0].isVisible, timeout=20_000)
    panel.persons[0].setFocus()
    qtbot.keyClick(panel.persons[0], Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: n_detected(session) > 0, timeout=20_000)
    assert abs(session.camera("athlete").track("left_hip").at(1).x_px - 80) < 18


class SlowNetwork(RedBoxNetwork):
    """Wait before each answer after the first few until it may go on."""

    def __init__(self):
        super().__init__()
        self.may_go_on = threading.Event()

    def run(self, cut):
        answer = super().run(cut)
        if self.n_runs > 30:
            self.may_go_on.wait(10.0)
        return answer


def test_it_is_stopped_without_a_loss_and_goes_on(walking, session, monkeypatch, tmp_path, qtbot):
    network = SlowNetwork()
    stand_in(monkeypatch, tmp_path, network)
    walking.show_detect()
    panel = walking.tool
    press(panel.start, qtbot)
    qtbot.waitUntil(lambda: network.n_runs > 30, timeout=20_000)
    assert not panel.start.isEnabled()
    press(panel.working.stop, qtbot)
    network.may_go_on.set()
    qtbot.waitUntil(panel.start.isEnabled, timeout=20_000)
    assert "Start goes on there" in panel.answer.text
    assert n_detected(session) == 0
    n_before = network.n_runs
    press(panel.start, qtbot)
    qtbot.waitUntil(lambda: n_detected(session) > 300, timeout=20_000)
    assert network.n_runs - n_before < 2 * N_FRAMES


def test_another_project_or_the_end_of_the_window_stops_it(
    walking, session, monkeypatch, tmp_path, qtbot
):
    network = SlowNetwork()
    stand_in(monkeypatch, tmp_path, network)
    walking.show_detect()
    press(walking.tool.start, qtbot)
    qtbot.waitUntil(lambda: network.n_runs > 30, timeout=20_000)
    session.new_project()
    assert walking.tool is None
    network.may_go_on.set()
    qtbot.wait(200)
    assert session.undo_stack.count() == 0


def test_closing_the_panel_asks_for_no_box_any_more(walking, monkeypatch, tmp_path, qtbot):
    stand_in(monkeypatch, tmp_path)
    walking.show_detect()
    canvas = walking.stages["athlete"].canvas
    walking.tool.ask_box()
    assert canvas.is_boxing
    press(walking.tool.done, qtbot)
    assert not canvas.is_picking
    # and a box of nobody's is no harm
    canvas.box_drawn.emit(1.0, 2.0, 3.0, 4.0)
    click(canvas, QPointF(5, 5))


def test_the_step_of_the_landmarks_offers_it_where_nothing_is_placed(
    walking, session, monkeypatch, tmp_path
):
    nobody_fetched_it(monkeypatch)
    walking.do_step("landmarks")
    assert walking.tool is None
    stand_in(monkeypatch, tmp_path)
    walking.do_step("landmarks")
    assert isinstance(walking.tool, DetectPanel)
    assert not walking.stages["athlete"].canvas.is_boxing
    walking.close_scale()
    session.show_frame("athlete", 10)
    session.place_landmark("athlete", "neck", 100.0, 80.0)
    walking.do_step("landmarks")
    assert walking.tool is None


def test_left_and_right_are_asked_with_the_frame_and_answered_by_a_button(
    walking, session, monkeypatch, tmp_path, qtbot
):
    stand_in(monkeypatch, tmp_path)
    walking.show_detect()
    panel, canvas = walking.tool, walking.stages["athlete"].canvas
    canvas.stop_picking()
    delivery, camera = session.delivery("athlete"), session.camera("athlete")
    asked = judged(delivery, camera, _raw(), is_complete=True)
    session.take_detection("athlete", session.footage("athlete"), asked)
    panel.refresh()
    assert panel.sides.text.startswith("Frames 12 to 19: are the legs")
    assert 12 <= session.state("athlete").frame <= 19
    assert {box.text for box in canvas.scene.boxes} == {"lead knee", "drive knee"}
    n_before = n_detected(session)
    press(panel.sides.swapped, qtbot)
    assert panel.sides.text == ""
    assert canvas.scene.boxes == ()
    assert n_detected(session) > n_before
    knee = session.camera("athlete").track("left_knee").at(15)
    assert knee.x_px == pytest.approx(place(15)[0] + 0.22 * TORSO_PX)
    session.undo()
    assert n_detected(session) == n_before


def test_a_panel_without_use_closes_when_somebody_places_by_hand(
    walking, session, monkeypatch, tmp_path, qtbot
):
    nobody_fetched_it(monkeypatch)
    canvas = walking.stages["athlete"].canvas
    qtbot.keyClick(canvas, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    assert isinstance(walking.tool, DetectPanel)
    session.place_landmark("athlete", "left_wrist", 100.0, 80.0)
    assert walking.tool is None
    assert walking.right.currentWidget() is not None


def test_a_panel_in_use_stays_when_somebody_places_by_hand(
    walking, session, monkeypatch, tmp_path, qtbot
):
    stand_in(monkeypatch, tmp_path, UnclearLead())
    canvas = walking.stages["athlete"].canvas
    qtbot.keyClick(canvas, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    panel = walking.tool
    panel.take_box(50.0, 50.0, 120.0, 180.0)
    session.place_landmark("athlete", "left_wrist", 100.0, 80.0)
    assert walking.tool is panel
