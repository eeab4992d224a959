"""Measure pitching deliveries from phone clips, with the uncertainty of every number.

In a notebook:

>>> import deliverylab
>>> project = deliverylab.open_project("may.delivery")  # doctest: +SKIP
>>> results = deliverylab.measure(project.delivery("Ana 1"))  # doctest: +SKIP
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from pandas import DataFrame

    from deliverylab.core.compare.published import Context, Level
    from deliverylab.core.compare.verdict import Difference
    from deliverylab.core.metrics.ball_fall import FallCheck
    from deliverylab.core.metrics.cross_check import CrossCheck
    from deliverylab.core.metrics.scatter import LandmarkScatter
    from deliverylab.core.metrics.spec import Contribution, Result
    from deliverylab.core.metrics.what_helps import Help
    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.project import Project
    from deliverylab.core.report.page import Paper
    from deliverylab.core.store.trajectories import Trajectories
    from deliverylab.core.synthetic.filming import FilmingSetUp
    from deliverylab.core.units import UnitSystem
    from deliverylab.core.vocabulary.landmarks import Hand
    from deliverylab.core.workflow.trust_delivery import Care

__version__ = "0.1.0"
__all__ = [
    "__version__",
    "budget",
    "compare",
    "cross_check",
    "fall_check",
    "field_sheet",
    "measure",
    "open_project",
    "precision",
    "published",
    "read_c3d",
    "save_project",
    "scatter",
    "trajectories",
    "trust",
    "what_would_help",
    "write_c3d",
    "write_page",
]

# The core is loaded inside the functions, so that importing the package costs nothing.


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


def save_project(project: Project, path: str | Path) -> None:
    """Save a project; the file is whole at every instant.

    Raises
    ------
    OutputError
        It cannot be written there.
    """
    from deliverylab.core.store import projectfile

    projectfile.save_project(project.record, path)


def measure(delivery: Delivery) -> tuple[Result, ...]:
    """Measure a delivery: every metric of the catalogue, with its u, or why it is not shown.

    ``deliverylab.core.report.tables.results_frame`` makes a pandas frame of them.
    """
    from deliverylab.core.metrics.evaluate import evaluate

    return evaluate(delivery)


def budget(delivery: Delivery, metric: str, event: str = "") -> tuple[Contribution, ...]:
    """Return what a result's u is made of, largest part first, each with what would help.

    Parameters
    ----------
    delivery : Delivery
        Whose.
    metric, event : str
        Key of the metric, and of the event where it is taken at events.

    Raises
    ------
    NotFoundError
        No such metric, or not at this event.
    """
    from deliverylab.core.errors import NotFoundError
    from deliverylab.core.metrics.catalogue import metric as metric_of

    events = metric_of(metric).result_events
    if event not in events:
        raise NotFoundError(
            "this metric is not taken at that event",
            where=f"{metric}, {event or 'no event'}",
            remedy=f"it is taken at: {', '.join(events) or 'no event'}",
        )
    found = (r for r in measure(delivery) if (r.metric, r.event) == (metric, event))
    return next(found).budget


def cross_check(delivery: Delivery, *, max_draws: int = 400_000) -> tuple[CrossCheck, ...]:
    """Check the ± of every shown result by Monte Carlo (JCGM 101), up to so many draws each."""
    from deliverylab.core.metrics import cross_check as by_draws

    checks = (by_draws.cross_check(delivery, r, max_draws=max_draws) for r in measure(delivery))
    return tuple(check for check in checks if check is not None)


def what_would_help(delivery: Delivery) -> tuple[Help, ...]:
    """Return what would make a delivery's results surer, the most helpful first."""
    from deliverylab.core.metrics import what_helps

    return what_helps.what_would_help(measure(delivery))


def compare(a: Delivery, b: Delivery) -> tuple[Difference, ...]:
    """Compare two deliveries: each difference a − b with its u and a verdict, clear ones first."""
    from deliverylab.core.compare.difference import differences

    return differences(a, b)


def trust(
    view: str = "open-side",
    *,
    distance_m: float = 8.0,
    yaw_deg: float = 0.0,
    rate_hz: float = 240.0,
    n: int = 100,
    n_workers: int = 1,
    set_up: FilmingSetUp | None = None,
    care: Care | None = None,
) -> DataFrame:
    """Simulate how well a set-up would measure: error, coverage, ± and what limits each metric.

    Parameters
    ----------
    view : str
        ``open-side``, ``closed-side``, ``rear`` or ``front``.
    distance_m, yaw_deg, rate_hz : float
        Where the phone stands, and its frames a second.
    n : int
        Number of simulated deliveries.
    n_workers : int
        Processes.  More than one needs the usual ``if __name__ == "__main__"`` around a script.
    set_up : FilmingSetUp, optional
        Everything about the camera, in place of the arguments above.
    care : Care, optional
        How carefully landmarks, scale and yaw are put in.

    Returns
    -------
    DataFrame
        One row a metric and event; SI and degrees.

    Raises
    ------
    InputValueError
        A set-up that cannot be.
    """
    from deliverylab.core.report.trust_table import trust_frame
    from deliverylab.core.synthetic.filming import FilmingSetUp
    from deliverylab.core.workflow import trust as simulation

    camera = set_up or FilmingSetUp(
        view=view, distance_m=distance_m, yaw_deg=yaw_deg, rate_hz=rate_hz
    )
    rows = simulation.trust(camera, care, n=n, n_workers=n_workers)
    return trust_frame([row.as_row() for row in rows])


def published(result: Result, level: Level | None = None) -> Context | None:
    """Return what is published of a result's own definition, as context; None where nothing is.

    Parameters
    ----------
    result : Result
        One that is shown.
    level : {"youth", "high school", "college"}, optional
        Group to name first.
    """
    from deliverylab.core.compare.published import context

    return context(result, level)


