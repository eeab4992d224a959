"""Read and write project files; a file is whole, or is not there, at every instant."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path
from typing import Any

import msgspec

from deliverylab.core.errors import (
    DeliveryLabError,
    NotFoundError,
    OutputError,
    ProjectFileError,
)
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.checks import complaints, place_of_fault, plain
from deliverylab.core.store.clips import clip_reference, resolve_clip
from deliverylab.core.store.layout import laid_out
from deliverylab.core.store.migrate import migrated
from deliverylab.core.store.schema import from_document, to_document

__all__ = [
    "SUFFIX",
    "clip_reference",
    "load_project",
    "resolve_clip",
    "save_project",
]

SUFFIX = ".delivery"
_BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_UNTOUCHED = "the file was left as it is; restore it from a backup or a recovery copy"


def load_project(path: str | Path) -> ProjectRecord:
    """Read a project file of this or an earlier version; the file is never written to.

    Parameters
    ----------
    path : str or pathlib.Path
        The ``.delivery`` file.

    Raises
    ------
    NotFoundError
        No such file.
    ProjectFileError
        Damaged, or no project; the message says where in the file.
    NewerVersionError
        Written by a newer release.
    """
    file = Path(path)
    return record_from_bytes(_read(file), str(file))


def save_project(record: ProjectRecord, path: str | Path) -> None:
    """Write a project file so that a crash leaves either the old or the new one, whole.

    It is written aside in the same folder, flushed to the disk, read back, and only then takes
    the place of the old file.

    Raises
    ------
    OutputError
        It cannot be written there; the old file is as before.
    """
    # through a symbolic link to the file itself, so that the link stays one
    file = Path(os.path.realpath(path))
    write_atomically(file, record_to_bytes(record, str(path)))


def record_to_bytes(record: ProjectRecord, where: str) -> bytes:
    """Return a project file's bytes, having made sure that they read back as the same record.

    Raises
    ------
    OutputError
        The record holds what a file cannot (a text that is none, NaN).
    """
    try:
        data = laid_out(to_document(record)).encode()
        is_same = record_from_bytes(data, where) == record
    except (UnicodeEncodeError, ProjectFileError) as problem:
        raise OutputError(
            f"the project cannot be written as it is ({problem})",
            where=where,
            remedy="undo the last step and save again",
        ) from problem
    if not is_same:
        raise OutputError(
            "the project does not read back as it was written",
            where=where,
            remedy="undo the last step and save again",
        )
    return data


def record_from_bytes(data: bytes, where: str) -> ProjectRecord:
    """Return the record in a project file's bytes.

    Raises
    ------
    ProjectFileError
        Damaged, or not a project; the message says where in the file.
    NewerVersionError
        Written by a newer release.
    """
    return record_from_document(document_from_bytes(data, where), where)


def document_from_bytes(data: bytes, where: str) -> Any:
    """Return what JSON bytes hold.

    Raises
    ------
    ProjectFileError
        Empty, cut off, or not JSON.
    """
    text = data.removeprefix(_BYTE_ORDER_MARK)
    if not text.strip():
        raise ProjectFileError("the project file is empty", where=where, remedy=_UNTOUCHED)
    try:
        return msgspec.json.decode(text)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as problem:
        raise ProjectFileError(
            f"the file is damaged or not a project: {plain(problem)}",
            where=where,
            remedy=_UNTOUCHED,
        ) from problem


def record_from_document(document: Any, where: str) -> ProjectRecord:
    """Return the record in a decoded document of this or an earlier version.

    Raises
    ------
    ProjectFileError
        Not a project, or wrong somewhere; the message gives the JSON path.
    NewerVersionError
        Written by a newer release.
    """
    present = migrated(document, where)
    try:
        record = from_document(present)
    except (msgspec.ValidationError, DeliveryLabError, OverflowError, RecursionError) as problem:
        path, what = place_of_fault(present, problem)
        raise ProjectFileError(
            f"the project file is wrong: {what}", where=f"{where}, {path}", remedy=_UNTOUCHED
        ) from problem
    for path, what in complaints(record):
        raise ProjectFileError(
            f"the project file is wrong: {what}", where=f"{where}, {path}", remedy=_UNTOUCHED
        )
    return record


def write_atomically(file: Path, data: bytes) -> None:
    """Put a whole file in the place of another, or leave that as it is.

    Raises
    ------
    OutputError
        The folder is missing, not writable, or full.
    """
    aside: Path | None = None
    try:
        handle, name = tempfile.mkstemp(prefix=f".{file.name}.", suffix=".part", dir=file.parent)
        aside = Path(name)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        aside.chmod(_mode_for(file))
        aside.replace(file)
        aside = None
        _flush_folder(file.parent)
    except OSError as problem:
        raise OutputError(
            f"the file cannot be written: {problem.strerror or problem}",
            where=str(file),
            remedy="choose another folder, or free space there; an older file is as it was",
        ) from problem
    finally:
        if aside is not None:
            with contextlib.suppress(OSError):
                aside.unlink()


def _mode_for(file: Path) -> int:
    """Return the old file's permissions, or what a new file gets here."""
    if file.exists():
        return file.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _flush_folder(folder: Path) -> None:
    """Make the new name last; only POSIX can, and some network drives refuse."""
    if os.name != "posix":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _read(file: Path) -> bytes:
    try:
        with file.open("rb") as stream:
            # a clip chosen by mistake is not read whole
            head = stream.read(4096)
            if head.strip() and not head.removeprefix(_BYTE_ORDER_MARK).lstrip().startswith(b"{"):
                raise ProjectFileError(
                    "this is not a deliverylab project",
                    where=str(file),
                    remedy=f"choose a file that ends in {SUFFIX}",
                )
            return head + stream.read()
    except FileNotFoundError as problem:
        raise NotFoundError(
            "there is no such project file",
            where=str(file),
            remedy='check the name, or make one with "deliverylab new"',
        ) from problem
    except OSError as problem:
        raise ProjectFileError(
            f"the project file cannot be read: {problem.strerror or problem}",
            where=str(file),
            remedy="check that it is a file and that you may read it",
        ) from problem
