from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from tests.shell.filmed_twice import WRONG, filmed_twice
from tests.shell.gestures import click, tap

__all__ = ["filmed_twice"]


@pytest.fixture
def window(open_window, filmed_twice):
    made = open_window(filmed_twice)
    made.stages["athlete"].canvas.setFocus()
    return made


def test_v_shows_the_curves_below_the_frames_and_hides_them(window):
    canvas = window.stages["athlete"].canvas
    assert not window.coordinates.isVisible()
    assert window.coordinates.plot is None
    tap(canvas, Qt.Key.Key_V)
    assert window.coordinates.isVisible()
    assert window.actions_by_key["coordinates"].isChecked()
    assert window.coordinates.y() > window.scrub.y()
    tap(canvas, Qt.Key.Key_V)
    assert not window.coordinates.isVisible()
    assert not window.actions_by_key["coordinates"].isChecked()


def test_a_jump_is_two_gestures_away(window, filmed_twice, qtbot):
    key, frame, _ = WRONG[0]
    filmed_twice.look_at_point("Ana 3", "rear", 20, key)
    tap(window.stages["athlete"].canvas, Qt.Key.Key_V)
    plot = window.coordinates.plot
    qtbot.waitUntil(lambda: frame in plot.scene_shown.looks, timeout=10_000)
    click(plot.viewport(), plot.point_at("up", frame))
    assert filmed_twice.state("athlete").frame == frame
    assert filmed_twice.current_landmark("athlete") == key
    # the point is put right where it is seen, and the curve follows
    canvas = window.stages["athlete"].canvas
    canvas.setFocus()
    before = plot.scene_shown.values["up"][plot.scene_shown.row_of(frame)]
    tap(canvas, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    after = plot.scene_shown.values["up"][plot.scene_shown.row_of(frame)]
    assert after == pytest.approx(before + 10.0)


def test_it_is_seen_from_the_page_as_well(window):
    window.centre.setCurrentWidget(window.page)
    window.actions_by_key["coordinates"].trigger()
    assert window.coordinates.isVisible()
