"""Keys and clicks that arrange the stages and play, as a person gives them."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest

from deliverylab.core.model.changes import SetDelivery, replace
from deliverylab.shell.session_play import SPEEDS
from tests.shell.gestures import click, drag, tap

SHIFT, CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def window(open_window, placed_pair):
    made = open_window(placed_pair)
    made.stages["athlete"].canvas.setFocus()
    return made


@pytest.fixture
def canvas(window):
    return window.stages["athlete"].canvas


def test_z_lays_one_over_the_other_and_back(window, canvas):
    session = window.session
    session.go_to_event("foot_contact")
    assert window.stages["model"].isVisible()
    tap(canvas, Qt.Key.Key_Z)
    assert session.arrangement == "over"
    assert not window.stages["model"].isVisible()
    assert canvas.scene.ghost
    assert window.actions_by_key["over"].isChecked()
    tap(canvas, Qt.Key.Key_Z)
    assert window.stages["model"].isVisible()
    assert not canvas.scene.ghost


def test_keys_go_to_the_stage_that_is_left(window):
    window.session.activate("model")
    window.actions_by_key["over"].trigger()
    assert window.session.active_side == "athlete"


def test_one_delivery_alone_has_no_line_above_it(window):
    assert window.arrangement.isVisible()
    window.session.select("model", None)
    assert not window.arrangement.isVisible()


def test_where_they_stand_is_offered_while_it_matters_and_remembered(window, canvas, settings):
    action = window.actions_by_key["at_foot"]
    assert not action.isVisible()
    tap(canvas, Qt.Key.Key_Z)
    assert action.isVisible()
    action.trigger()
    assert window.session.anchor == "foot"
    assert settings.get("anchor") == "foot"
    window.session.set_anchor("pelvis")
    assert not action.isChecked()


def test_other_planes_are_refused_in_words_and_nothing_changes(window, canvas):
    session = window.session
    model = session.delivery("model")
    behind = replace(model, cameras=(replace(model.cameras[0], view="rear"),))
    session.project.apply(SetDelivery(name=model.name, delivery=behind))
    tap(canvas, Qt.Key.Key_Z)
    assert session.arrangement == "beside"
    assert not window.actions_by_key["over"].isChecked()
    assert "the other from the rear" in window.notices._text.text()
    assert window.arrangement.note.startswith("Different views, open side and rear")


def test_shift_z_leaves_the_bodies_alone_at_one_scale(window, canvas):
    tap(canvas, Qt.Key.Key_Z, SHIFT)
    assert not window.session.has_pictures
    assert window.actions_by_key["bodies_only"].isChecked()
    zooms = [stage.canvas.view.zoom for stage in window.stages.values()]
    assert zooms[0] == pytest.approx(zooms[1], rel=1e-3)
    tap(canvas, Qt.Key.Key_Z, SHIFT)
    assert window.session.has_pictures


def test_shift_v_puts_the_curves_in_the_place_of_the_stages(window, canvas):
    tap(canvas, Qt.Key.Key_V, SHIFT)
    assert window.curves.isVisible()
    assert not window.stages["athlete"].isVisible()
    assert not window.scrub.bar.isVisible()
    tap(window.curves.bar, Qt.Key.Key_Space)
    assert window.session.is_playing
    window.session.pause()
    assert window.curves.bar.hasFocus()
    window.scrub.curve_chooser.setCurrentIndex(1)
    window.curves.refresh()
    assert window.curves.bar.scene.curve_name == window.scrub.curve_chooser.currentText()
    window.actions_by_key["curves"].trigger()
    assert window.stages["athlete"].isVisible()
    assert window.scrub.bar.isVisible()
    assert not window.curves.isVisible()
    assert canvas.hasFocus()


def test_u_draws_the_measurements_or_not_and_is_remembered(window, canvas, settings):
    window.session.go_to_event("release")

    def drawn():
        return [type(one).__name__ for one in canvas.scene.annotations]

    assert "MeasureMarks" in drawn()
    tap(canvas, Qt.Key.Key_U)
    assert "MeasureMarks" not in drawn()
    assert settings.get("has_measures") is False
    tap(canvas, Qt.Key.Key_U)
    assert "MeasureMarks" in drawn()


def test_space_plays_and_stops_on_the_stage(window, canvas, qtbot):
    session = window.session
    session.show_frame("athlete", 30)
    tap(canvas, Qt.Key.Key_Space)
    assert session.is_playing
    qtbot.waitUntil(lambda: session.state("athlete").frame > 34)
    tap(canvas, Qt.Key.Key_Space)
    assert not session.is_playing


def test_space_plays_from_the_scrub_bar_as_well(window, qtbot):
    window.scrub.bar.setFocus()
    tap(window.scrub.bar, Qt.Key.Key_Space)
    assert window.session.is_playing
    tap(window.scrub.bar, Qt.Key.Key_Space)
    assert not window.session.is_playing


def test_space_still_presses_a_button_that_has_the_keyboard(window):
    link = window.scrub._link
    link.setFocus()
    before = window.session.is_linked
    tap(link, Qt.Key.Key_Space)
    assert window.session.is_linked != before
    assert not window.session.is_playing


def test_space_and_drag_still_moves_the_picture(window, canvas):
    canvas.zoom(4.0)
    before = canvas.view.centre_x
    QTest.keyPress(canvas, Qt.Key.Key_Space)
    drag(canvas, [QPointF(100.0, 100.0), QPointF(140.0, 100.0)])
    QTest.keyRelease(canvas, Qt.Key.Key_Space)
    assert canvas.view.centre_x != before
    assert not window.session.is_playing


def test_a_click_on_a_stage_stops_it(window, canvas):
    tap(canvas, Qt.Key.Key_Space)
    assert window.session.is_playing
    click(canvas, QPointF(5.0, 5.0))
    assert not window.session.is_playing


def test_keys_choose_speed_and_loop(window, canvas):
    session = window.session
    tap(canvas, Qt.Key.Key_Comma, CTRL)
    assert session.speed == SPEEDS[1]
    tap(canvas, Qt.Key.Key_Period, CTRL)
    assert session.speed == SPEEDS[0]
    tap(canvas, Qt.Key.Key_L, SHIFT)
    assert session.loop == "lift_contact"
    assert not canvas._held, "the loupe is held by L alone"
