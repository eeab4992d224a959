from __future__ import annotations

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QFileDialog, QWidget

from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.journal import Journal, find_recoveries
from deliverylab.core.store.projectfile import load_project, save_project
from deliverylab.core.store.replacing import ChangedOnDiskError
from deliverylab.shell import project_files as module
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.settings import Settings


@pytest.fixture
def settings(tmp_path):
    return Settings(QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat))


@pytest.fixture
def files(pair, settings, qtbot, tmp_path):
    window = QWidget()
    qtbot.addWidget(window)
    return ProjectFiles(pair, settings, window, Journal(tmp_path / "copies"))


def _answer(monkeypatch, answer):
    monkeypatch.setattr(module, "ask_about_changes", lambda *_: answer)


def test_saved_files_are_remembered(files, pair, settings, tmp_path, monkeypatch):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "visit"), ""))
    assert files.save()
    path = tmp_path / "visit.delivery"
    assert path.is_file()
    assert settings.get("recent") == [str(path)]
    assert settings.get("folder") == str(tmp_path)
    pair.place_landmark("athlete", "neck", 1, 2)
    assert files.save()  # to the same place, without asking
    assert not pair.is_modified


def test_a_cancelled_choice_saves_nothing(files, pair, monkeypatch):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("", ""))
    pair.place_landmark("athlete", "neck", 1, 2)
    assert not files.save()
    assert pair.is_modified


def test_unsaved_work_is_asked_about_before_it_is_left(files, pair, monkeypatch, tmp_path):
    assert files.may_leave()
    pair.place_landmark("athlete", "neck", 1, 2)
    _answer(monkeypatch, "cancel")
    assert not files.may_leave()
    files.new()
    assert pair.delivery("athlete") is not None
    _answer(monkeypatch, "discard")
    files.new()
    assert pair.delivery("athlete") is None


def test_save_is_taken_at_its_word(files, pair, monkeypatch, tmp_path):
    path = tmp_path / "a.delivery"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    pair.place_landmark("athlete", "neck", 1, 2)
    _answer(monkeypatch, "save")
    assert files.may_leave()
    assert path.is_file()


def test_a_project_is_opened_and_a_broken_one_is_forgotten(
    files, pair, settings, tmp_path, monkeypatch
):
    path = tmp_path / "a.delivery"
    pair.save_as(path)
    pair.new_project()
    assert files.open(path)
    assert pair.delivery("model").name == "Kim model"
    broken = tmp_path / "broken.delivery"
    broken.write_text("no project", encoding="utf-8")
    settings.remember_recent(str(broken))
    said = []
    monkeypatch.setattr(module, "show_error", lambda _parent, error: said.append(error))
    assert not files.open(broken)
    assert len(said) == 1
    assert settings.get("recent") == [str(path)]
    assert pair.delivery("model").name == "Kim model"


def test_unsaved_work_is_copied_found_again_and_taken_up(files, pair, tmp_path, monkeypatch):
    assert files.keep_copy() is None
    pair.place_landmark("athlete", "neck", 1, 2)
    copy = files.keep_copy()
    assert copy is not None
    assert copy.is_file()
    record = pair.record
    monkeypatch.setattr("deliverylab.core.store.journal._OURS", set())
    monkeypatch.setattr("deliverylab.core.store.journal._RENEWED_S", -1.0)
    found = find_recoveries(folder=tmp_path / "copies")
    assert len(found) == 1
    _answer(monkeypatch, "discard")
    pair.new_project()
    files.recover(found[0])
    assert pair.record == record
    assert pair.is_modified
    assert not found[0].path.is_file()


def test_a_saved_project_leaves_no_copy_behind(files, pair, tmp_path):
    pair.place_landmark("athlete", "neck", 1, 2)
    copy = files.keep_copy()
    pair.save_as(tmp_path / "a.delivery")
    assert not copy.exists()


def test_a_chosen_clip_sets_the_folder(files, settings, tmp_path, monkeypatch):
    monkeypatch.setattr(
        QFileDialog, "getOpenFileName", lambda *_: (str(tmp_path / "in" / "a.mp4"), "")
    )
    assert files.ask_clip() == tmp_path / "in" / "a.mp4"
    assert files.folder() == str(tmp_path / "in")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: ("", ""))
    assert files.ask_clip() is None


@pytest.fixture
def contested(files, pair, tmp_path):
    """A project with an edit of one's own, that somebody else has saved meanwhile."""
    path = tmp_path / "visit.delivery"
    pair.save_as(path)
    save_project(ProjectRecord(title="theirs"), path)
    pair.place_landmark("athlete", "neck", 1, 2)
    return path


def _settle(monkeypatch, answer):
    monkeypatch.setattr(module, "ask_about_conflict", lambda *_: answer)


def test_what_another_program_saved_is_not_written_over(files, pair, contested, monkeypatch):
    _settle(monkeypatch, "cancel")
    own = pair.record
    assert not files.save()
    assert load_project(contested).title == "theirs"
    assert pair.record == own
    assert pair.is_modified


def test_one_saves_under_another_name_beside_it(files, pair, contested, tmp_path, monkeypatch):
    _settle(monkeypatch, "other name")
    other = tmp_path / "mine.delivery"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(other), ""))
    own = pair.record
    assert files.save()
    assert load_project(contested).title == "theirs"
    assert load_project(other) == own
    assert pair.path == other


def test_one_opens_it_and_ones_own_work_can_be_taken_up_again(
    files, pair, contested, tmp_path, monkeypatch, qtbot
):
    _settle(monkeypatch, "theirs")
    own = pair.record
    with qtbot.waitSignal(files.set_aside):
        assert not files.save()
    assert pair.record.title == "theirs"
    assert not pair.is_modified
    (kept,) = find_recoveries(folder=tmp_path / "copies")
    assert kept.project_path == contested
    pair.set_title("theirs, went on with")
    assert files.save()  # what was read is known, so this is no conflict
    assert kept.path.is_file()
    files.take_up_own()
    assert pair.record == own
    _settle(monkeypatch, "cancel")
    assert not files.save(), "taken up again it still does not write over theirs"
    assert load_project(contested).title == "theirs, went on with"


def test_a_file_that_was_taken_away_is_written_again(files, pair, contested):
    contested.unlink()
    assert files.save()
    assert load_project(contested) == pair.record


def test_a_name_without_its_ending_writes_over_nothing(files, pair, tmp_path, monkeypatch):
    save_project(ProjectRecord(title="theirs"), tmp_path / "visit.delivery")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "visit"), ""))
    said = []
    monkeypatch.setattr(module, "show_error", lambda _parent, error: said.append(error.what))
    assert not files.save_as()
    assert said == ["there is a file of that name already"]
    assert load_project(tmp_path / "visit.delivery").title == "theirs"


def test_recovered_work_is_saved_to_its_file_while_nobody_else_did(files, pair, tmp_path):
    path = tmp_path / "visit.delivery"
    pair.save_as(path)
    record = pair.record
    pair.recover(ProjectRecord(title="recovered"), path)
    pair.save()
    assert load_project(path).title == "recovered"
    pair.recover(record, path)
    save_project(ProjectRecord(title="theirs"), path)
    with pytest.raises(ChangedOnDiskError):
        pair.save()
