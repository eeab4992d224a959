"""Edit a project file, also while others edit it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from deliverylab.core.model.changes import Change
from deliverylab.core.model.project import Project
from deliverylab.core.store.projectfile import open_project_file, save_project
from deliverylab.core.store.replacing import ChangedOnDiskError

_MOST_ATTEMPTS = 20


def edit_project_file(path: str | Path, make_change: Callable[[Project], Change]) -> Project:
    """Open a project file, carry a change out and save it; return the project.

    If somebody else saves the file meanwhile, it is opened anew and the change made for what it
    holds then, so neither edit is lost.

    Parameters
    ----------
    path : str or pathlib.Path
        The ``.delivery`` file.
    make_change : callable
        Gives the change for the project as it is; called again where that changed meanwhile.

    Raises
    ------
    DeliveryLabError
        The file cannot be read or written, or the change does not fit; the file is as before.
    """
    for attempt in range(_MOST_ATTEMPTS):
        record, state = open_project_file(path)
        project = Project(record)
        project.apply(make_change(project))
        try:
            save_project(project.record, path, expected_state=state)
        except ChangedOnDiskError:
            if attempt == _MOST_ATTEMPTS - 1:
                raise
        else:
            break
    return project
