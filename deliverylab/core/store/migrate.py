"""Project files of earlier versions, brought up to the present one step at a time.

A step takes the whole document of one version and returns that of the next.  Steps are never
edited once released: files in the old form exist for ever.  Beside each step goes a file of the old
version in ``tests/data``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from deliverylab.core.errors import NewerVersionError, ProjectFileError
from deliverylab.core.store.schema import FORMAT, VERSION

Document = dict[str, Any]
Step = Callable[[Document], Document]

STEPS: Mapping[int, Step] = {}
"""The step that leads away from each earlier version; the first version needs none."""


def version_of(document: Any, where: str) -> int:
    """Return the version of a document, having made sure that it is a project at all.

    Raises
    ------
    ProjectFileError
        Not a project file, or no version in it.
    """
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise ProjectFileError(
            "this is not a deliverylab project",
            where=f"{where}, $.format",
            remedy=f'a project file says "format": "{FORMAT}" at its top; choose another file',
        )
    version = document.get("version")
    if type(version) is not int or version < 0:
        raise ProjectFileError(
            "the project file does not say its version",
            where=f"{where}, $.version",
            remedy="restore it from a backup or a recovery copy",
        )
    return version


def migrated(
    document: Any,
    where: str,
    *,
    steps: Mapping[int, Step] = STEPS,
    current: int = VERSION,
) -> Document:
    """Return the document in the present version; the given one is left as it is.

    Parameters
    ----------
    document : object
        What the file holds.
    where : str
        The file, for messages.
    steps : mapping of int to callable
        The step away from each earlier version.
    current : int
        The version to arrive at.

    Raises
    ------
    NewerVersionError
        Written by a newer release.
    ProjectFileError
        Not a project, a version that was never released, or a step that fails.
    """
    version = version_of(document, where)
    if version > current:
        writer = document.get("written_by") or "a newer release"
        raise NewerVersionError(
            f"the project file has version {version}, this release reads up to {current}",
            where=where,
            remedy=f"open it with {writer} or later; the file was left as it is",
        )
    for number in range(version, current):
        if number not in steps:
            raise ProjectFileError(
                f"the project file has version {number}, which no release has written",
                where=f"{where}, $.version",
                remedy="restore it from a backup or a recovery copy",
            )
        try:
            document = steps[number](document) | {"version": number + 1}
        except (AttributeError, IndexError, KeyError, TypeError, ValueError) as problem:
            raise ProjectFileError(
                f"the project file of version {number} is damaged ({problem!r})",
                where=where,
                remedy="restore it from a backup or a recovery copy",
            ) from problem
    result: Document = document
    return result
