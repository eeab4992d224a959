"""The demo: the shipped deliveries, measured, compared, printed and followed over their visits."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from deliverylab.core.compare.difference import differences
from deliverylab.core.compare.progress import progress as progress_over
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.errors import NotFoundError, OutputError
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.project import Project
from deliverylab.core.report.content import page_content
from deliverylab.core.report.page import write_page
from deliverylab.core.report.progress_plot import ProgressSheet, write_progress_sheet
from deliverylab.core.report.raster import write_png
from deliverylab.core.report.sheet_content import sheet_content
from deliverylab.core.report.tables import (
    write_differences_csv,
    write_differences_json,
    write_results_csv,
    write_results_json,
)
from deliverylab.core.report.technical_sheet import write_technical_sheet
from deliverylab.core.store.projectfile import load_project
from deliverylab.core.store.replacing import write_atomically
from deliverylab.core.workflow.frames import ProjectFrames
from deliverylab.core.workflow.visits import athlete_deliveries, deliveries_in

PROJECT_NAME = "demo.delivery"
EDITED_NAME = "demo-edited{}.delivery"
CLIPS, VISITS = "clips", "visits"
_PAGE, _PICTURE, _TECHNICAL, _PROGRESS = "page.pdf", "page.png", "technical.pdf", "progress.pdf"
_TABLES = ("results.csv", "results.json", "differences.csv", "differences.json")
_WRITTEN = (_PAGE, _PICTURE, _TECHNICAL, _PROGRESS, *_TABLES)
_ANOTHER_FOLDER = "choose another folder with --out"


@dataclass(frozen=True, kw_only=True)
class DemoOutcome:
    """What the demo made.

    Attributes
    ----------
    athlete, model : str
        Names of the two deliveries.
    differences : tuple of Difference
        What it found.
    project_path, page_path, picture_path : pathlib.Path
        The project, the page as PDF and as PNG.
    technical_path, progress_path : pathlib.Path
        The technical sheet, and the athlete's progress over the visits beside the project.
    tables : tuple of pathlib.Path
        Results and differences as CSV and JSON.
    kept_path : pathlib.Path or None
        Where a project was put that somebody had edited here after an earlier demo.
    """

    athlete: str
    model: str
    differences: tuple[Difference, ...]
    project_path: Path
    page_path: Path
    picture_path: Path
    technical_path: Path
    progress_path: Path
    tables: tuple[Path, ...]
    kept_path: Path | None = None

    @property
    def summary(self) -> str:
        """One clause: how many differences there are of each kind."""
        counts = dict.fromkeys(("clear", "within_error", "not_comparable"), 0)
        for difference in self.differences:
            counts[difference.verdict] += 1
        return (
            f"{counts['clear']} clear differences, {counts['within_error']} within error, "
            f"{counts['not_comparable']} that these clips cannot show"
        )

    def files(self) -> tuple[tuple[str, Path], ...]:
        """Return (what, where) of everything that was made."""
        kept = [] if self.kept_path is None else [("your edits of an earlier demo", self.kept_path)]
        return (
            ("page", self.page_path),
            ("page as a picture", self.picture_path),
            ("technical sheet", self.technical_path),
            ("progress", self.progress_path),
            ("project", self.project_path),
            *(("table", path) for path in self.tables),
            *kept,
        )


def examples_dir() -> Path:
    """Return the folder of the shipped examples: in a clone, or inside the installed package.

    Raises
    ------
    NotFoundError
        They were not shipped along.
    """
    package = _package_folder()
    for folder in (package / "examples", package.parent / "examples"):
        if (folder / PROJECT_NAME).is_file():
            return folder
    raise NotFoundError(
        "the example deliveries are not here",
        where=str(package),
        remedy="install from a clone or a wheel; both carry them",
    )


def build_demo(
    out_dir: str | Path, *, progress: Callable[[float], object] | None = None
) -> DemoOutcome:
    """Copy the examples, measure and compare them, and write page and tables.

    Running it again gives the same files; a project that was edited there meanwhile is kept under
    another name.

    Parameters
    ----------
    out_dir : str or pathlib.Path
        Folder to write to; made where it does not exist.
    progress : callable, optional
        Called with the part done, 0 to 1.

    Raises
    ------
    NotFoundError
        The examples were not shipped along.
    OutputError
        The folder cannot be written, or holds files of the demo's names that no demo wrote.
    """
    report = progress or (lambda _part: None)
    folder = Path(out_dir)
    kept = _copied(examples_dir(), folder)
    report(0.2)
    project_path = folder / PROJECT_NAME
    project = Project(load_project(project_path))
    athlete, model = project.record.pair or ("", "")
    a, b = project.delivery(athlete), project.delivery(model)
    results = [*evaluate(a), *evaluate(b)]
    found = differences(a, b)
    report(0.4)
    tables = (
        write_results_csv(results, folder / _TABLES[0]),
        write_results_json(results, folder / _TABLES[1]),
        write_differences_csv(found, folder / _TABLES[2]),
        write_differences_json(found, folder / _TABLES[3]),
    )
    report(0.5)
    with ProjectFrames(project_path) as frames:
        content = page_content(
            project.record, athlete, model, frame_source=frames, differences=found
        )
    report(0.7)
    page_path = write_page(content, folder / _PAGE)
    picture_path = write_png(page_path, folder / _PICTURE)
    report(0.8)
    sheet = sheet_content(project.record, athlete, model, differences=found)
    technical_path = write_technical_sheet(sheet, folder / _TECHNICAL)
    progress_path = _written_progress(a.athlete.name, folder)
    report(1.0)
    return DemoOutcome(
        athlete=athlete,
        model=model,
        differences=tuple(found),
        project_path=project_path,
        page_path=page_path,
        picture_path=picture_path,
        technical_path=technical_path,
        progress_path=progress_path,
        tables=tables,
        kept_path=kept,
    )


def _written_progress(athlete: str, folder: Path) -> Path:
    """Write the athlete's progress over all visits that the folder holds."""
    found = athlete_deliveries(deliveries_in(folder), athlete)
    sheet = ProgressSheet(
        athlete=athlete,
        courses=progress_over(found.deliveries),
        remarks=found.remarks,
        system=found.unit_system,
    )
    return write_progress_sheet(sheet, folder / _PROGRESS)


