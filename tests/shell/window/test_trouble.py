"""What goes wrong around the window: each case says what, where and the remedy, and loses nothing."""

from __future__ import annotations

import json
import shutil

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QMessageBox

from deliverylab.core.store import journal
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.store.journal import Journal
from deliverylab.shell import app as starting
from deliverylab.shell.dialogs.relink import RelinkDialog
from deliverylab.shell.session import Session
from tests.shell.conftest import MARKS_A, camera_of, delivery_of, figure_tracks

FRAMES = 24


def _answer_box(button=None):
    """Answer the box that is about to open; return the list that gets its words."""
    said = []

    def answer():
        box = QApplication.activeModalWidget()
        assert isinstance(box, QMessageBox)
        said.append(f"{box.text()}\n{box.informativeText()}")
        box.button(button).click() if button is not None else box.accept()

    QTimer.singleShot(0, answer)
    return said


@pytest.fixture
def filmed(session, clip, tmp_path):
    """A saved project with one clip beside it and a body placed in its first frame."""
    beside = tmp_path / "visit" / "small.mp4"
    beside.parent.mkdir()
    shutil.copy(clip, beside)
    path = beside.with_name("visit.delivery")
    camera = camera_of(
        n_frames=FRAMES, tracks=figure_tracks([0]), clip=clip_reference(beside, path)
    )
    session.add_delivery(delivery_of("Bo 1", cameras=(camera,)))
    session.save_as(path)
    return path


def test_a_clip_that_was_moved_is_asked_for_and_found(window, session, filmed, qtbot, tmp_path):
    moved = tmp_path / "elsewhere" / "renamed.mp4"
    moved.parent.mkdir()
    shutil.move(filmed.with_name("small.mp4"), moved)
    session.new_project()
    session.forget_places()
    assert window.files.open(filmed)
    stage = window.stages["athlete"]
    assert "small.mp4 is not where it was. Its measurements are all here." in stage.notice.text
    assert not stage.feed.is_open
    assert len(stage.canvas.scene.points) == 20
    stage.notice._button.click()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, RelinkDialog)
    other = tmp_path / "elsewhere" / "other.mp4"
    other.write_bytes(b"something else")
    dialog.take(dialog.lost[0], other)
    assert dialog.lost, "another file is not taken for it"
    assert "not" in dialog._said.text()
    dialog.take(dialog.lost[0], moved)
    assert dialog.lost == ()
    dialog.reject()
    assert stage.feed.is_open
    assert session.clip_path("athlete") == moved
    session.undo()
    assert session.clip_path("athlete") is None


def test_a_clip_that_cannot_be_read_leaves_the_measurements(window, session, filmed):
    clip = filmed.with_name("small.mp4")
    clip.write_bytes(b"x" * clip.stat().st_size)
    session.new_project()
    session.forget_places()
    window.files.open(filmed)
    stage = window.stages["athlete"]
    assert stage.notice.text
    assert len(stage.canvas.scene.points) == 20


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda text: text[: len(text) // 2], "backup"),
        (lambda text: text.replace('"athlete"', '"athlet"', 1), "left"),
        (lambda text: json.dumps(json.loads(text) | {"version": 99}), "left as it is"),
        (lambda _text: "", "left"),
    ],
    ids=["cut off", "wrong inside", "newer", "empty"],
)
def test_a_file_that_cannot_be_used_is_left_alone(window, session, filmed, change, words):
    bad = filmed.with_name("bad.delivery")
    bad.write_text(change(filmed.read_text(encoding="utf-8")), encoding="utf-8")
    before, record = bad.read_bytes(), session.record
    said = _answer_box()
    assert not window.files.open(bad)
    assert "bad.delivery" in said[0], "where"
    assert words in said[0], "remedy"
    assert said[0].count("\n") >= 2
    assert bad.read_bytes() == before
    assert session.record is record
    assert session.path == filmed


def test_a_folder_that_cannot_be_written_keeps_the_work(window, session, filmed, tmp_path):
    session.mark_event("athlete", "leg_lift", 0.05)
    no_folder = tmp_path / "a file, no folder"
    no_folder.write_text("x")
    saved = filmed.read_bytes()
    said = _answer_box()
    assert not window.files._save_to(no_folder / "visit.delivery")
    assert "choose another folder" in said[0].lower()
    assert str(no_folder) in said[0]
    assert session.is_modified
    assert session.path == filmed, "the next save goes where it went before"
    assert filmed.read_bytes() == saved
    assert len(list((tmp_path / "copies").glob("*.recovery"))) == 1
    assert window.files.save()
    assert not session.is_modified


@pytest.mark.parametrize("answer", ["Save", "Discard", "Cancel"])
def test_closing_with_unsaved_work_does_as_it_is_told(window, session, filmed, answer):
    session.mark_event("athlete", "leg_lift", 0.05)
    window.files.keep_copy()
    copies = filmed.parent.parent / "copies"
    button = getattr(QMessageBox.StandardButton, answer)
    said = _answer_box(button)
    assert window.close() == (answer != "Cancel")
    assert "not saved" in said[0]
    assert window.isVisible() == (answer == "Cancel")
    assert ("leg_lift" in filmed.read_text(encoding="utf-8")) == (answer == "Save")
    assert bool(list(copies.glob("*.recovery"))) == (answer == "Cancel")


@pytest.mark.parametrize("is_named", [False, True])
def test_what_a_crash_left_is_offered_at_the_next_start(
    open_window, filmed, tmp_path, monkeypatch, is_named
):
    lost = Session()
    lost.open_project(filmed)
    lost.mark_event("athlete", "leg_lift", 0.05)
    copy = Journal(tmp_path / "copies").write(lost.record, lost.path)
    # as if its process had gone long ago
    monkeypatch.setattr(journal, "_OURS", set())
    monkeypatch.setattr(journal, "_RENEWED_S", -1.0)
    monkeypatch.setattr(journal, "recovery_folder", lambda: tmp_path / "copies")
    window = open_window(Session())
    starting._begin(window, [str(filmed)] if is_named else [])
    assert "Unsaved work on visit was kept" in window.notices.text
    assert copy.is_file(), "it stays until it is taken up"
    window.notices._button.click()
    assert "leg_lift" in window.session.camera("athlete").marks
    assert window.session.path == filmed
    assert window.session.is_modified
    assert not copy.is_file()
    assert "leg_lift" not in filmed.read_text(encoding="utf-8"), "nothing is saved unasked"


def test_a_copy_that_is_damaged_is_said_to_be(open_window, filmed, tmp_path, monkeypatch):
    lost = Session()
    lost.open_project(filmed)
    lost.mark_event("athlete", "leg_lift", MARKS_A["leg_lift"])
    copy = Journal(tmp_path / "copies").write(lost.record, lost.path)
    monkeypatch.setattr(journal, "_OURS", set())
    monkeypatch.setattr(journal, "_RENEWED_S", -1.0)
    monkeypatch.setattr(journal, "recovery_folder", lambda: tmp_path / "copies")
    window = open_window(Session())
    starting._begin(window, [])
    copy.write_text("{")
    said = _answer_box()
    window.notices._button.click()
    assert "damaged" in said[0]
    assert copy.is_file()
    assert window.session.delivery("athlete") is None
