from __future__ import annotations

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication, QDialog

from deliverylab.core.errors import ClipError
from deliverylab.shell import project_files
from deliverylab.shell.actions import ACTIONS
from deliverylab.shell.dialogs.head import HeadDialog
from deliverylab.shell.dialogs.new_delivery import NewDeliveryDialog
from deliverylab.shell.dialogs.relink import RelinkDialog
from deliverylab.shell.theme import DARK, LIGHT, theme
from tests.shell.conftest import MARKS_A, SCALE, camera_of, delivery_of
from tests.shell.gestures import SHIFT, drag, tap


def _dialog(kind):
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, kind)
    return dialog


def _drop(window, path, at=QPointF(5, 5)):  # noqa: B008 - never changed
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    event = QDropEvent(
        at,
        Qt.DropAction.CopyAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    window.dropEvent(event)
    return event


def test_all_that_the_table_asks_of_the_window_is_there(window):
    for action in ACTIONS:
        owner, _, method = action.intent.partition(".")
        if owner == "window":
            assert callable(getattr(window, method)), action.key


def test_a_dropped_clip_is_asked_about(window, clip):
    assert _drop(window, clip).isAccepted()
    dialog = _dialog(NewDeliveryDialog)
    assert dialog._clip == clip
    dialog.reject()


def test_a_dropped_project_is_opened_and_anything_else_is_not(window, session, tmp_path):
    session.add_delivery(delivery_of("Bo 1"))
    session.save_as(tmp_path / "spring.delivery")
    session.new_project()
    _drop(window, tmp_path / "notes.txt")
    assert session.delivery("athlete") is None
    _drop(window, tmp_path / "spring.delivery")
    assert session.delivery("athlete").name == "Bo 1"


def test_a_dropped_table_is_placed_on_the_stage_under_it(window, session, tmp_path):
    session.add_delivery(delivery_of("Bo 1"))
    session.add_delivery(delivery_of("Kim 4"))
    session.activate("athlete")
    table = tmp_path / "points.csv"
    table.write_text("frame,landmark,x_px,y_px\n3,neck,10,20\n3,head_top,11,5\n")
    stage = window.stages["model"]
    _drop(window, table, QPointF(stage.mapTo(window, stage.rect().center())))
    assert session.camera("model").track("neck").at(3).x_px == 10.0
    assert session.camera("athlete").tracks == {}
    assert "Placed 2 positions in 1 frames of Kim 4" in window.notices.text
    window.notices._button.click()
    assert session.camera("model").tracks == {}


def test_a_wrong_table_is_refused_with_its_line(window, session, tmp_path):
    session.add_delivery(delivery_of("Bo 1"))
    table = tmp_path / "points.csv"
    table.write_text("frame,landmark,x_px,y_px\n3,neck,10,20\n3,nose tip,11,5\n")
    n_steps = session.undo_stack.count()
    _drop(window, table)
    assert "line 3" in window.notices.text
    assert session.camera("athlete").tracks == {}
    assert session.undo_stack.count() == n_steps


def test_clips_are_trimmed_by_key_and_cut_no_mark_off(window, session):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A))
    session.show_frame("athlete", 10)
    window.actions_by_key["clip_start"].trigger()
    session.show_frame("athlete", 200)
    window.actions_by_key["clip_end"].trigger()
    camera = session.camera("athlete")
    assert (camera.first_frame, camera.end_frame) == (10, 200)
    session.show_frame("athlete", 0)
    assert session.state("athlete").frame == 10
    session.show_frame("athlete", 160)
    window.actions_by_key["clip_end"].trigger()
    assert "release would be cut off".capitalize() in window.notices.text
    assert session.camera("athlete").end_frame == 200
    window.actions_by_key["whole_clip"].trigger()
    assert session.camera("athlete").end_frame == 239
    assert not window.actions_by_key["whole_clip"].isEnabled()
    for _ in range(3):
        session.undo()
    assert session.camera("athlete").first_frame == 0


def test_the_header_offers_what_can_be_done_with_its_delivery(window, session):
    session.add_delivery(delivery_of("Bo 1", cameras=(camera_of(), camera_of(name="rear"))))
    session.add_delivery(delivery_of("Kim 4"))
    window.stages["athlete"].header.action_wanted.emit("remove_camera")
    assert [camera.name for camera in session.cameras_of("Bo 1")] == ["rear"]
    assert session.camera("athlete").name == "rear"
    window.notices._button.click()
    assert [camera.name for camera in session.cameras_of("Bo 1")] == ["side", "rear"]
    window.stages["model"].header.action_wanted.emit("remove_delivery")
    assert session.delivery_names() == ("Bo 1",)
    assert session.record.pair is None
    window.notices._button.click()
    assert session.record.pair == ("Bo 1", "Kim 4")
    assert session.delivery("model").name == "Kim 4"


