from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from deliverylab.core.errors import OutputError, ProjectFileError
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store import journal
from deliverylab.core.store.journal import (
    Journal,
    Recovery,
    discard_recovery,
    find_recoveries,
    read_recovery,
    recovery_folder,
)

_CRASH = """
import os, sys
from pathlib import Path
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.journal import Journal
project = Path(sys.argv[2]) if len(sys.argv) > 2 else None
Journal(Path(sys.argv[1])).write(ProjectRecord(title="unsaved"), project)
os._exit(1)
"""


def _crash(folder, *project):
    command = [sys.executable, "-c", _CRASH, str(folder), *map(str, project)]
    subprocess.run(command, check=False, cwd=Path(__file__).parents[3])


def test_a_crash_leaves_a_copy_that_can_be_taken_over(tmp_path):
    project = tmp_path / "a.delivery"
    _crash(tmp_path / "kept", project)
    (left,) = find_recoveries(project, folder=tmp_path / "kept")
    assert left.project_path == project
    assert read_recovery(left) == ProjectRecord(title="unsaved")
    discard_recovery(left)
    assert find_recoveries(folder=tmp_path / "kept") == []


def test_copies_are_found_by_project_and_without_one(tmp_path):
    folder = tmp_path / "kept"
    _crash(folder, tmp_path / "a.delivery")
    _crash(folder)
    assert len(find_recoveries(folder=folder)) == 2
    assert len(find_recoveries(tmp_path / "a.delivery", folder=folder)) == 1
    assert find_recoveries(tmp_path / "b.delivery", folder=folder) == []


def test_the_newest_copy_comes_first(tmp_path):
    _crash(tmp_path / "kept")
    _crash(tmp_path / "kept")
    first, second = find_recoveries(folder=tmp_path / "kept")
    assert first.written_at >= second.written_at


def test_a_copy_in_use_is_not_offered(tmp_path):
    kept = Journal(tmp_path)
    assert kept.write(ProjectRecord(title="a"), None) is not None
    assert find_recoveries(folder=tmp_path) == []
    kept.discard()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name != "posix", reason="process 1 is init on POSIX")
def test_a_copy_of_another_running_window_is_offered_only_when_it_is_no_longer_renewed(tmp_path):
    _crash(tmp_path)
    (path,) = tmp_path.iterdir()
    text = path.read_text(encoding="utf-8")
    start = text.index('"process": ')
    end = text.index(",", start)
    path.write_text(f'{text[:start]}"process": 1{text[end:]}', encoding="utf-8")
    assert find_recoveries(folder=tmp_path) == []
    os.utime(path, (0, 0))
    assert len(find_recoveries(folder=tmp_path)) == 1


def test_an_unchanged_project_is_not_written_again_but_renewed(tmp_path):
    record = ProjectRecord(title="a")
    kept = Journal(tmp_path)
    path = kept.write(record, None)
    os.utime(path, (0, 0))
    assert kept.write(record, None) is None
    assert path.stat().st_mtime > 0
    assert kept.write(ProjectRecord(title="b"), None) == path
    assert len(list(tmp_path.iterdir())) == 1
    kept.discard()


def test_the_copy_goes_beside_the_project_when_the_folder_cannot_be_used(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_bytes(b"")
    project = tmp_path / "a.delivery"
    kept = Journal(blocked)
    path = kept.write(ProjectRecord(title="a"), project)
    assert path.parent == tmp_path
    assert path.name.startswith(".a.delivery.")
    kept.discard()

    with pytest.raises(OutputError):
        Journal(blocked).write(ProjectRecord(title="a"), None)
    _crash(blocked, project)
    assert len(find_recoveries(project, folder=tmp_path / "none")) == 1


@pytest.mark.parametrize("data", [b"", b"{}", b"\xff", b"[" * 5000, b'{"format": "x"}'])
def test_a_damaged_copy_is_passed_over(data, tmp_path):
    path = tmp_path / "a.recovery"
    path.write_bytes(data)
    assert find_recoveries(folder=tmp_path) == []
    (tmp_path / "b").mkdir()
    _crash(tmp_path / "b")
    (left,) = find_recoveries(folder=tmp_path / "b")
    with pytest.raises(ProjectFileError, match="recovery copy is damaged"):
        read_recovery(Recovery(path, None, left.written_at))


def test_a_vanished_copy_is_said(tmp_path):
    _crash(tmp_path)
    (left,) = find_recoveries(folder=tmp_path)
    discard_recovery(left)
    discard_recovery(left)
    with pytest.raises(ProjectFileError, match="cannot be read"):
        read_recovery(left)


def test_copies_lie_in_the_users_data_folder():
    assert recovery_folder().name == "recovery"
    assert "deliverylab" in recovery_folder().parts
    assert journal.PERIOD_S <= 60


def test_a_copy_that_is_left_can_be_taken_up_and_is_not_written_over(tmp_path):
    kept = Journal(tmp_path)
    assert kept.leave() is None
    first = kept.write(ProjectRecord(title="own"), None)
    assert find_recoveries(folder=tmp_path) == []
    assert kept.leave() == first
    second = kept.write(ProjectRecord(title="next"), None)
    assert second != first
    kept.discard()
    (found,) = find_recoveries(folder=tmp_path)
    assert read_recovery(found).title == "own"
