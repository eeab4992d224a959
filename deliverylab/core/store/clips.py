"""References from a project to its clips: made, followed, and mended when a clip was moved."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath

import msgspec

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.model.delivery import Camera, ClipReference
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.video.fingerprint import fingerprint

replace = msgspec.structs.replace

_MOST_ENTRIES = 20_000
"""How many files and folders a search for a moved clip looks at before it gives up."""
_DEEPEST = 6


@dataclass(frozen=True)
class MissingClip:
    """A clip that a project refers to and that cannot be found."""

    delivery: str
    camera: str
    reference: ClipReference


def clip_reference(clip_path: str | Path, project_path: str | Path | None) -> ClipReference:
    """Return a reference to a clip: relative to the project's folder where possible.

    Parameters
    ----------
    clip_path : str or pathlib.Path
        The clip.
    project_path : str or pathlib.Path or None
        The project file; None while it has no place yet, which makes the path absolute.

    Raises
    ------
    ClipError
        The clip is missing or cannot be read.
    InputValueError
        Its name holds bytes that are no text.
    """
    mark = fingerprint(clip_path)
    return ClipReference(
        path=stored_path(Path(clip_path), project_path),
        size_bytes=mark.size_bytes,
        head_sha256=mark.head_sha256,
        tail_sha256=mark.tail_sha256,
    )


def is_same_clip(path: Path, reference: ClipReference) -> bool:
    """Return whether a file is the clip referred to, by size and fingerprint."""
    try:
        if not path.is_file() or path.stat().st_size != reference.size_bytes:
            return False
        mark = fingerprint(path)
    except (ClipError, OSError, ValueError):
        return False
    return (mark.head_sha256, mark.tail_sha256) == (reference.head_sha256, reference.tail_sha256)


def resolve_clip(project_path: str | Path | None, reference: ClipReference) -> Path | None:
    """Return where a clip is, or None when it cannot be found.

    It is looked for where the reference says, then beside the project and in the folders under it,
    first by its name and then by its size; only a file with the same fingerprint is taken.
    """
    folder = None if project_path is None else project_folder(project_path)
    named = Path(reference.path)
    if named.is_absolute():
        if is_same_clip(named, reference):
            return named
    elif folder is not None:
        plain = Path(os.path.normpath(folder / named))
        if is_same_clip(plain, reference):
            return plain
    if folder is None:
        return None
    others: list[Path] = []
    name = _last_name(reference.path)
    for path in _files_under(folder):
        if path.name != name:
            others.append(path)
        elif is_same_clip(path, reference):
            return path
    return next((path for path in others if is_same_clip(path, reference)), None)


def files_of(record: ProjectRecord, project_path: str | Path) -> list[Path]:
    """Return the project file and its clips at the places where it names them."""
    folder = project_folder(project_path)
    return [
        Path(project_path),
        *(
            folder / camera.clip.path
            for delivery in record.deliveries
            for camera in delivery.cameras
            if camera.clip is not None
        ),
    ]


def missing_clips(record: ProjectRecord, project_path: str | Path | None) -> list[MissingClip]:
    """Return the clips of a project that cannot be found, in the project's order."""
    return [
        MissingClip(delivery.name, camera.name, camera.clip)
        for delivery in record.deliveries
        for camera in delivery.cameras
        if camera.clip is not None and resolve_clip(project_path, camera.clip) is None
    ]


def relinked(
    camera: Camera,
    clip_path: str | Path,
    project_path: str | Path | None,
    *,
    accept_other: bool = False,
) -> Camera:
    """Return a camera that refers to its clip at another place.

    Parameters
    ----------
    camera : Camera
        The camera whose clip was moved.
    clip_path : str or pathlib.Path
        Where the clip is now.
    project_path : str or pathlib.Path or None
        The project file.
    accept_other : bool
        Take a file with another fingerprint (the same clip, copied in another quality).

    Raises
    ------
    ClipError
        Not readable, or another file than the one placed on.
    """
    reference = clip_reference(clip_path, project_path)
    if camera.clip is not None and not accept_other and not _is_equal(reference, camera.clip):
        raise ClipError(
            "this is another file than the clip the positions were placed on",
            where=str(clip_path),
            remedy=f"choose the moved copy of {_last_name(camera.clip.path)}",
        )
    return replace(camera, clip=reference)


def rebased(
    record: ProjectRecord, old_path: str | Path | None, new_path: str | Path
) -> ProjectRecord:
    """Return the record with paths of clips and voices written from another project file's folder.

    For saving under another name.  What cannot be found keeps its path.
    """

    def moved(camera: Camera) -> Camera:
        if camera.clip is None:
            return camera
        clip = resolve_clip(old_path, camera.clip)
        if clip is None:
            return camera
        return replace(camera, clip=replace(camera.clip, path=stored_path(clip, new_path)))

    return replace(
        record,
        deliveries=tuple(
            replace(delivery, cameras=tuple(map(moved, delivery.cameras)))
            for delivery in record.deliveries
        ),
        walkthroughs=tuple(
            replace(script, voice=_moved_voice(script.voice, old_path, new_path))
            for script in record.walkthroughs
        ),
    )


def _moved_voice(voice: str, old_path: str | Path | None, new_path: str | Path) -> str:
    """Return where a walkthrough's voice lies, seen from another project file."""
    place = Path(voice) if old_path is None else project_folder(old_path) / voice
    return stored_path(place, new_path) if voice and place.is_file() else voice


def _is_equal(a: ClipReference, b: ClipReference) -> bool:
    return replace(a, path="") == replace(b, path="")


def project_folder(project_path: str | Path) -> Path:
    """Return the folder that a project file really lies in, which its clips are relative to."""
    return Path(os.path.realpath(project_path)).parent


def stored_path(clip: Path, project_path: str | Path | None) -> str:
    """Return how a project refers to a clip or a voice: from its own folder where possible.

    Raises
    ------
    InputValueError
        Its name holds bytes that are no text.
    """
    # the clip itself may be a link into a store of clips, and stays one
    path = str(Path(os.path.realpath(clip.parent)) / clip.name)
    if project_path is not None:
        with contextlib.suppress(ValueError):  # raised where they lie on different drives
            path = os.path.relpath(path, project_folder(project_path))
    text = Path(path).as_posix()
    try:
        text.encode()
    except UnicodeEncodeError as problem:
        raise InputValueError(
            "the file's name holds bytes that are no text",
            where=repr(text),
            remedy="rename the file",
        ) from problem
    return text


def _last_name(stored: str) -> str:
    """Return the file name of a stored path, also of one from the other kind of system."""
    return PureWindowsPath(stored).name if "\\" in stored else PurePosixPath(stored).name


def _files_under(folder: Path) -> Iterator[Path]:
    """Yield the files in a folder and under it, the nearest first, up to a bound."""
    n_seen = 0
    level = [folder]
    for _ in range(_DEEPEST):
        below: list[Path] = []
        for parent in level:
            try:
                entries = sorted(parent.iterdir())
            except OSError:
                continue
            for entry in entries:
                n_seen += 1
                if n_seen > _MOST_ENTRIES:
                    return
                try:
                    if entry.is_dir():
                        # a link may lead round in a circle, a hidden folder holds no clips
                        if not entry.is_symlink() and not entry.name.startswith("."):
                            below.append(entry)
                    elif entry.is_file():
                        yield entry
                except OSError:
                    continue
        level = below
