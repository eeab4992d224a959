"""Recovery copies: what a crash would lose, kept aside and offered at the next start."""

from __future__ import annotations

import contextlib
import os
import sys
import time
import uuid
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec
import platformdirs

from deliverylab.core.errors import OutputError, ProjectFileError
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.layout import laid_out
from deliverylab.core.store.projectfile import record_from_document
from deliverylab.core.store.replacing import write_atomically
from deliverylab.core.store.schema import to_document

SUFFIX = ".recovery"
PERIOD_S = 20.0
"""How often the window has a copy written while there are unsaved edits, seconds."""
_FORMAT = "deliverylab-recovery"
_RENEWED_S = 6 * PERIOD_S
_OURS: set[Path] = set()
"""Copies of the projects that this very process has open."""


@dataclass(frozen=True)
class Recovery:
    """A copy that was left behind.

    Attributes
    ----------
    path : pathlib.Path
        The copy.
    project_path : pathlib.Path or None
        The project file that it belongs to; None when that was never saved.
    written_at : datetime.datetime
        When, with its time zone.
    """

    path: Path
    project_path: Path | None
    written_at: datetime


class _File(msgspec.Struct, kw_only=True):
    """A recovery copy: where from, when, by which process, and the whole project file."""

    format: str
    project_path: str | None
    written_at: datetime
    process: int
    document: dict[str, Any]


def recovery_folder() -> Path:
    """Return the folder of the recovery copies, in the user's data folder."""
    return Path(platformdirs.user_data_path("deliverylab", appauthor=False)) / "recovery"


class Journal:
    """The recovery copy of one open project.

    Parameters
    ----------
    folder : pathlib.Path, optional
        Where copies lie; the user's data folder when left out.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or recovery_folder()
        self._name = f"{uuid.uuid4().hex}{SUFFIX}"
        self._written: list[Path] = []
        self._last: tuple[ProjectRecord, str | None] | None = None

    def write(self, record: ProjectRecord, project_path: Path | None) -> Path | None:
        """Write a copy unless the last one holds the same; return where it is, None if unchanged.

        Call it every `PERIOD_S` seconds while there are unsaved edits: a copy that is renewed
        is known to be in use.  Where the user's data folder cannot be written, the copy goes beside the project.

        Raises
        ------
        OutputError
            Neither place can be written.
        """
        path = None if project_path is None else str(project_path.absolute())
        # records are replaced, not changed, so the same object means nothing was done
        if self._last is not None and self._last[0] is record and self._last[1] == path:
            for target in self._written:
                with contextlib.suppress(OSError):
                    os.utime(target)
            return None
        data = _bytes(record, path)
        target = self._folder / self._name
        try:
            with contextlib.suppress(OSError):
                self._folder.mkdir(parents=True, exist_ok=True)
            write_atomically(target, data)
        except OutputError:
            if project_path is None:
                raise
            target = project_path.with_name(f".{project_path.name}.{self._name}")
            write_atomically(target, data)
        if target not in self._written:
            self._written.append(target)
            _OURS.add(target)
        self._last = (record, path)
        return target

    def leave(self) -> Path | None:
        """Leave the copy to be taken up later and return where it lies; the next is another one."""
        left = self._written[-1] if self._written else None
        _OURS.difference_update(self._written)
        self._written.clear()
        self._last = None
        self._name = f"{uuid.uuid4().hex}{SUFFIX}"
        return left

    def discard(self) -> None:
        """Remove the copy: the project was saved, or closed without saving on purpose."""
        for path in self._written:
            with contextlib.suppress(OSError):
                path.unlink(missing_ok=True)
        _OURS.difference_update(self._written)
        self._written.clear()
        self._last = None


def find_recoveries(
    project_path: Path | None = None, *, folder: Path | None = None
) -> list[Recovery]:
    """Return the copies left behind by sessions that ended badly, the newest first.

    Copies of sessions that are still running are left out, and so are unreadable ones.

    Parameters
    ----------
    project_path : pathlib.Path, optional
        Only those of this project; all when left out.
    folder : pathlib.Path, optional
        Where copies lie; the user's data folder when left out.
    """
    places = [(folder or recovery_folder(), f"*{SUFFIX}")]
    if project_path is not None:
        places.append((project_path.absolute().parent, f".*{SUFFIX}"))
    found: list[Recovery] = []
    for place, pattern in places:
        for path in sorted(place.glob(pattern)):
            with contextlib.suppress(OSError, ProjectFileError):
                copy = _read(path)
                if _is_in_use(path, copy.process):
                    continue
                origin = None if copy.project_path is None else Path(copy.project_path)
                if project_path is None or origin == project_path.absolute():
                    found.append(Recovery(path, origin, copy.written_at))
    return sorted(found, key=lambda recovery: recovery.written_at, reverse=True)


def read_recovery(recovery: Recovery) -> ProjectRecord:
    """Return the record in a recovery copy.

    Raises
    ------
    ProjectFileError
        The copy is damaged.
    """
    try:
        copy = _read(recovery.path)
    except OSError as problem:
        raise ProjectFileError(
            "the recovery copy cannot be read", where=str(recovery.path)
        ) from problem
    return record_from_document(copy.document, str(recovery.path))


def discard_recovery(recovery: Recovery) -> None:
    """Remove a copy that was taken over or is not wanted."""
    with contextlib.suppress(OSError):
        recovery.path.unlink(missing_ok=True)


def _bytes(record: ProjectRecord, project_path: str | None) -> bytes:
    copy = _File(
        format=_FORMAT,
        project_path=project_path,
        written_at=datetime.now(UTC),
        process=os.getpid(),
        document=to_document(record),
    )
    try:
        return laid_out(msgspec.to_builtins(copy)).encode()
    except UnicodeEncodeError as problem:
        raise OutputError("the recovery copy cannot be written", where=str(problem)) from problem


def _read(path: Path) -> _File:
    try:
        copy = msgspec.json.decode(path.read_bytes(), type=_File)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as problem:
        raise ProjectFileError("the recovery copy is damaged", where=str(path)) from problem
    if copy.format != _FORMAT or copy.written_at.tzinfo is None:
        raise ProjectFileError("this is not a recovery copy", where=str(path))
    return copy


def _is_in_use(path: Path, process: int) -> bool:
    """Return whether a window that still runs keeps this copy.

    Its process must live and have renewed the copy of late: numbers of processes come round again.
    """
    if path in _OURS:
        return True
    if process == os.getpid() or time.time() - path.stat().st_mtime > _RENEWED_S:
        return False
    return _is_running(process)


def _is_running(process: int) -> bool:
    if sys.platform == "win32":
        import ctypes

        # signal 0, harmless elsewhere, would reach the process as Ctrl-C here
        query, still_active = 0x1000, 259
        kernel = ctypes.windll.kernel32
        handle = kernel.OpenProcess(query, False, process)
        if not handle:
            return False
        code = ctypes.c_ulong()
        kernel.GetExitCodeProcess(handle, ctypes.byref(code))
        kernel.CloseHandle(handle)
        return code.value == still_active
    if process <= 0:
        return False
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True
