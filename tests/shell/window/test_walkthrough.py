"""The walkthrough in the window, by a hand: few clicks to the clip, script, drawings, preview."""

from __future__ import annotations

import threading
from pathlib import Path

import av
import pytest
from PySide6.QtCore import QPointF, Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog

from deliverylab.core.errors import OutputError
from deliverylab.core.model.delivery import Mark
from deliverylab.core.workflow import walkthrough as core_walkthrough
from deliverylab.shell.dialogs.walkthrough import WalkthroughPanel
from deliverylab.shell.session_walkthrough import MadeWalk
from tests.shell.gestures import click, drag, tap

CTRL = Qt.KeyboardModifier.ControlModifier


def by_key(window, qtbot, key, keys=CTRL):
    """Press a shortcut while the stage has the keyboard."""
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    canvas = window.stages["athlete"].canvas
    canvas.setFocus()
    QTest.keyClick(canvas, key, keys)


@pytest.fixture
def walking(open_window, placed_pair, qtbot):
    """The window with the panel open, by its key."""
    window = open_window(placed_pair)
    by_key(window, qtbot, Qt.Key.Key_M)
    assert isinstance(window.tool, WalkthroughPanel)
    yield window
    window.close_tool()
    qtbot.waitUntil(lambda: not window.making.is_busy, timeout=20_000)


def settle():
    """Let the panel follow the session, which tells it once the present turn of the loop is over."""
    QApplication.processEvents()


def press(widget):
    click(widget, QPointF(widget.rect().center()))
    settle()


def place_of(panel, row):
    """Return the middle of a row of the list."""
    return QPointF(panel.stops.visualItemRect(panel.stops.item(row)).center())


def choose(panel, row):
    click(panel.stops.viewport(), place_of(panel, row))
    settle()


def chosen_file(monkeypatch, path, method="getSaveFileName"):
    monkeypatch.setattr(QFileDialog, method, lambda *_: (str(path), ""))


def quick(session):
    """Make the clip short."""
    for index in range(len(session.script().stops)):
        session.set_pause(index, 0.0)
    session.set_walk_speed(2.0)


def test_it_opens_at_the_first_stop_of_the_suggested_script(walking, placed_pair):
    panel = walking.tool
    assert panel.stops.count() == 3
    assert panel.chosen == 0
    assert placed_pair.is_stop_shown(0)
    assert not placed_pair.has_own_script
    assert panel._suggested.isVisible()
    assert panel.anew.isHidden()


def test_three_clicks_make_the_clip_and_one_more_plays_it(
    walking, placed_pair, monkeypatch, tmp_path, qtbot
):
    quick(placed_pair)
    panel, opened = walking.tool, []
    monkeypatch.setattr(QDesktopServices, "openUrl", opened.append)
    # the panel was one, the button is two, the name in the system's dialog three
    chosen_file(monkeypatch, tmp_path / "Bo and Kim")
    press(panel.maker.make)
    assert walking.making.is_busy
    assert panel.maker.stop.isVisible()
    assert not panel.maker.make.isEnabled()
    qtbot.waitUntil(lambda: not walking.making.is_busy, timeout=60_000)
    clip = tmp_path / "Bo and Kim.mp4"
    with av.open(str(clip)) as container:
        stream = container.streams.video[0]
        assert (stream.width, stream.height) == (1920, 1080)
        assert stream.frames == len(placed_pair.walk_cues())
    assert panel.maker.said.text() == "Bo and Kim.mp4 is ready."
    press(panel.maker.play)
    press(panel.maker.folder)
    assert opened == [QUrl.fromLocalFile(str(clip)), QUrl.fromLocalFile(str(tmp_path))]


def test_it_can_be_stopped_and_goes_on_when_the_panel_is_closed(
    walking, placed_pair, monkeypatch, tmp_path, qtbot
):
    begun = threading.Event()

    def slow(*_args, progress, **_settings):
        while True:
            begun.set()
            progress(0.25)

    monkeypatch.setattr(core_walkthrough, "make_walkthrough", slow)
    chosen_file(monkeypatch, tmp_path / "clip.mp4")
    press(walking.tool.maker.make)
    begun.wait(10.0)
    walking.close_tool()
    assert walking.making.is_busy
    qtbot.waitUntil(lambda: walking.notices.text == "Making the clip: 25%")
    walking.notices._button.click()
    qtbot.waitUntil(lambda: not walking.making.is_busy)
    assert walking.notices.text == "Stopped. No clip was written."