def test_title_and_organisation_are_changed_from_the_title(window, session):
    window.top_bar._title.click()
    dialog = _dialog(HeadDialog)
    dialog.title.setText("Spring")
    dialog.organisation.setText("Alder Creek")
    dialog.accept()
    assert session.head == ("Spring", "Alder Creek")
    session.undo()
    assert session.head == ("", "")
    window.page.head_wanted.emit()
    _dialog(HeadDialog).reject()


def test_events_are_marked_by_one_key_each(window, session, qtbot):
    session.add_delivery(delivery_of("Bo 1"))
    session.show_frame("athlete", 144)
    window.stages["athlete"].canvas.setFocus()
    qtbot.keyClick(window.stages["athlete"].canvas, Qt.Key.Key_3)
    assert session.camera("athlete").marks["foot_contact"].time_s == pytest.approx(0.6)
    assert "Foot contact is at frame 144" in window.notices.text
    window.remove_mark()
    assert session.camera("athlete").marks == {}


def test_landmarks_are_skipped_hidden_and_removed(window, session):
    session.add_delivery(delivery_of("Bo 1"))
    first = session.next_landmark("athlete")
    window.skip_landmark()
    second = session.next_landmark("athlete")
    assert second != first
    window.hide_landmark()
    assert session.camera("athlete").is_occluded(second, 0)
    session.place_landmark("athlete", "neck", 5, 5)
    window.remove_landmark()
    assert session.camera("athlete").track("neck").at(0) is None


def test_the_scale_is_set_by_clicks_on_the_stage(window, session):
    session.add_delivery(delivery_of("Bo 1"))
    window.set_scale()
    panel = window.scale_panel
    canvas = window.stages["athlete"].canvas
    assert canvas.is_picking
    canvas.points_picked.emit([(100.0, 600.0), (400.0, 600.0)])
    panel.length.setText("1.5 m")
    panel.apply()
    assert session.scale("athlete").length_m == 1.5
    assert window.scale_panel is None
    assert window.right.currentIndex() == 0


def test_the_scale_follows_a_dragged_point(window, session):
    session.add_delivery(delivery_of("Bo 1", scale=SCALE))
    window.set_scale()
    canvas = window.stages["athlete"].canvas
    assert [one.key for one in canvas.scene.handles] == ["a", "b"]
    assert canvas.scene.annotations == (), "the form's own points stand for the scale"
    start = canvas.view.to_widget(600.0, 620.0)
    drag(canvas, [start, canvas.view.to_widget(750.0, 620.0)])
    assert "1 px is 3.33 mm" in window.scale_panel._preview.text()
    assert canvas.scene.handles[1].x_px == pytest.approx(750.0)
    assert session.scale("athlete").b.x_px == 600.0, "nothing is set before it is wanted"
    window.scale_panel.apply()
    assert session.scale("athlete").b.x_px == pytest.approx(750.0)
    assert not canvas.has_handles
    assert len(canvas.scene.annotations) == 1


def test_the_scale_of_a_camera_that_stood_still_is_taken_over(window, session):
    session.add_delivery(delivery_of("Bo 1", scale=SCALE))
    session.add_delivery(delivery_of("Bo 2"))
    session.add_delivery(delivery_of("Bo 3", view="rear", scale=SCALE), side="model")
    session.select("model", "Bo 2")
    window.set_scale("model")
    panel, canvas = window.scale_panel, window.stages["model"].canvas
    assert canvas.is_picking
    names = [panel.known.itemText(row) for row in range(panel.known.count())]
    assert names[-1] == "as for Bo 1, camera not moved", "another view tells nothing"
    assert sum("not moved" in name for name in names) == 1
    panel.known.setCurrentIndex(len(names) - 1)
    panel.known.activated.emit(len(names) - 1)
    assert not canvas.is_picking
    assert [one.key for one in canvas.scene.handles] == ["a", "b"]
    panel.apply()
    taken = session.scale("model")
    assert (taken.a, taken.b, taken.length_m) == (SCALE.a, SCALE.b, SCALE.length_m)
    assert taken.distance_m == SCALE.distance_m


