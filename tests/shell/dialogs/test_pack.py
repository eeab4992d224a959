from __future__ import annotations

import zipfile

import pytest
from PySide6.QtCore import Qt

from deliverylab.core.model.changes import replace
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.workflow import packing_blur
from deliverylab.shell.dialogs.pack import NOT_LOCATED, PackPanel
from tests.shell.conftest import camera_of, delivery_of


@pytest.fixture
def panel(session, clip, qtbot, monkeypatch):
    monkeypatch.setattr(packing_blur, "detector_weights", lambda: None)
    camera = replace(
        camera_of(n_frames=24), width_px=320, height_px=240, clip=clip_reference(clip, None)
    )
    session.add_delivery(delivery_of("Bo 1", cameras=(camera,)))
    session.add_delivery(delivery_of("Kim 2"))
    session.select("athlete", "Bo 1")
    session.activate("athlete")
    made = PackPanel(session, "athlete")
    qtbot.addWidget(made)
    made.resize(318, 700)
    made.show()
    return made


def test_all_deliveries_are_ticked_and_nothing_is_left_out(panel):
    choices = panel.choices
    assert choices.deliveries == ("Bo 1", "Kim 2")
    assert not any(choices[:4])


def test_no_delivery_no_zip(panel):
    for box in panel.deliveries.values():
        box.setFocus()
        box.click()
    assert not panel.pack.isEnabled()


def test_blurred_heads_can_be_looked_at_first(panel, qtbot):
    assert panel.preview.isHidden()
    assert panel.warning.text() == ""
    panel.faces.click()
    assert "In 24 of 24 pictures" in panel.warning.text()
    assert not panel.preview.isHidden()
    panel.preview.click()
    qtbot.waitUntil(lambda: not panel.picture.isHidden(), timeout=20_000)
    assert panel._about_picture.text() == NOT_LOCATED
    panel.faces.click()
    assert panel.picture.isHidden()


def test_the_zip_is_written_and_told(panel, qtbot, tmp_path):
    panel.faces.click()
    panel.names.click()
    panel.pack_to(tmp_path / "o")
    qtbot.waitUntil(lambda: panel.answer.text != "", timeout=30_000)
    assert panel.answer.text.startswith("Packed: o.zip")
    assert "24 of 24 pictures are blurred all over." in panel.answer.text
    assert "delivery.delivery" in zipfile.ZipFile(tmp_path / "o.zip").namelist()
    assert panel.pack.isEnabled()


def test_what_cannot_be_written_is_said(panel, qtbot, tmp_path):
    panel.pack_to(tmp_path / "missing" / "o.zip")
    qtbot.waitUntil(lambda: panel.problem.text() != "", timeout=30_000)
    assert "cannot be written" in panel.problem.text()


def test_it_can_be_stopped(panel, qtbot, tmp_path):
    panel.pack_to(tmp_path / "o.zip")
    qtbot.mouseClick(panel.working.stop, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not panel.working.is_busy, timeout=30_000)
    assert panel.answer.text.startswith("Stopped")
    assert not (tmp_path / "o.zip").exists()
