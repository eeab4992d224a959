from __future__ import annotations

import pytest
from PySide6.QtCore import QMimeData, QPointF, QStandardPaths, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog

from deliverylab.core.errors import ClipError
from deliverylab.shell import project_files
from deliverylab.shell.actions import ACTIONS
from deliverylab.shell.dialogs.new_delivery import NewDeliveryDialog
from deliverylab.shell.dialogs.relink import RelinkDialog
from deliverylab.shell.theme import DARK, LIGHT, theme
from tests.shell.conftest import MARKS_A, delivery_of


def _dialog(kind):
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, kind)
    return dialog


def _drop(window, path):
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    event = QDropEvent(
        QPointF(5, 5),
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


def test_tables_are_written_into_a_folder(window, session, tmp_path, monkeypatch):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A))
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(tmp_path))
    window.export_tables()
    assert (tmp_path / "results.csv").is_file()
    assert window.notices.text == "Wrote results.csv."


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


def test_the_example_is_made_and_opened(window, session, qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr(QStandardPaths, "writableLocation", lambda *_: str(tmp_path))
    with qtbot.waitSignal(window.files.opened, timeout=60_000):
        window.open_example()
    assert session.path.parent == tmp_path / "deliverylab-example"
    assert session.delivery("model") is not None
    assert session.clip_path("athlete").is_file()
    assert not session.is_modified


def test_an_error_is_said_without_a_box(window):
    window.show_error(ClipError("the clip cannot be read", where="a.mp4"))
    assert "a.mp4" in window.notices.text
    assert window.notices.level == "problem"