def test_why_there_is_no_clip_is_said_in_the_panel(
    walking, placed_pair, monkeypatch, tmp_path, qtbot
):
    def refuse(*_args, **_settings):
        raise OutputError("the walkthrough cannot be written", where="there", remedy="make room")

    monkeypatch.setattr(core_walkthrough, "make_walkthrough", refuse)
    chosen_file(monkeypatch, tmp_path / "clip.mp4")
    panel = walking.tool
    press(panel.maker.make)
    qtbot.waitUntil(lambda: not walking.making.is_busy)
    assert panel.maker.said.text() == "The walkthrough cannot be written (there). Make room."
    assert panel.maker.make.isEnabled()
    chosen_file(monkeypatch, "")
    press(panel.maker.make)
    assert not walking.making.is_busy


def test_a_click_goes_there_on_both_stages_and_keys_go_on(walking, placed_pair):
    panel = walking.tool
    choose(panel, 2)
    assert (placed_pair.state("athlete").frame, placed_pair.state("model").frame) == (180, 182)
    panel.stops.setFocus()
    tap(panel.stops, Qt.Key.Key_Up)
    assert panel.chosen == 1
    assert placed_pair.is_stop_shown(1)


def test_stops_are_ordered_removed_and_added_by_hand_and_undone(walking, placed_pair):
    panel = walking.tool
    choose(panel, 2)
    press(panel.up)
    assert [stop.event for stop in placed_pair.script().stops][1] == "release"
    assert panel.chosen == 1
    panel.stops.setFocus()
    tap(panel.stops, Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    assert [stop.event for stop in placed_pair.script().stops][2] == "release"
    tap(panel.stops, Qt.Key.Key_Delete)
    assert panel.stops.count() == 2
    QTest.keyClick(panel.stops, Qt.Key.Key_Z, CTRL)
    settle()
    assert panel.stops.count() == 3
    placed_pair.show_frame("athlete", 84)
    press(panel.add)
    assert panel.stops.count() == 4
    assert panel.stops.item(1).data(Qt.ItemDataRole.UserRole).name == "At 50 %"
    assert panel.chosen == 1
    press(panel.anew)
    assert not placed_pair.has_own_script
    assert panel.stops.count() == 3


def test_a_dragged_stop_is_where_it_was_dropped(walking, placed_pair, qtbot):
    panel, model = walking.tool, walking.tool.stops.model()
    parent = panel.stops.rootIndex()
    model.moveRow(parent, 0, parent, 3)  # as a drop at the end does
    qtbot.waitUntil(lambda: placed_pair.has_own_script)
    events = [stop.event for stop in placed_pair.script().stops]
    assert events == ["foot_contact", "release", "leg_lift"]
    rows = [panel.stops.item(row).data(Qt.ItemDataRole.UserRole).name for row in range(3)]
    assert rows == ["Foot contact", "Release", "Leg lift"]


def test_the_key_adds_a_stop_without_the_panel(open_window, placed_pair, qtbot):
    window = open_window(placed_pair)
    placed_pair.show_frame("athlete", 84)
    by_key(window, qtbot, Qt.Key.Key_M, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert len(placed_pair.script().stops) == 4
    assert window.notices.text == "The walkthrough stops here too: at 50 %."


def test_a_caption_is_written_and_undone_in_one_step(walking, placed_pair):
    panel = walking.tool
    before = placed_pair.script().stops[0].caption
    panel.form.caption.setFocus()
    panel.form.caption.selectAll()
    for letter in "Look":
        QTest.keyClick(panel.form.caption, letter)
    assert placed_pair.script().stops[0].caption == "Look"
    QTest.keyClick(panel.form.caption, Qt.Key.Key_Z, CTRL)
    settle()
    assert placed_pair.script().stops[0].caption == before
    assert panel.form.caption.toPlainText() == before


def test_what_is_measured_now_can_be_said_again(walking, placed_pair):
    panel = walking.tool
    suggested = placed_pair.suggested_caption(0)
    assert suggested
    placed_pair.set_caption(0, "Something else")
    settle()
    press(panel.form.suggestion)
    assert placed_pair.script().stops[0].caption == suggested
    assert panel.form.suggestion.isHidden()


def test_pause_speed_and_numbers_are_the_scripts(walking, placed_pair):
    panel = walking.tool
    choose(panel, 2)
    panel.form.pause.setValue(4.5)
    assert placed_pair.script().stops[2].pause_s == 4.5
    panel.speed.setCurrentIndex(1)
    panel.speed.activated.emit(1)
    assert placed_pair.script().speed == 0.5
    for key, box in dict(panel.form.boxes).items():
        box.click()
        settle()
        assert box.isChecked() == (key in placed_pair.stop_numbers(2))
    assert panel.form.boxes
    panel.form.usual.click()
    assert placed_pair.script().stops[2].metrics is None


def test_an_arrow_is_drawn_on_either_stage_seen_there_and_undone(walking, placed_pair):
    panel = walking.tool
    choose(panel, 1)
    press(panel.tools.buttons["arrow"])
    for side in ("athlete", "model"):
        canvas = walking.stages[side].canvas
        assert canvas.is_drawing
        ends = [canvas.view.to_widget(*place) for place in ((300, 300), (400, 350), (600, 400))]
        drag(canvas, ends)
        settle()
    drawings = placed_pair.script().stops[1].drawings
    assert [one.side for one in drawings] == ["athlete", "model"]
    assert drawings[0].points_px[0] == pytest.approx((300, 300), abs=0.1)
    assert walking.stages["model"].canvas.scene.drawings == (drawings[1],)
    # no landmark was placed by it
    assert placed_pair.camera("athlete").track("ball").at(144) is None
    tap(walking.stages["model"].canvas, Qt.Key.Key_Backspace)
    assert len(placed_pair.script().stops[1].drawings) == 1
    tap(walking.stages["model"].canvas, Qt.Key.Key_Escape)
    assert not walking.stages["athlete"].canvas.is_drawing
    assert not panel.tools.buttons["arrow"].isChecked()
    press(panel.tools.all)
    assert placed_pair.script().stops[1].drawings == ()
    placed_pair.undo()
    assert len(placed_pair.script().stops[1].drawings) == 1


def test_drawings_are_there_only_while_their_stop_is_seen(walking, placed_pair):
    panel = walking.tool
    choose(panel, 1)
    placed_pair.add_drawing(1, "athlete", "line", ((10.0, 10.0), (90.0, 90.0)))
    settle()
    canvas = walking.stages["athlete"].canvas
    assert len(canvas.scene.drawings) == 1
    press(panel.tools.buttons["circle"])
    placed_pair.step(1)
    assert canvas.scene.drawings == ()
    assert not canvas.is_drawing
    assert not panel.tools.buttons["circle"].isEnabled()
    choose(panel, 1)
    assert len(canvas.scene.drawings) == 1
    assert panel.tools.buttons["circle"].isEnabled()
    walking.close_tool()
    assert canvas.scene.drawings == ()


def test_the_picture_of_the_clip_is_seen_small_and_large(walking, placed_pair, qtbot):
    panel = walking.tool
    qtbot.waitUntil(lambda: panel.picture.has_picture, timeout=20_000)
    press(panel.picture)
    large = walking.walk_large
    assert walking.centre.currentWidget() is large
    assert large.picture.has_picture
    assert large._name.text() == "1 of 3: Leg lift"
    press(large.after)
    assert panel.chosen == 1
    assert large._name.text() == "2 of 3: Foot contact"
    large.setFocus()
    tap(large, Qt.Key.Key_Left)
    assert panel.chosen == 0
    tap(large, Qt.Key.Key_Escape)
    assert walking.centre.currentWidget() is walking._work


def test_two_that_cannot_be_walked_through_say_why(walking, placed_pair):
    panel = walking.tool
    for event in ("foot_contact", "release"):
        placed_pair.remove_mark("athlete", event)
    settle()
    assert panel.stops.count() == 0
    assert not panel.maker.make.isEnabled()
    assert panel.picture._words
    placed_pair.mark_event("athlete", "release", Mark(time_s=0.75).time_s)
    settle()
    assert panel.stops.count() == 2


def test_a_stop_whose_event_is_not_marked_any_more_says_so(walking, placed_pair):
    panel = walking.tool
    placed_pair.set_pause(1, 4.0)
    placed_pair.remove_mark("model", "foot_contact")
    choose(panel, 1)
    assert "not marked" in panel.problem.text()
    assert not panel.maker.make.isEnabled()
    choose(panel, 2)
    assert panel.problem.isHidden()


def test_the_panel_follows_another_pair(walking, placed_pair):
    placed_pair.set_pair("Kim model", "Bo 1")
    assert isinstance(walking.tool, WalkthroughPanel)
    assert walking.tool._pair == ("Kim model", "Bo 1")
    placed_pair.select("model", None)
    settle()
    assert walking.tool.stops.count() == 0
    assert Path(walking.tool.maker.make.text()).name == "Make the clip …"


def test_clips_without_pictures_are_named_when_the_clip_is_made(walking, tmp_path):
    walking.making.finished.emit(MadeWalk(tmp_path / "walk.mp4", ("side.mp4",)))
    text = "Made walk.mp4. The body alone is shown where there are no pictures: side.mp4."
    assert walking.notices.text == text
    assert walking.notices.level == "caution"
