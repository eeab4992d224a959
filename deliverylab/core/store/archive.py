"""One zip of a project and its clips: written whole, and taken apart without trusting it."""

from __future__ import annotations

import shutil
import stat
import zipfile
import zlib
from collections.abc import Sequence
from pathlib import Path, PurePosixPath
from typing import Final

from deliverylab.core.errors import NotFoundError, OutputError, ProjectFileError
from deliverylab.core.store.projectfile import SUFFIX
from deliverylab.core.store.replacing import replacement

ARCHIVE_SUFFIX: Final = ".zip"
CLIPS_FOLDER: Final = "clips"
SOUNDS_FOLDER: Final = "sounds"
NOTE_NAME: Final = "READ ME.txt"
_FOLDERS: Final = frozenset({CLIPS_FOLDER, SOUNDS_FOLDER})
_MOST_FILES: Final = 1000
_MOST_BYTES: Final = 64 * 2**30
_DATE: Final = (2000, 1, 1, 0, 0, 0)
"""Of every file in it: when somebody worked is nobody's business."""
_STORED: Final = frozenset({".mp4", ".m4a", ".mp3"})
_METHODS: Final = frozenset({zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED})
_NOT_OURS: Final = "only what deliverylab packed is opened"


def is_archive(path: str | Path) -> bool:
    """Return whether a file's name says that it is a zip."""
    return Path(path).suffix.lower() == ARCHIVE_SUFFIX


def check_folder(path: str | Path) -> None:
    """Refuse a place for a zip whose folder is not there, before anything long is begun.

    Raises
    ------
    OutputError
        There is no such folder.
    """
    folder = Path(path).parent
    if not folder.is_dir():
        raise OutputError(
            "the zip cannot be written: there is no such folder",
            where=str(folder),
            remedy="make it, or choose another one",
        )


def write_archive(path: str | Path, files: Sequence[tuple[str, Path | bytes]]) -> Path:
    """Write files into one zip, which is whole or not there, and return its path.

    Parameters
    ----------
    path : str or pathlib.Path
        The zip; one that is there is replaced.
    files : sequence of (str, Path or bytes)
        Name within the zip, and the file or its content.

    Raises
    ------
    OutputError
        It cannot be written there.
    """
    target = Path(path)
    with replacement(target) as stream, zipfile.ZipFile(stream, "w") as archive:
        for inside, source in files:
            _add(archive, inside, source)
    return target


def _add(archive: zipfile.ZipFile, inside: str, source: Path | bytes) -> None:
    entry = zipfile.ZipInfo(inside, _DATE)
    is_packed = PurePosixPath(inside).suffix.lower() in _STORED
    entry.compress_type = zipfile.ZIP_STORED if is_packed else zipfile.ZIP_DEFLATED
    entry.external_attr = 0o644 << 16
    if isinstance(source, bytes):
        archive.writestr(entry, source)
        return
    entry.file_size = source.stat().st_size
    with source.open("rb") as read, archive.open(entry, "w") as write:
        shutil.copyfileobj(read, write, 2**20)


def unpack_archive(path: str | Path, folder: str | Path) -> Path:
    """Unpack a zip into a new or empty folder and return the project file in it.

    Only a project, clips, sounds and a note are taken, each under its plain name: nothing that the zip
    says can be written elsewhere.  Where it cannot be unpacked whole, nothing of it is left.

    Parameters
    ----------
    path : str or pathlib.Path
        The zip.
    folder : str or pathlib.Path
        Made where it is not there.

    Raises
    ------
    NotFoundError
        No such zip.
    ProjectFileError
        It is damaged, or holds something else than a packed project.
    OutputError
        The folder is not empty, or cannot be written.
    """
    source, target = Path(path), Path(folder)
    if not source.is_file():
        raise NotFoundError("there is no such zip", where=str(source), remedy="check its name")
    try:
        with zipfile.ZipFile(source) as archive:
            entries = _checked(archive, source)
            _make_empty(target)
            try:
                _extract(archive, entries, target)
            except BaseException:
                for made in target.iterdir():
                    shutil.rmtree(made) if made.is_dir() else made.unlink()
                raise
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError) as problem:
        raise ProjectFileError(
            f"the zip is damaged, or is none ({problem})",
            where=str(source),
            remedy="have it sent again",
        ) from problem
    except OSError as problem:
        raise OutputError(
            f"the zip cannot be unpacked: {problem.strerror or problem}",
            where=str(target),
            remedy="choose another folder, or free space there",
        ) from problem
    return next(target / entry.filename for entry in entries if entry.filename.endswith(SUFFIX))


def _extract(archive: zipfile.ZipFile, entries: Sequence[zipfile.ZipInfo], folder: Path) -> None:
    for entry in entries:
        file = folder.joinpath(*PurePosixPath(entry.filename).parts)
        file.parent.mkdir(exist_ok=True)
        with archive.open(entry) as read, file.open("xb") as write:
            shutil.copyfileobj(read, write, 2**20)


def _checked(archive: zipfile.ZipFile, source: Path) -> list[zipfile.ZipInfo]:
    """Return the entries, all of which are what a packed project holds."""
    entries = [entry for entry in archive.infolist() if not entry.is_dir()]
    strange = [entry.filename for entry in entries if not _is_expected(entry)]
    n_projects = sum(entry.filename.endswith(SUFFIX) for entry in entries)
    names = {entry.filename.casefold() for entry in entries}
    if strange or n_projects != 1 or len(names) < len(entries):
        told = f"it holds {strange[0]!r}" if strange else f"it holds {n_projects} projects"
        raise ProjectFileError(
            f"this zip is no packed project: {told}", where=str(source), remedy=_NOT_OURS
        )
    n_bytes = sum(entry.file_size for entry in entries)
    if len(entries) > _MOST_FILES or n_bytes > _MOST_BYTES:
        raise ProjectFileError(
            "this zip is too large to be a packed project", where=str(source), remedy=_NOT_OURS
        )
    return entries


def _is_expected(entry: zipfile.ZipInfo) -> bool:
    name = entry.filename
    if "\\" in name or ":" in name or stat.S_ISLNK(entry.external_attr >> 16):
        return False
    if entry.compress_type not in _METHODS or not name.isprintable():
        return False
    parts = name.split("/")
    if any(part in {"", ".", ".."} or part.startswith(".") for part in parts):
        return False
    if len(parts) == 1:
        return name == NOTE_NAME or name.endswith(SUFFIX)
    return len(parts) == 2 and parts[0] in _FOLDERS


def _make_empty(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise OutputError(
            "the folder to unpack into is not empty",
            where=str(folder),
            remedy="choose a new one; nothing is written over",
        )