def scatter(delivery: Delivery, landmark: str, camera: str | None = None) -> LandmarkScatter:
    """Return how much a landmark's positions scatter, and the cut-off that suits them.

    Parameters
    ----------
    delivery : Delivery
        Whose.
    landmark : str
        Key, ``left_knee``.
    camera : str, optional
        Name of one of its cameras; the first when None.

    Raises
    ------
    NotFoundError, InputValueError
        No such camera or landmark; too few positions in a row, or frames unevenly spaced.
    """
    from deliverylab.core.metrics.scatter import landmark_scatter

    return landmark_scatter(delivery, delivery.camera(camera), landmark)


def precision(project: Project) -> DataFrame:
    """Return how well each person places each part of the body, and how two people differ.

    Parameters
    ----------
    project : Project
        Whose landmarks were placed again.

    Returns
    -------
    DataFrame
        One row a person and part (``kind`` is ``repeats``), then one a pair, part and coordinate
        (``two people``); empty where nothing was placed again.  ``attrs["units"]`` maps column to
        unit.
    """
    from deliverylab.core.report.precision_table import precision_frame
    from deliverylab.core.workflow.precision import precision_report
    from deliverylab.core.workflow.precision_sheet import report_rows

    return precision_frame(report_rows(precision_report(project.record)))


def write_page(
    project_path: str | Path, a: str, b: str, out: str | Path, *, paper: Paper = "a4"
) -> Path:
    """Write the one-page summary of delivery `a` compared with `b` as a PDF.

    Parameters
    ----------
    project_path : str or pathlib.Path
        The project file; its clips give the pictures.
    a, b : str
        Names of the athlete's and the other delivery.
    out : str or pathlib.Path
        The PDF.
    paper : {"a4", "letter"}
        Paper size.

    Raises
    ------
    NotFoundError, ProjectFileError, OutputError
        As for `open_project`; no such delivery; not to be written there.
    """
    from deliverylab.core.report import page
    from deliverylab.core.report.content import page_content
    from deliverylab.core.workflow.frames import ProjectFrames

    project = open_project(project_path)
    with ProjectFrames(project_path) as frames:
        content = page_content(project.record, a, b, frame_source=frames)
    return page.write_page(content, out, paper)


def trajectories(delivery: Delivery) -> DataFrame:
    """Return the landmarks in space over time, as two or more solved cameras show them.

    Parameters
    ----------
    delivery : Delivery
        With solved cameras.

    Returns
    -------
    DataFrame
        One row an instant and landmark that is known there: ``x_m``, ``y_m``, ``z_m`` from the middle
        of the rubber's front edge, X to the plate, Y to the left of a pitcher who faces it, Z up,
        left-handers as they are; standard uncertainties ``u_x_m`` and so on; ``residual_px`` and
        ``residual_m``; ``n_views``; ``event``, named at the instant nearest to it.  ``time_s`` is
        real seconds on the first camera's clock.  ``attrs["units"]`` maps column to unit.

    Raises
    ------
    InputValueError
        Its cameras are not solved, or no two clips show a landmark at the same time.
    """
    from deliverylab.core.report.trajectory_table import trajectory_frame
    from deliverylab.core.workflow.space_export import tracks_in_space

    return trajectory_frame(tracks_in_space(delivery).columns())


def write_c3d(delivery: Delivery, path: str | Path) -> Path:
    """Write the landmarks in space over time as a C3D file, in metres; needs ``deliverylab[c3d]``.

    Parameters
    ----------
    delivery : Delivery
        With solved cameras.
    path : str or pathlib.Path
        Where to.

    Raises
    ------
    InputValueError, OutputError
        As for `trajectories`; not to be written there.
    """
    from deliverylab.core.store import c3d
    from deliverylab.core.workflow.space_export import tracks_in_space

    return c3d.write_c3d(path, tracks_in_space(delivery).trajectories())


def read_c3d(path: str | Path) -> Trajectories:
    """Read the points of a C3D file in metres, gaps as NaN; needs ``deliverylab[c3d]``.

    Raises
    ------
    NotFoundError, InputValueError
        No such file; damaged, or without points or a known unit of length.
    """
    from deliverylab.core.store import c3d

    return c3d.read_c3d(path)


def field_sheet(
    out: str | Path,
    *,
    field: str = "baseball",
    hand: Hand = "right",
    units: UnitSystem = "metric",
    paper: Paper = "a4",
    side_distance_m: float = 6.0,
    rear_distance_m: float = 6.0,
) -> Path:
    """Write the set-up sheet for filming with two phones as a PDF of one page.

    Arguments and errors are those of ``core.report.field_sheet.field_sheet_pdf``; OutputError
    where it cannot be written.
    """
    from deliverylab.core.report import page
    from deliverylab.core.report.field_sheet import field_sheet_pdf

    pdf = field_sheet_pdf(field, hand, units, paper, side_distance_m, rear_distance_m)
    return page.write_pdf(pdf, out)


def fall_check(
    delivery: Delivery, camera: str | None = None, frames: tuple[int, int] | None = None
) -> FallCheck:
    """Check scale and capture rate by a ball that was tossed or dropped: g, with its u.

    Parameters
    ----------
    delivery : Delivery
        With a scale, and the landmark ``ball`` placed while it flies freely.
    camera : str, optional
        Which camera; the first without.
    frames : (int, int), optional
        First and last frame of the free flight; all that hold the ball without.

    Raises
    ------
    InputValueError
        No scale, too few positions, or too short a stretch.
    """
    from deliverylab.core.metrics.ball_fall import fall_check as check

    return check(delivery, delivery.camera(camera), *(frames or (0, None)))
