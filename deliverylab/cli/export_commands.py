"""``export``: tidy tables, landmarks in space and pictures, for other programs or a notebook."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from deliverylab.cli.options import add_project
from deliverylab.cli.output import check_endings, check_targets, counted, deliver, note
from deliverylab.cli.solve_notes import note_old_solves
from deliverylab.core.errors import UsageError

if TYPE_CHECKING:
    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.project import ProjectRecord

_TEXT = """\
Write what a project holds for other programs.

tables, one row each, SI units and degrees; the file's ending says the format: .csv, .parquet (needs
deliverylab[parquet]; units stand with its columns) or .json; "-" prints CSV:
  --results      every metric at every event: value, u, U, or why it is not shown
  --tracks       every position: delivery, camera, landmark, frame, time_s (the clip's clock),
                 real_time_s, x_px, y_px, u_px, origin
  --events       every event mark, on both clocks
  --budgets      what each u is made of, largest part first
  --differences  A against B, as compare takes them: each difference with its U and a verdict
The tables hold all deliveries, or those named by --delivery.

in space, of one delivery, as two or more solved cameras show it: on an even grid at the first
camera's true rate, each landmark smoothed at the cut-off of its part of the body. Metres; origin at
the middle of the rubber's front edge, X to the plate, Y to the left of a pitcher who faces the
plate, Z up; left-handed deliveries are not mirrored. Times are real seconds on the first camera's
clock:
  --c3d          the open C3D format with labels, residuals and events (needs deliverylab[c3d])
  --csv          a row for each instant and landmark: delivery, time_s, landmark, x_m, y_m, z_m,
                 u_x_m, u_y_m, u_z_m (standard uncertainties), residual_px, residual_m, n_views,
                 event (named at the instant nearest to it)

a picture, of one delivery:
  --png          the frame --at an event or a frame number, in the clip's own resolution, with the
                 skeleton and the event's name on it"""
_EPILOG = """\
examples:
  deliverylab export may.delivery --results may.parquet --tracks may-tracks.csv
  deliverylab export may.delivery --differences "Ana 1" "Ana 2" ana.json
  deliverylab export may.delivery --delivery "Ana 1" --c3d ana.c3d --csv ana-space.csv
  deliverylab export may.delivery --delivery "Ana 1" --png release.png --at release
"""
_TABLES = ("results", "tracks", "events", "budgets")


def add_commands(commands: Any) -> None:
    """Add ``export``."""
    command = commands.add_parser(
        "export",
        help="write tables (CSV, Parquet, JSON), landmarks in space (C3D), a frame (PNG)",
        description=_TEXT,
        epilog=_EPILOG,
    )
    add_project(command)
    command.add_argument(
        "--delivery", metavar="NAME", action="append", help="which delivery; may be said again"
    )
    for table in _TABLES:
        command.add_argument(f"--{table}", metavar="FILE", help=f"write the table of {table}")
    command.add_argument(
        "--differences", nargs=3, metavar=("A", "B", "FILE"), help="write the table of differences"
    )
    command.add_argument("--c3d", metavar="FILE.c3d", help="write a C3D file")
    command.add_argument("--csv", metavar="FILE", help='landmarks in space; "-" prints them')
    command.add_argument(
        "--png", metavar="FILE.png", help="write a frame with what is marked in it"
    )
    command.add_argument("--at", metavar="EVENT|FRAME", help="which frame --png shows")
    command.add_argument(
        "--camera", metavar="NAME", help="whose frame --png shows (default: the first)"
    )
    command.set_defaults(run=_export)


def _export(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.project import Project
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project

    targets = _targets(arguments)
    project = Project(load_project(arguments.project))
    check_targets(*targets, inputs=files_of(project.record, arguments.project))
    check_endings(png=arguments.png, c3d=arguments.c3d)
    deliveries = project.record.deliveries
    if arguments.delivery is not None:
        deliveries = tuple(project.delivery(name) for name in arguments.delivery)
    if arguments.delivery is not None or arguments.differences is None:
        note_old_solves(project.record, deliveries)
    for table in _TABLES:
        target = getattr(arguments, table)
        if target is not None:
            _hand_over(_table(table, deliveries), target)
    if arguments.differences is not None:
        a, b, target = arguments.differences
        _hand_over(_differences(project.record, a, b), target)
    if arguments.c3d is not None or arguments.csv is not None:
        _export_space(_only(deliveries, arguments), arguments.c3d, arguments.csv)
    if arguments.png is not None:
        _export_picture(arguments, _only(deliveries, arguments))
    return 0


def _targets(arguments: argparse.Namespace) -> list[str | None]:
    """Return all files that are asked for, each in a format that there is.

    Raises
    ------
    UsageError
        Nothing is asked for, or something that cannot be.
    """
    from deliverylab.core.report.table_files import format_of

    tables = [getattr(arguments, table) for table in _TABLES]
    if arguments.differences is not None:
        tables.append(arguments.differences[2])
    for target in tables:
        if target not in {None, "-"}:
            format_of(target)
    targets = [*tables, arguments.c3d, arguments.csv, arguments.png]
    if all(target is None for target in targets):
        raise UsageError(
            "nothing was asked for",
            where="export",
            remedy="give --results FILE, --tracks FILE, --c3d FILE, or another of its options",
        )
    for option in ("c3d", "png"):
        if getattr(arguments, option) == "-":
            raise UsageError(
                "that kind of file is not printed", where=f"--{option} -", remedy="name a file"
            )
    if (arguments.png is None) != (arguments.at is None):
        raise UsageError(
            "a picture needs its file and its frame",
            where="export",
            remedy="give --png FILE and --at release, or --at 214",
        )
    return targets


def _only(deliveries: Sequence[Delivery], arguments: argparse.Namespace) -> Delivery:
    """Return the one delivery that is asked for."""
    if arguments.delivery is None or len(deliveries) != 1:
        raise UsageError(
            "this is written of one delivery",
            where="--c3d, --csv, --png",
            remedy="name it with --delivery",
        )
    return deliveries[0]


def _table(which: str, deliveries: Sequence[Delivery]) -> Any:
    from deliverylab.core.metrics.evaluate import evaluate
    from deliverylab.core.report import tables, tables_tracks

    if which == "tracks":
        return tables_tracks.tracks_frame(deliveries)
    if which == "events":
        return tables_tracks.events_frame(deliveries)
    results = [result for delivery in deliveries for result in evaluate(delivery)]
    is_budget = which == "budgets"
    return tables_tracks.budgets_frame(results) if is_budget else tables.results_frame(results)


def _differences(record: ProjectRecord, a: str, b: str) -> Any:
    from deliverylab.core.compare.difference import compare_parties
    from deliverylab.core.compare.parties import party_of
    from deliverylab.core.report.tables import differences_frame

    parties = party_of(record, a), party_of(record, b)
    note_old_solves(record, (each for party in parties for each in party.deliveries))
    return differences_frame(compare_parties(*parties))


def _hand_over(frame: Any, target: str) -> None:
    from deliverylab.core.report.table_files import write_frame
    from deliverylab.core.report.tables import frame_csv

    if target == "-":
        deliver(lambda: frame_csv(frame), target)
        return
    note(f"written: {write_frame(frame, target)}, {counted(len(frame), 'row')}")


def _export_space(delivery: Delivery, c3d: str | None, csv: str | None) -> None:
    from deliverylab.core.report.trajectory_table import trajectory_csv
    from deliverylab.core.store.c3d import write_c3d
    from deliverylab.core.workflow.space_export import tracks_in_space

    tracks = tracks_in_space(delivery)
    for finding in delivery.space.findings if delivery.space is not None else ():
        where = f" ({finding.where})" if finding.where else ""
        note(f"the cameras are doubtful: {finding.what}{where}; {finding.remedy}")
    if c3d is not None:
        write_c3d(c3d, tracks.trajectories())
        note(f"written: {c3d}, {counted(len(tracks.times_s), 'frame')}")
    deliver(lambda: trajectory_csv(tracks.columns()), csv)


def _export_picture(arguments: argparse.Namespace, delivery: Delivery) -> None:
    from deliverylab.core.workflow.stage_picture import write_stage_picture

    camera = delivery.camera(arguments.camera)
    written = write_stage_picture(
        arguments.project, delivery, camera, arguments.at, Path(arguments.png)
    )
    note(f"written: {written}")
