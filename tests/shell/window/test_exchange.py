from __future__ import annotations

import json

import pytest
from PySide6.QtCore import QStandardPaths
from PySide6.QtWidgets import QFileDialog

from tests.shell.conftest import MARKS_A, delivery_of


@pytest.mark.parametrize("ending", ["csv", "json"])
def test_readings_are_written_as_a_table(window, session, tmp_path, monkeypatch, ending):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A))
    path = tmp_path / f"spring.{ending}"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    window.export_table("results")
    text = path.read_text(encoding="utf-8")
    assert "Bo 1" in text
    assert (ending == "json") == (text[0] in "[{" and bool(json.loads(text)))
    assert f"Wrote spring.{ending}" in window.notices.text


def test_the_kind_that_was_chosen_gives_the_ending(window, session, tmp_path, monkeypatch):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A))
    kind = "Parquet, for a notebook (*.parquet)"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "marks"), kind))
    window.actions_by_key["export_events"].trigger()
    assert (tmp_path / "marks.parquet").read_bytes().startswith(b"PAR1")


def test_a_table_that_cannot_be_written_says_why(window, session, tmp_path, monkeypatch):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A))
    path = tmp_path / "no folder" / "spring.csv"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    window.export_table("results")
    assert window.notices.level == "problem"
    assert "spring.csv" in window.notices.text


def test_positions_are_asked_for_and_placed(window, session, tmp_path, monkeypatch):
    session.add_delivery(delivery_of("Bo 1"))
    session.set_hidden("athlete", "neck", True)
    table = tmp_path / "points.csv"
    table.write_text("frame;landmark;x_px;y_px\n0;neck;10,5;20\n")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(table), ""))
    window.import_positions()
    camera = session.camera("athlete")
    assert camera.track("neck").at(0).x_px == 10.5
    assert not camera.is_occluded("neck", 0)
    session.undo()
    assert session.camera("athlete").is_occluded("neck", 0)


def test_the_example_is_made_and_opened(window, session, qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr(QStandardPaths, "writableLocation", lambda *_: str(tmp_path))
    with qtbot.waitSignal(window.files.opened, timeout=60_000):
        window.open_example()
    assert session.path.parent == tmp_path / "deliverylab-example"
    assert session.delivery("model") is not None
    assert session.clip_path("athlete").is_file()
    assert not session.is_modified
