from __future__ import annotations

import os
import stat

import pytest

from deliverylab.core.errors import OutputError
from deliverylab.core.store.replacing import (
    NO_FILE,
    ChangedOnDiskError,
    make_folder,
    replacement,
    state_of,
    write_atomically,
)

posix_only = pytest.mark.skipif(os.name != "posix", reason="pipes and links of POSIX")


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "a.delivery"
    write_atomically(path, b"old, and longer")
    return path


def test_a_file_is_replaced_whole(path):
    write_atomically(path, b"new")
    assert path.read_bytes() == b"new"
    assert list(path.parent.iterdir()) == [path]


def test_it_is_replaced_while_it_is_as_expected(path):
    write_atomically(path, b"new", expected_state=state_of(b"old, and longer"))
    assert path.read_bytes() == b"new"


def test_what_somebody_else_wrote_is_kept(path):
    state = state_of(path.read_bytes())
    path.write_bytes(b"theirs")
    with pytest.raises(ChangedOnDiskError, match="changed by another program") as caught:
        write_atomically(path, b"ours", expected_state=state)
    assert caught.value.exit_code == OutputError.exit_code
    assert path.read_bytes() == b"theirs"
    path.unlink()
    with pytest.raises(ChangedOnDiskError):
        write_atomically(path, b"ours", expected_state=state)
    assert list(path.parent.iterdir()) == []


def test_a_new_file_takes_the_place_of_none(path):
    with pytest.raises(ChangedOnDiskError, match="a file of that name"):
        write_atomically(path, b"new", expected_state=NO_FILE)
    assert path.read_bytes() == b"old, and longer"
    path.unlink()
    write_atomically(path, b"new", expected_state=NO_FILE)
    assert path.read_bytes() == b"new"


@posix_only
def test_a_pipe_is_not_replaced(tmp_path):
    pipe = tmp_path / "a.delivery"
    os.mkfifo(pipe)
    with pytest.raises(OutputError, match="no file that can be written over"):
        write_atomically(pipe, b"new")
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_a_folder_is_not_replaced(tmp_path):
    with pytest.raises(OutputError, match="no file that can be written over"):
        write_atomically(tmp_path, b"new")


def test_a_protected_file_is_not_replaced(path, monkeypatch):
    # a superuser may write everything, so the answer is made
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(OutputError, match="write-protected"):
        write_atomically(path, b"new")
    assert path.read_bytes() == b"old, and longer"


@pytest.mark.parametrize("length", [240, 250])
def test_a_long_name_is_written(tmp_path, length):
    path = tmp_path / ("x" * length)
    write_atomically(path, b"new")
    assert path.read_bytes() == b"new"


def test_a_name_beyond_every_limit_is_refused(tmp_path):
    with pytest.raises(OutputError, match="cannot be written"):
        write_atomically(tmp_path / ("x" * 5000), b"new")


@pytest.mark.parametrize("kind", [KeyboardInterrupt, ValueError, OSError])
def test_a_block_left_by_an_error_changes_nothing(path, kind):
    def half():
        with replacement(path) as stream:
            stream.write(b"half")
            raise kind

    with pytest.raises(OutputError if kind is OSError else kind):
        half()
    assert path.read_bytes() == b"old, and longer"
    assert list(path.parent.iterdir()) == [path]
    with replacement(path) as stream:
        stream.write(b"whole ")
        stream.write(b"now")
    assert path.read_bytes() == b"whole now"


def test_a_folder_is_made_with_those_above_it_or_it_is_said(path, tmp_path):
    folder = tmp_path / "one" / "two"
    make_folder(folder)
    make_folder(folder)
    assert folder.is_dir()
    with pytest.raises(OutputError, match="folder cannot be made"):
        make_folder(path / "below a file")
