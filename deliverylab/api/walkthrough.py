"""The walkthrough clip, and the script that it follows."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from deliverylab.core.model.project import Project
    from deliverylab.core.model.walkthrough import Walkthrough


def walkthrough_script(project: Project, a: str, b: str) -> Walkthrough:
    """Return the script of a pair: the project's own, else a stop at each key event both have.

    Parameters
    ----------
    project : Project
    a, b : str
        Names of the athlete's and the model delivery.

    Raises
    ------
    NotFoundError, UsageError
        No such delivery; too few events that both have marked.
    """
    from deliverylab.core.workflow.walkthrough_script import default_script

    return project.record.walkthrough((a, b)) or default_script(project.record, (a, b))


def walkthrough(
    project_path: str | Path,
    a: str,
    b: str,
    out: str | Path,
    *,
    script: Walkthrough | None = None,
    size: tuple[int, int] = (1920, 1080),
) -> Path:
    """Write deliveries `a` and `b` side by side as a clip (MP4), standing still at the events.

    Parameters
    ----------
    project_path : str or pathlib.Path
        The project file; its clips give the pictures.
    a, b : str
        Names of the athlete's and the model delivery.
    out : str or pathlib.Path
        Ends in ``.mp4``.
    script : Walkthrough, optional
        Where to stand still, and what to say; that of `walkthrough_script` without.
    size : (int, int)
        Width and height, px; where it is higher than wide, one stands above the other.

    Raises
    ------
    NotFoundError, ProjectFileError, UsageError, ClipError, InputValueError, OutputError
        No such project or delivery; too few common events; a voice that cannot be read; a size that
        cannot be; not to be written there.
    """
    from deliverylab.api.projects import open_project
    from deliverylab.core.workflow.walkthrough import make_walkthrough

    project = open_project(project_path)
    used = script or walkthrough_script(project, a, b)
    make_walkthrough(project.record, project_path, used, out, size=size)
    return Path(out)
