"""What goes into a packed zip: options, the deliveries, where their clips are, how those are called."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import msgspec

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.store.clips import resolve_clip

replace = msgspec.structs.replace
ClipKey = tuple[str, str]
"""Names of the delivery and the camera."""


@dataclass(frozen=True, kw_only=True)
class PackOptions:
    """What goes into the zip.

    Attributes
    ----------
    blurs_faces : bool
        Whether heads are made coarse in every picture.
    leaves_names_out : bool
        Whether aliases stand for all names, and free text stays behind.
    is_whole : bool
        Whether clips are kept in full length.
    has_sound : bool
        Whether the clips' sound and a walkthrough's voice go along.
    deliveries : tuple of str or None
        Names of those that are packed; all when None.
    """

    blurs_faces: bool = False
    leaves_names_out: bool = False
    is_whole: bool = False
    has_sound: bool = False
    deliveries: tuple[str, ...] | None = None


def chosen_record(record: ProjectRecord, names: tuple[str, ...] | None) -> ProjectRecord:
    """Return a record of these deliveries, with those whose solved field they lean on.

    Raises
    ------
    NotFoundError, InputValueError
        No such delivery, or none.
    """
    project = Project(record)
    wanted = {d.name for d in record.deliveries} if names is None else set(names)
    for name in tuple(wanted):
        source = project.delivery(name).cameras_from
        if source and any(d.name == source for d in record.deliveries):
            wanted.add(source)
    if not wanted:
        raise InputValueError("there is no delivery to pack", remedy="add one first")
    pair = record.pair if record.pair and set(record.pair) <= wanted else None
    return replace(
        record,
        deliveries=tuple(d for d in record.deliveries if d.name in wanted),
        pair=pair,
        own_set=record.own_set if names is None else "",
        partner_set=record.partner_set if names is None else "",
        walkthroughs=tuple(each for each in record.walkthroughs if set(each.pair) <= wanted),
    )


def with_the_others(chosen: ProjectRecord, record: ProjectRecord) -> ProjectRecord:
    """Return all deliveries of a record, the chosen ones first: texts of these may name the others."""
    names = {delivery.name for delivery in chosen.deliveries}
    others = (delivery for delivery in record.deliveries if delivery.name not in names)
    return replace(record, deliveries=(*chosen.deliveries, *others))


def found_clips(record: ProjectRecord, project_path: str | Path | None) -> dict[ClipKey, Path]:
    """Return where each clip is that can be found."""
    found = {}
    for delivery in record.deliveries:
        for camera in delivery.cameras:
            path = None if camera.clip is None else resolve_clip(project_path, camera.clip)
            if path is not None:
                found[delivery.name, camera.name] = path
    return found


def clip_names(
    record: ProjectRecord, found: dict[ClipKey, Path], options: PackOptions
) -> dict[ClipKey, str]:
    """Return the file name of each clip within the zip; no two are alike."""
    names: dict[ClipKey, str] = {}
    taken: set[str] = set()
    keys = [(d.name, c.name) for d in record.deliveries for c in d.cameras if c.clip is not None]
    for number, key in enumerate(keys, start=1):
        plain = f"clip-{number:02d}"
        is_plain = options.leaves_names_out or key not in found
        stem = plain if is_plain else safe_stem(found[key].stem, plain)
        while stem.casefold() in taken:
            stem = f"{stem}-{number:02d}"
        taken.add(stem.casefold())
        names[key] = f"{stem}.mp4"
    return names


def safe_stem(stem: str, otherwise: str) -> str:
    """Return a file's name without its ending as any system takes it; `otherwise` for an empty one."""
    kept = "".join(letter for letter in stem if letter.isprintable() and letter not in '\\/:*?"<>|')
    return kept.strip(" .") or otherwise
