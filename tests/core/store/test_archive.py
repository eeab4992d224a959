from __future__ import annotations

import random
import stat
import zipfile

import pytest

from deliverylab.core.errors import NotFoundError, OutputError, ProjectFileError
from deliverylab.core.store.archive import (
    check_folder,
    is_archive,
    unpack_archive,
    write_archive,
)


def _zip(path, *names, link=None, method=zipfile.ZIP_STORED):
    with zipfile.ZipFile(path, "w", method) as archive:
        for name in names:
            archive.writestr(name, b"x")
        if link:
            entry = zipfile.ZipInfo(link)
            entry.external_attr = (stat.S_IFLNK | 0o777) << 16
            archive.writestr(entry, "/etc/passwd")
    return path


def test_what_was_packed_comes_out(tmp_path):
    clip = tmp_path / "ana.mp4"
    clip.write_bytes(bytes(range(256)) * 9)
    made = write_archive(
        tmp_path / "o.zip",
        [("may.delivery", b"{}"), ("clips/ana.mp4", clip), ("READ ME.txt", b"!")],
    )
    project = unpack_archive(made, tmp_path / "out")
    assert project == tmp_path / "out" / "may.delivery"
    assert (tmp_path / "out" / "clips" / "ana.mp4").read_bytes() == clip.read_bytes()
    assert is_archive(made)
    assert not is_archive(project)


def test_a_zip_tells_nobody_when_it_was_made(tmp_path):
    made = write_archive(tmp_path / "o.zip", [("may.delivery", b"{}")])
    assert {entry.date_time for entry in zipfile.ZipFile(made).infolist()} == {
        (2000, 1, 1, 0, 0, 0)
    }


@pytest.mark.parametrize(
    "name",
    [
        "../evil.delivery", "clips/../../evil.mp4", "/etc/evil.delivery", "c:\\evil.delivery",
        "clips\\evil.mp4", "clips/deep/evil.mp4", "other/evil.mp4", ".hidden.delivery", "evil.py",
        "clips/.hidden", "clips//evil.mp4",
    ],
)  # fmt: skip
def test_nothing_is_written_elsewhere(tmp_path, name):
    zipped = _zip(tmp_path / "o.zip", "may.delivery", name)
    with pytest.raises(ProjectFileError, match="no packed project"):
        unpack_archive(zipped, tmp_path / "out")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["o.zip"]


def test_links_two_projects_doubles_and_other_packing_are_refused(tmp_path):
    for number, zipped in enumerate(
        (
            _zip(tmp_path / "a.zip", "may.delivery", link="clips/link.mp4"),
            _zip(tmp_path / "b.zip", "may.delivery", "june.delivery"),
            _zip(tmp_path / "c.zip", "may.delivery", "clips/A.mp4", "clips/a.mp4"),
            _zip(tmp_path / "d.zip", "clips/a.mp4"),
            _zip(tmp_path / "e.zip", "may.delivery", method=zipfile.ZIP_LZMA),
        )
    ):
        with pytest.raises(ProjectFileError):
            unpack_archive(zipped, tmp_path / f"out{number}")


def test_nothing_is_written_over(tmp_path):
    zipped = _zip(tmp_path / "o.zip", "may.delivery")
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "may.delivery").write_text("mine")
    with pytest.raises(OutputError, match="not empty"):
        unpack_archive(zipped, folder)
    assert (folder / "may.delivery").read_text() == "mine"


def test_what_is_no_zip_is_said(tmp_path):
    (tmp_path / "no.zip").write_bytes(b"no zip at all")
    with pytest.raises(ProjectFileError, match="damaged"):
        unpack_archive(tmp_path / "no.zip", tmp_path / "out")
    with pytest.raises(NotFoundError):
        unpack_archive(tmp_path / "nothing.zip", tmp_path / "out")
    with pytest.raises(OutputError):
        write_archive(tmp_path / "missing" / "o.zip", [("may.delivery", b"{}")])
    with pytest.raises(OutputError, match="no such folder"):
        check_folder(tmp_path / "missing" / "o.zip")
    check_folder(tmp_path / "o.zip")


@pytest.mark.parametrize("n_spoilt", [1, 40])
def test_a_damaged_zip_leaves_nothing_behind(tmp_path, n_spoilt):
    letters = "".join(random.Random(1).choices("abcdefgh", k=4000)).encode()
    made = write_archive(tmp_path / "o.zip", [("READ ME.txt", b"!"), ("may.delivery", letters)])
    data = bytearray(made.read_bytes())
    # the second file's packed bytes begin behind its name; from their middle on they are not its own
    start = data.index(b"may.delivery") + len("may.delivery") + 600
    data[start : start + n_spoilt] = bytes(n_spoilt)
    made.write_bytes(data)
    out = tmp_path / "out"
    with pytest.raises(ProjectFileError, match="damaged"):
        unpack_archive(made, out)
    assert list(out.iterdir()) == []
    # so that the same folder serves once the zip was sent again
    write_archive(made, [("may.delivery", letters)])
    assert unpack_archive(made, out).read_bytes() == letters


def test_stopped_writing_leaves_nothing(tmp_path, monkeypatch):
    def stop(*_given):
        raise KeyboardInterrupt

    clip = tmp_path / "ana.mp4"
    clip.write_bytes(b"clip")
    monkeypatch.setattr("deliverylab.core.store.archive.shutil.copyfileobj", stop)
    with pytest.raises(KeyboardInterrupt):
        write_archive(tmp_path / "o.zip", [("clips/ana.mp4", clip)])
    assert [path.name for path in tmp_path.iterdir()] == ["ana.mp4"]
