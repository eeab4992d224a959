from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog

from deliverylab.core.model.changes import replace
from deliverylab.core.store.archive import write_archive
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.store.projectfile import record_to_bytes
from deliverylab.shell.dialogs.pack import PackPanel
from tests.shell.conftest import camera_of, delivery_of


@pytest.fixture
def filmed(window, session, clip):
    camera = replace(
        camera_of(n_frames=24), width_px=320, height_px=240, clip=clip_reference(clip, None)
    )
    session.add_delivery(delivery_of("Bo 1", cameras=(camera,)))
    session.select("athlete", "Bo 1")
    return window


def test_two_presses_from_the_keys_to_the_zip(filmed, qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "o.zip"), ""))
    qtbot.keyClick(
        filmed,
        Qt.Key.Key_P,
        Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    )
    panel = filmed.tool
    assert isinstance(panel, PackPanel)
    qtbot.mouseClick(panel.pack, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: panel.answer.text.startswith("Packed"), timeout=30_000)
    assert (tmp_path / "o.zip").exists()
    filmed.show_pack()
    assert filmed.tool is panel


def test_the_stage_is_saved_as_a_picture(filmed, tmp_path, monkeypatch):
    asked = []

    def name(_window, _title, start, _kinds):
        asked.append(start)
        return str(tmp_path / "p"), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", name)
    filmed.actions_by_key["export_picture"].trigger()
    assert (tmp_path / "p.png").read_bytes().startswith(b"\x89PNG")
    assert "Bo 1 frame" in asked[0]
    assert "p.png" in filmed.notices.text


def test_a_zip_is_unpacked_where_asked_and_opened(filmed, session, tmp_path, monkeypatch):
    zipped = write_archive(
        tmp_path / "may.zip", [("may.delivery", record_to_bytes(session.record, "x"))]
    )
    session.undo_stack.setClean()
    chosen = tmp_path / "here"
    chosen.mkdir()
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(chosen))
    assert filmed.files.open(zipped)
    assert session.path == chosen / "may" / "may.delivery"
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: "")
    assert not filmed.files.open(zipped)
