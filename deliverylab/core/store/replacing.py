"""Put a whole file in the place of another: never half of one, and never over another's edits."""

from __future__ import annotations

import contextlib
import hashlib
import os
import stat
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from deliverylab.core.errors import OutputError

NO_FILE = ""
"""The state of a file that is not there."""
_LONGEST_NAME = 40


class ChangedOnDiskError(OutputError):
    """A file was written by somebody else since it was read; it is left as they wrote it."""


def state_of(data: bytes) -> str:
    """Return what tells one content of a file from another."""
    return hashlib.sha256(data).hexdigest()


def write_atomically(file: Path, data: bytes, *, expected_state: str | None = None) -> None:
    """Put a whole file in the place of another, or leave that as it is.

    Parameters and errors are those of `replacement`, with the file's new content as `data`.
    """
    with replacement(file, expected_state=expected_state) as stream:
        stream.write(data)


def make_folder(folder: Path) -> None:
    """Make a folder, with those above it; one that is there already stays.

    Raises
    ------
    OutputError
        It cannot be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise OutputError(
            f"the folder cannot be made: {problem.strerror or problem}", where=str(folder)
        ) from problem


@contextlib.contextmanager
def replacement(file: Path, *, expected_state: str | None = None) -> Iterator[BinaryIO]:
    """Give a stream for the new content of a file, which takes the old one's place at the end.

    Where the block within is left by an error, the file stays as it is.

    Parameters
    ----------
    file : pathlib.Path
        The file itself, not a link to it.
    expected_state : str, optional
        Write only while the file holds this (see `state_of`; `NO_FILE`: while it is not there).

    Raises
    ------
    OutputError
        The folder is missing, not writable, or full; or that is no ordinary file, or it is
        write-protected.
    ChangedOnDiskError
        The file holds something else than expected.
    """
    aside: Path | None = None
    try:
        _check_replaceable(file)
        handle, name = tempfile.mkstemp(
            prefix=f".{file.name[:_LONGEST_NAME]}.", suffix=".part", dir=file.parent
        )
        aside = Path(name)
        with os.fdopen(handle, "wb") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        aside.chmod(_mode_for(file))
        with _alone_in(file.parent):
            if expected_state is not None:
                _check_state(file, expected_state)
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


def _check_replaceable(file: Path) -> None:
    """Refuse devices, pipes and folders, and files that somebody has protected."""
    try:
        mode = file.stat().st_mode
    except FileNotFoundError:
        return
    if not stat.S_ISREG(mode):
        raise OutputError(
            "this is no file that can be written over",
            where=str(file),
            remedy="choose another name",
        )
    # replacing a file asks for no right to write it, so a protected one would be lost
    if not os.access(file, os.W_OK):
        raise OutputError(
            "the file is write-protected",
            where=str(file),
            remedy="choose another name, or take the protection away",
        )


def _check_state(file: Path, expected: str) -> None:
    try:
        present = state_of(file.read_bytes())
    except FileNotFoundError:
        present = NO_FILE
    if present == expected:
        return
    if expected == NO_FILE:
        raise ChangedOnDiskError(
            "there is a file of that name already", where=str(file), remedy="choose another name"
        )
    raise ChangedOnDiskError(
        "the file was changed by another program since it was opened",
        where=str(file),
        remedy="save under another name, or open it anew and repeat the edit; "
        "what the other program wrote is kept",
    )


@contextlib.contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Keep other writers out of a folder for an instant; only POSIX can, and not every drive."""
    if os.name != "posix":
        yield
        return
    import fcntl

    handle: int | None = None
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        fcntl.flock(handle, fcntl.LOCK_EX)
    try:
        yield
    finally:
        if handle is not None:
            os.close(handle)


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
