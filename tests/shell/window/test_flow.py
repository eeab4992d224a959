"""A whole side view placed in the window by clicks, and by keys alone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.shell import gestures
from tests.shell.conftest import SCALE, delivery_of, figure_tracks
from tests.shell.test_session_flow import ALL_MARKS, RESULTS_AT

N_RESULTS = sum(RESULTS_AT.values())


def _open(window, **camera_fields):
    """Put a delivery into the window, with nothing chosen but the stage."""
    fields = {"marks": ALL_MARKS, "scale": SCALE} | camera_fields
    window.session.add_delivery(delivery_of("Bo 1", **fields))
    window.activateWindow()
    canvas = window.stages["athlete"].canvas
    canvas.setFocus()
    return canvas


def _key(window, key, keys=gestures.NO_KEYS):
    QTest.keyClick(QApplication.focusWidget() or window, key, keys)


def _click_figure(window, key):
    """Click where a landmark of the invented figure is in the shown frame."""
    canvas, frame = window.stages["athlete"].canvas, window.session.state("athlete").frame
    place = figure_tracks([frame])[key].at(frame)
    at = canvas.view.to_widget(place.x_px, place.y_px)
    # the two of a pair lie close together, and what is meant is the one asked for
    gestures.click(canvas, at, keys=gestures.CTRL)


def test_one_click_a_placing_and_none_in_between(window, qtbot):
    canvas = _open(window)
    _key(window, Qt.Key.Key_P)
    n_clicks = 0
    while window.session.next_landmark("athlete") and n_clicks < 300:
        if not any(window.session.event_coverage("athlete").values()):
            break
        _click_figure(window, canvas.scene.next_key)
        n_clicks += 1
        assert QApplication.activeModalWidget() is None
    assert n_clicks == N_RESULTS == 57
    for frame in RESULTS_AT:
        for key in window.session.plan("athlete").in_frame(frame):
            assert window.session.plan("athlete").purpose_of((frame, key)) != "results"
    assert not any(
        "not placed at" in result.reason
        for result in window.session.results("athlete")
        if result.event in ALL_MARKS
    )
    assert "All that results need" in window.notices.text
    qtbot.waitUntil(lambda: "results have all their points" in window.placing_line.text)
    # on to what helps the tracker, by the button
    window.notices._button.click()
    assert window.session.state("athlete").frame == 149
    assert "for tracking" in window.placing_line.text


def test_a_whole_delivery_is_placed_by_keys_alone(window):
    """Every point is moved by arrow keys and then taken: no pointer, no menu."""
    _open(window)
    _key(window, Qt.Key.Key_P)
    n_keys = 1
    for n in range(N_RESULTS):
        frame, key = window.session.state("athlete").frame, window.session.next_landmark("athlete")
        guess = window.session.guess("athlete")
        _key(window, Qt.Key.Key_Right, gestures.SHIFT)
        _key(window, Qt.Key.Key_Up)
        _key(window, Qt.Key.Key_Return if n % 2 else Qt.Key.Key_J)
        n_keys += 3
        placed = window.session.camera("athlete").track(key).at(frame)
        assert placed.origin == "placed"
        assert (placed.x_px, placed.y_px) == pytest.approx(
            (min(guess.x_px + 10.0, 1279.5), max(guess.y_px - 1.0, -0.5))
        )
    assert not any(window.session.event_coverage("athlete").values())
    assert n_keys == 1 + 3 * N_RESULTS


def test_the_guess_is_drawn_once_another_frame_tells_it(window, qtbot):
    canvas = _open(window, tracks=figure_tracks([24, 180]))
    window.session.show_frame("athlete", 144)
    guess = canvas.scene.guess
    assert guess is not None
    assert not guess.is_held
    assert "J takes" in canvas.scene.request.keys
    gestures.click(canvas, QPointF(200.0, 200.0))
    qtbot.waitUntil(lambda: canvas.scene.guess != guess)
    assert not canvas.scene.guess.is_held
    _key(window, Qt.Key.Key_J)
    assert canvas.scene.guess.is_held
    assert "Arrow keys move the guess" in canvas.scene.request.keys
    # Esc gives the arrow keys back to the frames
    _key(window, Qt.Key.Key_Escape)
    assert not canvas.scene.guess.is_held
    _key(window, Qt.Key.Key_Right)
    assert window.session.state("athlete").frame == 145


def test_without_any_other_frame_nothing_is_drawn_until_keys_are_used(window):
    canvas = _open(window)
    assert canvas.scene.guess is None
    _key(window, Qt.Key.Key_J)
    assert canvas.scene.guess.is_held


def test_escape_stops_going_on_and_the_button_starts_it_again(window, settings):
    canvas = _open(window)
    assert window.actions_by_key["goes_on"].isChecked()
    _key(window, Qt.Key.Key_Escape)
    assert not window.session.goes_on
    assert not window.actions_by_key["goes_on"].isChecked()
    assert not settings.get("goes_on")
    _click_figure(window, canvas.scene.next_key)
    _key(window, Qt.Key.Key_Escape)  # lets the landmark go
    assert canvas.scene.chosen == ""
    window.notices._button.click()
    assert window.session.goes_on


def test_the_order_is_switched_by_a_key(window):
    canvas = _open(window)
    _key(window, Qt.Key.Key_O)
    assert window.actions_by_key["by_landmark"].isChecked()
    frames = []
    for _ in range(3):
        frames.append(window.session.state("athlete").frame)
        assert canvas.scene.next_key == "head_top"
        _click_figure(window, "head_top")
    assert frames == [24, 144, 180]
    assert canvas.scene.next_key == "neck"


def test_all_guesses_are_taken_and_taken_back(window):
    _open(window, tracks=figure_tracks([24, 180]))
    window.session.show_frame("athlete", 144)
    _key(window, Qt.Key.Key_J, gestures.SHIFT)
    assert "20 guesses are placed now" in window.notices.text
    assert window.session.next_landmark("athlete") == ""
    window.notices._button.click()
    assert window.session.next_landmark("athlete") == "head_top"
    window.session.show_frame("athlete", 24)
    _key(window, Qt.Key.Key_J, gestures.SHIFT)
    assert "nothing to guess from" in window.notices.text


def test_nobody_confirms_what_is_not_seen_yet(window):
    canvas = _open(window, tracks=figure_tracks([24, 180]))
    window.session.show_frame("athlete", 144)
    wanted = []
    canvas.exact_requested.connect(lambda: wanted.append(True))
    canvas.is_exact = False  # the picture of this frame is on its way
    _key(window, Qt.Key.Key_J)
    _key(window, Qt.Key.Key_J, gestures.SHIFT)
    assert window.session.next_landmark("athlete") == "head_top"
    assert wanted
    canvas.is_exact = True
    _key(window, Qt.Key.Key_J)
    assert window.session.next_landmark("athlete") == "neck"


def test_a_pair_is_swapped_by_a_key(window):
    _open(window, tracks=figure_tracks([24, 180]))
    window.session.choose_landmark("athlete", "left_knee")
    before = window.session.camera("athlete").track("left_knee").at(24)
    _key(window, Qt.Key.Key_R)
    assert "Swapped the lead knee with the other side's, in this frame." in window.notices.text
    assert window.session.camera("athlete").track("right_knee").at(24) == before
    window.session.choose_landmark("athlete", "neck")
    _key(window, Qt.Key.Key_R, gestures.SHIFT)
    assert "choose one of a pair" in window.notices.text


def test_the_line_says_what_the_next_points_give(window, qtbot):
    _open(window)
    qtbot.waitUntil(lambda: "0 of 16 here for results" in window.placing_line.text)
    assert "2 more points give stride and 1 more result" in window.placing_line.text
    window.session.choose_landmark("athlete", "right_ankle")
    _click_figure(window, "right_ankle")
    qtbot.waitUntil(lambda: "1 of 16 here" in window.placing_line.text)
    assert "1 more point gives stride" in window.placing_line.text
    assert "1 of 57 in all" in window.placing_line.text
