"""Hand a project on: one zip that opens elsewhere, and pictures of single frames."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from deliverylab.core.workflow.packing import Packed


def pack(
    project_path: str | Path,
    out: str | Path,
    *,
    deliveries: Sequence[str] | None = None,
    blur_faces: bool = False,
    without_names: bool = False,
    whole_clips: bool = False,
    with_sound: bool = False,
) -> Packed:
    """Write one zip with a project and its clips that opens elsewhere with the same results.

    Parameters
    ----------
    project_path : str or pathlib.Path
        The project file.
    out : str or pathlib.Path
        The zip; one that is there is replaced.
    deliveries : sequence of str, optional
        Which; all when None.
    blur_faces : bool
        Blur the athlete's head where it can be located, else the whole picture.
    without_names : bool
        Put aliases for all names.
    whole_clips : bool
        Do not cut the clips.
    with_sound : bool
        Keep the clips' sound.

    Returns
    -------
    Packed
        ``note`` says what was done, ``clips`` clip by clip, in frames.

    Raises
    ------
    NotFoundError, InputValueError, ClipError, OutputError
        No such project or delivery; a clip that cannot be read; not to be written there.
    """
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow import packing, packing_choice

    options = packing_choice.PackOptions(
        blurs_faces=blur_faces,
        leaves_names_out=without_names,
        is_whole=whole_clips,
        has_sound=with_sound,
        deliveries=None if deliveries is None else tuple(deliveries),
    )
    return packing.pack(load_project(project_path), project_path, out, options)


def unpack(archive: str | Path, folder: str | Path) -> Path:
    """Unpack what `pack` wrote into a new or empty folder; return the project file's path.

    Raises
    ------
    NotFoundError, ProjectFileError, OutputError
        No such zip; damaged, or no packed project; the folder is not empty.
    """
    from deliverylab.core.store.archive import unpack_archive

    return unpack_archive(archive, folder)


def write_picture(
    project_path: str | Path,
    delivery: str,
    at: str | int,
    out: str | Path,
    *,
    camera: str | None = None,
) -> Path:
    """Write a frame with its skeleton as PNG, in the clip's own resolution (px); return the path.

    Parameters
    ----------
    project_path : str or pathlib.Path
        The project file.
    delivery : str
        Name.
    at : str or int
        Key of a marked event, or a frame from 0.
    out : str or pathlib.Path
        The PNG.
    camera : str, optional
        Which camera; the first without.

    Raises
    ------
    NotFoundError, InputValueError, ClipError, OutputError
        No such project, delivery, camera, event or frame; no picture; not to be written there.
    """
    from deliverylab.core.model.project import Project
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.stage_picture import write_stage_picture

    chosen = Project(load_project(project_path)).delivery(delivery)
    return write_stage_picture(project_path, chosen, chosen.camera(camera), at, out)
