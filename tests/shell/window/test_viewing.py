from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTabBar

from tests.shell.filmed_twice import WRONG, filmed_twice
from tests.shell.gestures import click, tap

__all__ = ["filmed_twice"]


@pytest.fixture
def window(open_window, filmed_twice):
    made = open_window(filmed_twice)
    made.stages["athlete"].canvas.setFocus()
    return made


def _tab(window):
    return window.findChild(QTabBar).tabText(window.findChild(QTabBar).currentIndex())


def test_a_key_shows_the_figure_and_what_stood_there_before(window, qtbot):
    window.show_numbers("differences")
    canvas = window.stages["athlete"].canvas
    tap(canvas, Qt.Key.Key_F)
    assert _tab(window) == "In space"
    assert window.actions_by_key["space"].isChecked()
    qtbot.waitUntil(lambda: window.space.canvas.scene.athlete is not None, timeout=10_000)
    tap(canvas, Qt.Key.Key_F)
    assert _tab(window) == "Differences"
    assert not window.actions_by_key["space"].isChecked()


def test_n_goes_from_point_to_point_with_the_keyboard_on_the_stage(window, filmed_twice, qtbot):
    tap(window.stages["athlete"].canvas, Qt.Key.Key_N)
    qtbot.waitUntil(lambda: filmed_twice.state("athlete").frame == WRONG[1][1], timeout=10_000)
    canvas = window.stages["athlete"].canvas
    assert canvas.hasFocus()
    assert _tab(window) == "Check (2)"
    (line,) = canvas.scene.sight_lines
    assert line.gap_text.endswith("px off open-side")
    # an arrow key moves that very point, and the line stays where it is
    before = filmed_twice.camera("athlete").track("left_wrist").at(240)
    tap(canvas, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    after = filmed_twice.camera("athlete").track("left_wrist").at(240)
    assert after.y_px == pytest.approx(before.y_px + 10.0)
    (moved,) = canvas.scene.sight_lines
    assert (*moved.a, *moved.b) == pytest.approx((*line.a, *line.b))
    assert moved.placed[1] == pytest.approx(line.placed[1] + 10.0)


def test_c_puts_the_other_clip_beside_with_the_line_of_what_is_asked(window, filmed_twice):
    tap(window.stages["athlete"].canvas, Qt.Key.Key_C)
    assert filmed_twice.shows_both_clips
    assert window.stages["model"].isVisible()
    filmed_twice.show_frame("athlete", 150)
    filmed_twice.activate("model")
    filmed_twice.remove_landmark("model", "right_elbow")
    filmed_twice.choose_landmark("model", "right_elbow")
    canvas = window.stages["model"].canvas
    (line,) = canvas.scene.sight_lines
    assert line.text == "on this line, after open-side"
    assert canvas.scene.style == "athlete", "both stages show one athlete"
    # a click on the line places the landmark where the other clip has it
    middle = canvas.view.to_widget(*(0.5 * (a + b) for a, b in zip(line.a, line.b, strict=True)))
    click(canvas, middle)
    frame = filmed_twice.state("model").frame
    assert filmed_twice.camera("model").track("right_elbow").at(frame) is not None
    asked, current = filmed_twice.guides("model")
    assert current[0].gap_px < 2.0
    assert not asked


def test_g_takes_the_lines_away_and_brings_them_back(window, filmed_twice):
    filmed_twice.look_at_point("Ana 3", "rear", 200, "right_knee")
    canvas = window.stages["athlete"].canvas
    assert canvas.scene.sight_lines
    tap(canvas, Qt.Key.Key_G)
    assert not canvas.scene.sight_lines
    assert not window.actions_by_key["sight_lines"].isChecked()
    tap(canvas, Qt.Key.Key_G)
    assert canvas.scene.sight_lines


def test_a_point_moved_in_one_clip_moves_the_line_in_the_other(window, filmed_twice):
    filmed_twice.set_both_clips(True)
    filmed_twice.show_frame("athlete", 200)
    filmed_twice.choose_landmark("model", "left_knee")
    canvas = window.stages["model"].canvas
    (before,) = canvas.scene.sight_lines
    at = filmed_twice.camera("athlete").track("left_knee").at(200)
    filmed_twice.place_landmark("athlete", "left_knee", at.x_px, at.y_px + 30.0)
    (after,) = canvas.scene.sight_lines
    # the clip's course is smoothed, so that a single point moves it by a part of its own way
    assert after.a[1] - before.a[1] > 2.0


def test_the_figure_is_no_reason_to_crowd_the_stages(window, qtbot):
    before = [stage.canvas.width() for stage in window.stages.values()]
    window.show_space()
    qtbot.waitUntil(lambda: window.space.canvas.scene.athlete is not None, timeout=10_000)
    assert [stage.canvas.width() for stage in window.stages.values()] == before
    assert window.space.canvas.height() >= 200


def test_the_figure_leads_to_the_cameras_on_the_field(open_window, placed_pair, monkeypatch):
    window = open_window(placed_pair)
    window.show_space()
    asked = []
    monkeypatch.setattr(window.files, "ask_clip", lambda: asked.append("clip"))
    window.space.empty.button.click()
    assert asked == ["clip"], "a second clip is asked for"
    assert not window.actions_by_key["both_clips"].isEnabled()


def test_y_says_that_what_is_shown_is_right(window, filmed_twice, qtbot):
    canvas = window.stages["athlete"].canvas
    tap(canvas, Qt.Key.Key_N)
    qtbot.waitUntil(lambda: filmed_twice.state("athlete").frame == WRONG[1][1], timeout=10_000)
    tap(canvas, Qt.Key.Key_Y)
    qtbot.waitUntil(lambda: _tab(window) == "Check (1)", timeout=10_000)
    tap(canvas, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: _tab(window) == "Check (2)", timeout=10_000)
