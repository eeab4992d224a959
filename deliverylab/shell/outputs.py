"""What leaves the window: the page and the tables, made from a snapshot so that they may take time."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import OutputError, UsageError
from deliverylab.core.model.delivery import Camera
from deliverylab.shell.session import Session

if TYPE_CHECKING:
    from deliverylab.core.video.findings import ClipFinding

Paper = Literal["a4", "letter"]
SheetKind = Literal["page", "technical"]
Which = Literal["results", "differences", "tracks", "events", "budgets"]
"""Tables that leave the window."""
WHICH_WORDS: dict[Which, str] = {
    "results": "readings",
    "differences": "differences",
    "tracks": "positions",
    "events": "event marks",
    "budgets": "budgets",
}
Report = Callable[[float], None]


class MadePage(NamedTuple):
    """The page as a PDF, and the characters of its names that no font here can show for sure."""

    pdf: bytes
    doubtful: str


class LookedOver(NamedTuple):
    """A clip's camera, remarks for a person, and what was done to the clip's time."""

    camera: Camera
    remarks: tuple[str, ...]
    findings: tuple[ClipFinding, ...]


def page_work(
    session: Session, paper: Paper, kind: SheetKind = "page"
) -> Callable[[Report], MadePage]:
    """Return the work that makes the page of the two sides, or their technical sheet.

    Raises
    ------
    UsageError
        There is no partner.
    ProjectFileError
        The library of links is damaged.
    """
    compared = session.compared()
    if compared is None:
        raise UsageError(
            "a page needs two deliveries", remedy="choose the one to compare with above the stages"
        )
    record, path, library = session.record, session.path, session.library()
    names, found = (compared[0].name, compared[1].name), session.differences()

    def work(report: Report) -> MadePage:
        from deliverylab.core.compare.links import links_with
        from deliverylab.core.report.content import page_content
        from deliverylab.core.report.page import doubtful_characters, page_bytes
        from deliverylab.core.report.sheet_content import sheet_content
        from deliverylab.core.report.technical_sheet import sheet_bytes
        from deliverylab.core.workflow.frames import ProjectFrames

        report(0.1)
        links = links_with(library)
        if kind == "technical":
            sheet = sheet_content(record, *names, links=links, differences=found)
            return MadePage(sheet_bytes(sheet, paper), "")
        with ProjectFrames(path) as frames:
            content = page_content(
                record, *names, frame_source=frames, links=links, differences=found
            )
        report(0.8)
        return MadePage(page_bytes(content, paper), doubtful_characters(content))

    return work


def page_picture(pdf: bytes, dpi: float, page: int = 0) -> NDArray[np.uint8]:
    """Return a page as a picture, shape (h, w, 3), RGB."""
    from deliverylab.core.report.raster import render_png

    return render_png(pdf, page, dpi)


def page_count(pdf: bytes) -> int:
    """Return how many pages a PDF has."""
    from deliverylab.core.report.raster import page_sizes_mm

    return len(page_sizes_mm(pdf))


def save_page(pdf: bytes, path: Path) -> None:
    """Save a PDF, or pictures of it where the name ends in ``.png``: several are numbered.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    if path.suffix.lower() == ".png":
        from deliverylab.core.report.raster import write_png

        n_pages = page_count(pdf)
        for page in range(n_pages):
            name = path if n_pages == 1 else path.with_stem(f"{path.stem}-{page + 1}")
            write_png(pdf, name, page)
        return
    try:
        path.write_bytes(pdf)
    except OSError as problem:
        raise OutputError(
            "the page cannot be written", where=str(path), remedy=str(problem.strerror)
        ) from problem


def save_table(session: Session, which: Which, path: Path) -> Path:
    """Write a table of what is on the stages and return its file.

    Values stand in SI units, px and degrees; as JSON where the name ends in ``.json``, as Parquet where
    it ends in ``.parquet``, else as CSV.

    Raises
    ------
    OutputError
        The file cannot be written.
    NotFoundError
        Parquet without the optional library.
    UsageError
        There are no differences, for want of a partner; or another ending.
    """
    from deliverylab.core.report import table_files, tables

    if which == "differences" and not session.differences():
        raise UsageError(
            "there are no differences", remedy="choose a delivery to compare with above the stages"
        )
    if path.suffix.lower() == ".json" and which == "results":
        return tables.write_results_json(_results(session), path)
    if path.suffix.lower() == ".json" and which == "differences":
        return tables.write_differences_json(session.differences(), path)
    return table_files.write_frame(_table(session, which), path)


def _results(session: Session) -> list[Any]:
    return [*session.results("athlete"), *session.results("model")]


def _table(session: Session, which: Which) -> Any:
    from deliverylab.core.report import tables, tables_tracks

    if which == "results":
        return tables.results_frame(_results(session))
    if which == "differences":
        return tables.differences_frame(session.differences())
    if which == "budgets":
        return tables_tracks.budgets_frame(_results(session))
    shown = (session.delivery("athlete"), session.delivery("model"))
    deliveries = [delivery for delivery in shown if delivery is not None]
    frame = tables_tracks.tracks_frame if which == "tracks" else tables_tracks.events_frame
    return frame(deliveries)


def clip_work(path: Path, project_path: Path | None, view: str) -> Callable[[Report], LookedOver]:
    """Return the work that looks a clip over: its camera, and what is to be said of it."""

    def work(report: Report) -> LookedOver:
        from deliverylab.core.workflow.intake import camera_from_clip

        def progress(share: float) -> bool:
            report(share)
            return True

        camera, probed = camera_from_clip(
            path, project_path=project_path, view=view, progress=progress
        )
        return LookedOver(camera, probed.remarks, probed.findings)

    return work


def camera_without_clip(**fields: Any) -> Camera:
    """Return a camera whose positions come from elsewhere; see the core's intake."""
    from deliverylab.core.workflow import intake

    return intake.camera_without_clip(**fields)


def demo_work(folder: Path) -> Callable[[Report], Path]:
    """Return the work that makes the example in a folder and gives its project file."""

    def work(report: Report) -> Path:
        from deliverylab.core.workflow.demo import build_demo

        report(0.0)
        return Path(build_demo(folder).project_path)

    return work
