from __future__ import annotations

import shutil

import pytest

from deliverylab.core.model.changes import replace
from deliverylab.core.store.clips import clip_reference
from deliverylab.shell.dialogs.relink import RelinkDialog
from tests.shell.conftest import camera_of, delivery_of


@pytest.fixture
def moved(session, clip, tmp_path, qtbot):
    """Two deliveries whose clips were moved elsewhere, and the folder they are in now."""
    old, new = tmp_path / "old", tmp_path / "new"
    old.mkdir()
    new.mkdir()
    for number, name in enumerate(("a.mp4", "b.mp4")):
        shutil.copy(clip, old / name)
        with (old / name).open("ab") as file:
            file.write(bytes([number]))
        camera = replace(camera_of(), clip=clip_reference(old / name, None))
        session.add_delivery(delivery_of(f"Bo {number}", cameras=(camera,)))
    for name in ("a.mp4", "b.mp4"):
        (old / name).rename(new / name)
    session.forget_places()
    dialog = RelinkDialog(session)
    qtbot.addWidget(dialog)
    return dialog, new


def test_one_is_shown_and_the_other_is_found_beside_it(moved, session):
    dialog, folder = moved
    assert [lost.delivery for lost in dialog.lost] == ["Bo 0", "Bo 1"]
    assert session.clip_path("athlete") is None
    dialog.take(dialog.lost[0], folder / "a.mp4")
    assert dialog.lost == ()
    assert "Found 2 clips" in dialog._said.text()
    assert session.clip_path("athlete") == folder / "a.mp4"
    session.undo()
    session.undo()
    assert len(dialog.lost) == 2


def test_another_clip_is_not_taken(moved):
    dialog, folder = moved
    dialog.take(dialog.lost[0], folder / "b.mp4")
    assert "another file" in dialog._said.text()
    assert len(dialog.lost) == 2
