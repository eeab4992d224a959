"""An instructor's own links, cues and drills, kept beside a project or in the user's data folder.

The file is read and written here and nowhere else; nothing of it leaves this machine.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import msgspec
import platformdirs

from deliverylab.core.errors import DeliveryLabError, NotFoundError, ProjectFileError
from deliverylab.core.model.library import Library
from deliverylab.core.store.layout import laid_out
from deliverylab.core.store.replacing import make_folder, write_atomically

FILE_NAME = "library.json"


class _File(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """The whole file."""

    format: Literal["deliverylab-library"]
    version: Literal[1]
    library: Library = Library()


def library_file(project: str | Path | None = None) -> Path:
    """Return which file holds: that beside the project where there is one, else the user's.

    Parameters
    ----------
    project : str or pathlib.Path, optional
        The project file.
    """
    if project is not None:
        beside = Path(project).parent / FILE_NAME
        if beside.is_file():
            return beside
    return Path(platformdirs.user_data_path("deliverylab", appauthor=False)) / FILE_NAME


def load_library(project: str | Path | None = None) -> Library:
    """Return the library that holds for a project; an empty one where there is no file yet.

    Raises
    ------
    ProjectFileError
        The file is damaged, or another program's; it is left as it is.
    """
    try:
        return read_library(library_file(project))
    except NotFoundError:
        return Library()


def read_library(file: str | Path) -> Library:
    """Return the library in a file.

    Raises
    ------
    NotFoundError
        There is none.
    ProjectFileError
        It is damaged, or no library; it is left as it is.
    """
    path = Path(file)
    try:
        return msgspec.json.decode(path.read_bytes(), type=_File).library
    except FileNotFoundError as problem:
        raise NotFoundError("there is no such library", where=str(path)) from problem
    except (OSError, msgspec.MsgspecError, DeliveryLabError) as problem:
        raise ProjectFileError(
            f"the library cannot be read ({problem})",
            where=str(path),
            remedy="correct it, or move it away: the next thing kept begins a new one",
        ) from problem


def save_library(library: Library, file: str | Path) -> Path:
    """Write a library, in place of what is there; return the file.

    Raises
    ------
    ProjectFileError
        What is there is no library, or damaged; it is left as it is.
    OutputError
        It cannot be written.
    """
    path = Path(file)
    if path.exists():
        read_library(path)
    make_folder(path.parent)
    write_atomically(path, library_json(library).encode())
    return path


def library_json(library: Library) -> str:
    """Return what a library's file holds."""
    kept = _File(format="deliverylab-library", version=1, library=library)
    return laid_out(msgspec.to_builtins(kept))
