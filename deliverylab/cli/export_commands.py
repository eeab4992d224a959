"""``export``: landmarks in space over time, for a laboratory's programs or a notebook."""

from __future__ import annotations

import argparse
from typing import Any

from deliverylab.cli.options import add_project
from deliverylab.cli.output import check_targets, counted, deliver, note
from deliverylab.cli.solve_notes import note_old_solves
from deliverylab.core.errors import UsageError

_TEXT = """\
Write the landmarks of a delivery in space over time, as two or more solved cameras show them: on an
even grid at the first camera's true rate, each landmark smoothed at the cut-off of its part of the
body. Metres; origin at the middle of the rubber's front edge, X to the plate, Y to the left of a
pitcher who faces the plate, Z up; left-handed deliveries are not mirrored. Times are real seconds on
the first camera's clock.

--c3d writes the open C3D format with labels, residuals and events (needs deliverylab[c3d]).
--csv writes a row for each instant and landmark: delivery, time_s, landmark, x_m, y_m, z_m, u_x_m,
u_y_m, u_z_m (standard uncertainties), residual_px, residual_m, n_views, event (named at the instant
nearest to it)."""
_EPILOG = """\
example:
  deliverylab export may.delivery --delivery "Ana 1" --c3d ana.c3d --csv ana-space.csv
"""


def add_commands(commands: Any) -> None:
    """Add ``export``."""
    command = commands.add_parser(
        "export",
        help="write landmarks in space over time, as C3D or CSV",
        description=_TEXT,
        epilog=_EPILOG,
    )
    add_project(command)
    command.add_argument("--delivery", metavar="NAME", required=True, help="which delivery")
    command.add_argument("--c3d", metavar="FILE.c3d", help="write a C3D file")
    command.add_argument("--csv", metavar="FILE", help='write a table; "-" prints it')
    command.set_defaults(run=_export)


def _export(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.project import Project
    from deliverylab.core.report.trajectory_table import trajectory_csv
    from deliverylab.core.store.c3d import write_c3d
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.space_export import tracks_in_space

    if arguments.c3d is None and arguments.csv is None:
        raise UsageError(
            "nothing was asked for", where="export", remedy="give --c3d FILE, --csv FILE, or both"
        )
    if arguments.c3d == "-":
        raise UsageError("a C3D file is not printed", where="--c3d -", remedy="name a file")
    project = Project(load_project(arguments.project))
    check_targets(arguments.c3d, arguments.csv, inputs=files_of(project.record, arguments.project))
    delivery = project.delivery(arguments.delivery)
    tracks = tracks_in_space(delivery)
    note_old_solves(project.record, (delivery,))
    for finding in delivery.space.findings if delivery.space is not None else ():
        where = f" ({finding.where})" if finding.where else ""
        note(f"the cameras are doubtful: {finding.what}{where}; {finding.remedy}")
    if arguments.c3d is not None:
        write_c3d(arguments.c3d, tracks.trajectories())
        note(f"written: {arguments.c3d}, {counted(len(tracks.times_s), 'frame')}")
    deliver(lambda: trajectory_csv(tracks.columns()), arguments.csv)
    return 0
