"""Open and save projects, and write the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from deliverylab.core.model.project import Project
    from deliverylab.core.report.page import Paper


def open_project(path: str | Path) -> Project:
    """Open a project file.

    Parameters
    ----------
    path : str or pathlib.Path
        The ``.delivery`` file.

    Raises
    ------
    NotFoundError, ProjectFileError, NewerVersionError
        No such file, damaged, or written by a newer release.
    """
    from deliverylab.core.model.project import Project
    from deliverylab.core.store.projectfile import load_project

    return Project(load_project(path))


def example_project() -> Project:
    """Open the example that comes with the program: invented people, drawn clips, known truth.

    Returns
    -------
    Project
        In memory; save it elsewhere with `save_project`.  ``deliverylab demo`` lays it into a folder
        together with its clips.

    Raises
    ------
    NotFoundError
        The examples were not installed along.

    Examples
    --------
    >>> import deliverylab as dl
    >>> [delivery.name for delivery in dl.example_project().record.deliveries][:2]
    ['Aldery 1', 'Model']
    """
    return open_project(example_path())


def example_path() -> Path:
    """Return where the example's project file lies; its clips lie beside it.

    Raises
    ------
    NotFoundError
        The examples were not installed along.
    """
    from deliverylab.core.workflow import demo

    return demo.examples_dir() / demo.PROJECT_NAME


def save_project(project: Project, path: str | Path) -> None:
    """Save a project; the file is whole at every instant.

    Raises
    ------
    OutputError
        It cannot be written there.
    """
    from deliverylab.core.store import projectfile

    projectfile.save_project(project.record, path)


def write_page(
    project_path: str | Path,
    a: str,
    b: str,
    out: str | Path,
    *,
    paper: Paper = "a4",
    technical: str | Path | None = None,
) -> Path:
    """Write the one-page summary of `a` compared with `b` as a PDF, and the technical sheet if wanted.

    Parameters
    ----------
    project_path : str or pathlib.Path
        The project file; its clips give the pictures.
    a, b : str
        The athlete's side and its partner: names of deliveries, several joined by `` + ``,
        ``all of NAME``, or ``published college`` as the second.
    out : str or pathlib.Path
        The PDF.
    paper : {"a4", "letter"}
        Paper size.
    technical : str or pathlib.Path, optional
        Where to write the technical sheet: all results and budgets, on several pages.

    Raises
    ------
    NotFoundError, ProjectFileError, OutputError
        As for `open_project`; no such delivery; not to be written there.
    """
    from deliverylab.core.compare.links import links_with
    from deliverylab.core.report import page
    from deliverylab.core.report.content import page_content
    from deliverylab.core.report.sheet_content import sheet_content
    from deliverylab.core.report.technical_sheet import write_technical_sheet
    from deliverylab.core.store.library import load_library
    from deliverylab.core.workflow.frames import ProjectFrames

    record = open_project(project_path).record
    links = links_with(load_library(project_path))
    with ProjectFrames(project_path) as frames:
        content = page_content(record, a, b, frame_source=frames, links=links)
    if technical is not None:
        write_technical_sheet(sheet_content(record, a, b, links=links), technical, paper)
    return page.write_page(content, out, paper)
