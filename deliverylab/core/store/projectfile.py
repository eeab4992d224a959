"""Read and write project files; a file is whole, or is not there, at every instant."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Any, NamedTuple

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
from deliverylab.core.store.replacing import state_of, write_atomically
from deliverylab.core.store.schema import from_document, to_document

__all__ = [
    "SUFFIX",
    "OpenedProject",
    "clip_reference",
    "load_project",
    "open_project_file",
    "resolve_clip",
    "save_project",
]

SUFFIX = ".delivery"
_BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_UNTOUCHED = "the file was left as it is; restore it from a backup or a recovery copy"


class OpenedProject(NamedTuple):
    """A record, and the state of the file that it was read from.

    Attributes
    ----------
    record : ProjectRecord
        What the file holds.
    state : str
        Handed to `save_project`, it keeps edits that somebody else saved meanwhile.
    """

    record: ProjectRecord
    state: str


def load_project(path: str | Path) -> ProjectRecord:
    """Read a project file that will not be saved again; as `open_project_file`."""
    return open_project_file(path).record


def open_project_file(path: str | Path) -> OpenedProject:
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
    data = _read(file)
    return OpenedProject(record_from_bytes(data, str(file)), state_of(data))


def save_project(
    record: ProjectRecord, path: str | Path, *, expected_state: str | None = None
) -> str:
    """Write a project file so that a crash leaves either the old or the new one, whole.

    It is read back, written aside in the same folder, flushed to the disk, and only then takes
    the place of the old file.

    Parameters
    ----------
    record : ProjectRecord
        What to write.
    path : str or pathlib.Path
        The ``.delivery`` file.
    expected_state : str, optional
        The state in which the file was opened or last saved, or
        `deliverylab.core.store.replacing.NO_FILE` for one that must not be there; left out,
        whatever is there is replaced.

    Returns
    -------
    str
        The file's new state.

    Raises
    ------
    OutputError
        It cannot be written there; the old file is as before.
    ChangedOnDiskError
        The file is in another state than expected: somebody else has saved it.
    """
    data = record_to_bytes(record, str(path))
    # through a symbolic link to the file itself, so that the link stays one
    write_atomically(Path(os.path.realpath(path)), data, expected_state=expected_state)
    return state_of(data)


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


def _read(file: Path) -> bytes:
    try:
        # opening a pipe would wait for somebody to write into it
        if not stat.S_ISREG(file.stat().st_mode):
            raise ProjectFileError(
                "the project cannot be read: this is not a file",
                where=str(file),
                remedy=f"choose a file that ends in {SUFFIX}",
            )
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