def test_a_closed_scale_asks_for_no_more_clicks(window, session):
    session.add_delivery(delivery_of("Bo 1"))
    window.set_scale()
    window.close_scale()
    assert not window.stages["athlete"].canvas.is_picking
    assert session.scale("athlete") is None


def test_dialogs_open(window, session):
    session.add_delivery(delivery_of("Bo 1"))
    for intent, kind in (
        (window.edit_facts, NewDeliveryDialog),
        (window.add_without_clip, NewDeliveryDialog),
        (window.relink, RelinkDialog),
        (window.show_keys, QDialog),
        (window.show_cautions, QDialog),
        (window.show_about, QDialog),
    ):
        intent()
        _dialog(kind).reject()


def test_a_removed_delivery_comes_back_by_the_notice(window, session):
    session.add_delivery(delivery_of("Bo 1"))
    window.remove_delivery()
    assert session.delivery("athlete") is None
    window.notices._button.click()
    assert session.delivery("athlete").name == "Bo 1"


def test_look_size_and_units_are_chosen_once(window, session, settings):
    try:
        window.set_look("light")
        assert theme().colours is LIGHT
        window.change_type_size(1)
        assert settings.get("type_scale") == 1.15
        for _ in range(9):
            window.change_type_size(-1)
        assert settings.get("type_scale") == 0.9
        window.set_units("imperial")
        assert session.unit_system == "imperial"
        session.new_project(settings.get("unit_system"))
        assert session.unit_system == "imperial"
    finally:
        theme().apply(QApplication.instance(), "dark", 1.0)
    assert theme().colours is DARK


def test_the_other_stage_takes_the_keys(window, session):
    session.add_delivery(delivery_of("Bo 1"))
    session.add_delivery(delivery_of("Kim 4"), side="model")
    session.activate("athlete")
    window.other_side()
    assert session.active_side == "model"
    window.other_side()
    assert session.active_side == "athlete"


def test_the_page_takes_the_place_of_the_stages(window, placed_pair, qtbot):
    window.show_page()
    assert window.centre.currentWidget() is window.page
    qtbot.waitUntil(lambda: bool(window.page.pdf), timeout=20_000)
    window.page.closed.emit()
    assert window.stages["athlete"].isVisible()


def test_closing_asks_before_work_is_lost(window, session, monkeypatch):
    session.add_delivery(delivery_of("Bo 1"))
    monkeypatch.setattr(project_files, "ask_about_changes", lambda *_: "cancel")
    assert not window.close()
    assert window.isVisible()
    monkeypatch.setattr(project_files, "ask_about_changes", lambda *_: "discard")
    assert window.close()


def test_an_error_is_said_without_a_box(window):
    window.show_error(ClipError("the clip cannot be read", where="a.mp4"))
    assert "a.mp4" in window.notices.text
    assert window.notices.level == "problem"


def test_arrows_step_at_once_after_opening_and_after_adding(window, session, tmp_path, qtbot):
    def focused():
        return window.focusWidget()

    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A))
    session.save_as(tmp_path / "spring.delivery")
    window.checklist.setFocus()
    window.take_file(tmp_path / "spring.delivery")
    assert focused() is window.stages["athlete"].canvas
    tap(window.stages["athlete"].canvas, Qt.Key.Key_Right, SHIFT)
    tap(window.stages["athlete"].canvas, Qt.Key.Key_Left)
    assert session.state("athlete").frame == 24 + 9
    tap(window.stages["athlete"].canvas, Qt.Key.Key_Down)
    assert session.event_at_frame("athlete") == "foot_contact"
    window.scrub.setFocus()
    window.add_without_clip()
    dialog = _dialog(NewDeliveryDialog)
    dialog.form.athlete_name.setCurrentText("Kim")
    dialog.accept()
    assert session.delivery(session.active_side).athlete.name == "Kim"
    assert focused() is window.stages[session.active_side].canvas


def test_stepping_by_arrows_never_moves_a_landmark_it_comes_by(window, placed_pair):
    session, canvas = window.session, window.stages["athlete"].canvas
    session.go_to_event("foot_contact")
    session.choose_landmark("athlete", "neck")
    before = session.record
    tap(canvas, Qt.Key.Key_Escape)
    tap(canvas, Qt.Key.Key_Right)
    tap(canvas, Qt.Key.Key_Left)
    tap(canvas, Qt.Key.Key_Left)
    assert session.state("athlete").frame == 143
    assert session.record == before
    session.go_to_event("foot_contact")
    session.choose_landmark("athlete", "neck")
    tap(canvas, Qt.Key.Key_Right)
    assert session.state("athlete").frame == 144
    assert session.record != before
