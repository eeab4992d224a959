"""A fingerprint follows a clip wherever it is moved, and tells others apart."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from deliverylab.core.errors import ClipError
from deliverylab.core.video.fingerprint import fingerprint

KIB = 1024


def test_digests_of_head_and_tail(tmp_path: Path) -> None:
    data = bytes(range(256)) * (4 * KIB)
    path = tmp_path / "clip.mp4"
    path.write_bytes(data)
    found = fingerprint(path)
    assert found.size_bytes == len(data)
    assert found.head_sha256 == hashlib.sha256(data[: 64 * KIB]).hexdigest()
    assert found.tail_sha256 == hashlib.sha256(data[-64 * KIB :]).hexdigest()
    moved = path.rename(tmp_path / "moved.mp4")
    assert fingerprint(str(moved)) == found


@pytest.mark.parametrize("at", [0, 64 * KIB - 1, 512 * KIB - 1, 448 * KIB])
def test_change_at_either_end_shows(tmp_path: Path, at: int) -> None:
    data = bytearray(512 * KIB)
    path = tmp_path / "clip.mp4"
    path.write_bytes(data)
    before = fingerprint(path)
    data[at] = 1
    path.write_bytes(data)
    assert fingerprint(path) != before


def test_short_and_empty_files(tmp_path: Path) -> None:
    path = tmp_path / "short"
    path.write_bytes(b"abc")
    found = fingerprint(path)
    assert found.head_sha256 == found.tail_sha256 == hashlib.sha256(b"abc").hexdigest()
    path.write_bytes(b"")
    assert fingerprint(path).size_bytes == 0


def test_missing_file(tmp_path: Path) -> None:
    with pytest.raises(ClipError, match="relink"):
        fingerprint(tmp_path / "none.mp4")