def _package_folder() -> Path:
    """Return the folder of the package ``deliverylab``."""
    return Path(__file__).resolve().parents[2]


def _copied(source: Path, folder: Path) -> Path | None:
    """Copy projects and clips; return where an edited project was put aside."""
    kept: Path | None = None
    project = folder / PROJECT_NAME
    shipped = (source / PROJECT_NAME).read_bytes()
    try:
        _check_folder(source, folder)
        (folder / CLIPS).mkdir(parents=True, exist_ok=True)
        if project.exists() and project.read_bytes() != shipped:
            kept = project.replace(_free_name(folder))
        write_atomically(project, shipped)
        for name, shipped_file in _beside_project(source).items():
            # another visit's project that is here already may have been edited
            if shipped_file.suffix != ".delivery" or not (folder / name).exists():
                shutil.copyfile(shipped_file, folder / name)
    except OSError as problem:
        raise OutputError(
            f"the demo cannot be written: {problem.strerror or problem}",
            where=str(folder),
            remedy=_ANOTHER_FOLDER,
        ) from problem
    return kept


def _check_folder(source: Path, folder: Path) -> None:
    """Refuse to write over what no earlier demo can have written."""
    if (folder / PROJECT_NAME).exists():
        return
    for name in (*_WRITTEN, *_beside_project(source)):
        if (folder / name).exists():
            raise OutputError(
                f"the demo would write over your {name}",
                where=str(folder),
                remedy=_ANOTHER_FOLDER,
            )


def _free_name(folder: Path) -> Path:
    """Return a name under which nothing is kept yet."""
    names = (EDITED_NAME.format(number or "") for number in count())
    return next(folder / name for name in names if not (folder / name).exists())


def _beside_project(source: Path) -> dict[str, Path]:
    """Return what goes along by its name in the demo's folder: clips, and other visits' projects."""
    clips = {f"{CLIPS}/{clip.name}": clip for clip in sorted((source / CLIPS).glob("*.mp4"))}
    # beside the project, where an athlete's visits are looked for
    return clips | {each.name: each for each in sorted((source / VISITS).glob("*.delivery"))}
