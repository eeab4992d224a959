from __future__ import annotations

import shutil

import pytest

from deliverylab.cli import project_commands
from deliverylab.core.store.projectfile import load_project
from deliverylab.core.workflow import packing_blur
from tests.core.workflow.packed import example, replace, saved_with_clips


@pytest.fixture(scope="module")
def filmed(tmp_path_factory):
    """The example with tiny clips; the first delivery trimmed."""
    record = example()
    own = replace(record.deliveries[0], cameras=record.deliveries[0].cameras[:1], space=None)
    return saved_with_clips(
        replace(record, deliveries=(own,), pair=None), tmp_path_factory.mktemp("filmed")
    )[1]


def test_pack_and_unpack(run, filmed, tmp_path):
    zipped = tmp_path / "may.zip"
    status, said, notes = run("pack", filmed, zipped)
    assert (status, notes) == (0, "")
    assert "frames 0 to 390 of 391" in said
    assert f"written: {zipped}" in said
    status, said, _ = run("unpack", zipped, tmp_path / "out")
    assert (status, said) == (0, f"unpacked: {tmp_path / 'out' / 'may.delivery'}\n")
    assert run("check", tmp_path / "out" / "may.delivery")[0] == 0


def test_names_and_faces_are_left_out_where_asked(run, filmed, tmp_path, monkeypatch):
    monkeypatch.setattr(packing_blur, "detector_weights", lambda: None)
    zipped = tmp_path / "a.zip"
    status, said, notes = run("pack", filmed, zipped, "--without-names", "--blur-faces")
    assert status == 0
    assert "Aldery" not in said
    assert "no head was located in" in notes
    run("unpack", zipped, tmp_path / "out")
    after = load_project(tmp_path / "out" / "delivery.delivery")
    assert after.deliveries[0].name == "Athlete A 1"


def test_a_zip_is_opened_from_a_folder_of_its_name(run, filmed, tmp_path, monkeypatch):
    zipped = tmp_path / "may.zip"
    run("pack", filmed, zipped)
    shown = []
    monkeypatch.setattr(project_commands, "show_window", lambda path: shown.append(path) or 0)
    assert run("open", zipped)[0] == 0
    assert shown == [tmp_path / "may" / "may.delivery"]
    # once more would write over it
    assert run("open", zipped)[0] == 8


def test_a_missing_clip_is_said(run, filmed, tmp_path):
    alone = shutil.copyfile(filmed, tmp_path / "alone.delivery")
    status, said, notes = run("pack", alone, tmp_path / "a.zip")
    assert status == 0
    assert "could not be found" in said
    assert "not packed, for it cannot be found" in notes


def test_requests_that_cannot_be(run, filmed, tmp_path):
    zipped = tmp_path / "a.zip"
    zipped.write_bytes(b"mine")
    for arguments, status, words in (
        ((filmed, tmp_path / "a.7z"), 2, "end in .zip"),
        ((filmed, zipped), 8, "--overwrite"),
        ((filmed, tmp_path / "b.zip", "--delivery", "Nobody"), 6, "no such delivery"),
    ):
        found, said, problem = run("pack", *arguments)
        assert (found, said) == (status, "")
        assert words in problem
    assert zipped.read_bytes() == b"mine"
    assert run("pack", filmed, zipped, "--overwrite")[0] == 0
    assert run("unpack", filmed, tmp_path / "out")[0] == 4
