"""``control``, ``cameras-from``, ``solve`` and ``sync``: two phones become one measuring camera."""

from __future__ import annotations

import argparse
from typing import Any

from deliverylab.cli.options import add_delivery, add_project, number
from deliverylab.cli.output import check_endings, check_targets, counted, deliver, note, say
from deliverylab.core.errors import SolveError, UsageError
from deliverylab.core.model.changes import Batch, Change, replace
from deliverylab.core.model.project import Project
from deliverylab.core.model.space import SetUpFinding

_CONTROL_TEXT = """\
Say where points of the field are, and where they are in a camera's picture. The table's first line
names its columns: point,x_m,y_m,z_m,x_px,y_px and, if wanted, u_px and u_m (standard uncertainties).
Metres from the middle of the rubber's front edge: x to the plate, y to the left of a pitcher who
faces it, z up. Points of the standard field (rubber, cones) need no x_m, y_m, z_m; a z_m left out is
the ground. All cameras of a delivery share its field; clicks are the camera's own. Cameras left in
place for several deliveries are clicked once: see cameras-from."""
_CONTROL_EXAMPLES = """\
points of the standard field:
  rubber_front_left, rubber_front_right, rubber_back_left, rubber_back_right (left is the pitcher's),
  cone_left, cone_right (2 m ahead of the rubber, 0.8 m to either side)

examples:
  deliverylab control may.delivery --delivery "Ana 1" --camera side side-points.csv
  deliverylab control may.delivery --delivery "Ana 1" --camera rear rear-points.csv --zoom 2
  deliverylab control may.delivery --delivery "Ben 1" ben-points.csv --field youth-50 --layout four-cones
"""
_SOLVE_TEXT = """\
Find where the cameras stood and how their clocks go together, from clicks on the field, from the
body's landmarks in all clips, and from what is known of phone and athlete. All deliveries filmed
with the cameras left in place are solved together. Cameras without a scale of their own get one. With
--camera that camera is solved alone, for results of one camera. Where something does not fit, it is
said what and where; exit status 9 says that nothing may be shown from the solve."""
_SYNC_TEXT = """\
Show how well the lines of sight of two clips meet over the shift of the second one's clock: the
lowest point is the offset. What the solve has and what event marks say stand beside it."""
_FROM_TEXT = """\
Say that the cameras were left in place since another delivery: its field and its clicks hold for
this one too, and all such deliveries are solved together. The cameras must have the same names."""


def add_commands(commands: Any) -> None:
    """Add ``control``, ``cameras-from``, ``solve`` and ``sync``."""
    _add_control(commands)
    shared = commands.add_parser(
        "cameras-from",
        help="say that the cameras were left in place since another delivery",
        description=_FROM_TEXT,
    )
    add_project(shared)
    shared.add_argument("--delivery", metavar="NAME", required=True, help="which delivery")
    shared.add_argument(
        "other", metavar="OTHER", help='the delivery that is clicked; "none" takes it back'
    )
    shared.set_defaults(run=_cameras_from)
    solve = commands.add_parser(
        "solve", help="find where the cameras stood, and join their clocks", description=_SOLVE_TEXT
    )
    add_project(solve)
    solve.add_argument("--delivery", metavar="NAME", required=True, help="which delivery")
    solve.add_argument("--camera", metavar="NAME", help="solve this camera alone")
    _add_json(solve)
    solve.set_defaults(run=_solve)
    sync = commands.add_parser(
        "sync", help="how the clocks of two clips go together", description=_SYNC_TEXT
    )
    add_project(sync)
    sync.add_argument("--delivery", metavar="NAME", required=True, help="which delivery")
    sync.add_argument(
        "--sound", action="store_true", help="also listen for a clap that both clips hold"
    )
    sync.add_argument("--plot", metavar="FILE.pdf", help="draw the curve, a page for each clip")
    _add_json(sync)
    sync.set_defaults(run=_sync)


def _add_control(commands: Any) -> None:
    from deliverylab.core.vocabulary.field import FIELDS
    from deliverylab.core.workflow.space_set_up import LAYOUTS

    control = commands.add_parser(
        "control",
        help="say where points of the field are, and where in the picture",
        description=_CONTROL_TEXT,
        epilog=_CONTROL_EXAMPLES,
    )
    add_delivery(control)
    add = control.add_argument
    add("points", metavar="CONTROL.csv", help="the table, UTF-8")
    add(
        "--field",
        choices=[size.key for size in FIELDS],
        help="begin with the points of this kind of field",
    )
    add(
        "--layout",
        choices=[layout.key for layout in LAYOUTS],
        help="what is laid beside the rubber (default: two-cones)",
    )
    add("--zoom", metavar="X", type=number, help="of the phone; 1 is its main lens")
    add("--focal", metavar="PX", type=number, help="focal length where it is known, px")
    level = control.add_mutually_exclusive_group()
    level.add_argument("--not-level", action="store_true", help="nobody looked at a level")
    level.add_argument(
        "--u-level", metavar="D", type=number, help="how well it was levelled, degrees (default 1)"
    )
    add(
        "--turn",
        metavar="D",
        type=number,
        help="turn of the camera from its view, anticlockwise seen from above: 45 stands between "
        "two views",
    )
    control.set_defaults(run=_control)


def _add_json(command: Any) -> None:
    command.add_argument(
        "--json", metavar="FILE", help='write all as JSON, SI units and degrees; "-" prints it'
    )


def _control(arguments: argparse.Namespace) -> int:
    from deliverylab.core.workflow.editing import edit_project_file
    from deliverylab.core.workflow.positions import table_text

    # once only: it may come out of a pipe
    text = table_text(arguments.points)
    n_clicks = 0

    def change(project: Project) -> Change:
        nonlocal n_clicks
        changes, n_clicks = _control_changes(project, arguments, text)
        return Batch(label="Click the field", changes=tuple(changes))

    project = edit_project_file(arguments.project, change)
    delivery = project.delivery(arguments.delivery)
    camera = delivery.camera(arguments.camera)
    n_points = len(delivery.field.points) if delivery.field is not None else 0
    say(
        f"{delivery.name}, {camera.name}: {counted(len(camera.control), 'point')} of "
        f"{n_points} clicked, {n_clicks} by this table"
    )
    return 0


def _control_changes(
    project: Project, arguments: argparse.Namespace, text: str
) -> tuple[list[Change], int]:
    """Return the edits that were asked for, and how many clicks are among them."""
    from deliverylab.core.model.space_changes import SetControlClick, SetField, SetStand
    from deliverylab.core.workflow.space_set_up import (
        STANDARD_LAYOUT,
        field_of,
        standard_field_set_up,
    )
    from deliverylab.core.workflow.space_table import control_from_text

    delivery = project.delivery(arguments.delivery)
    camera = delivery.camera(arguments.camera)
    if delivery.cameras_from:
        raise UsageError(
            "this delivery takes its cameras from another one",
            where=f"{delivery.name}: {delivery.cameras_from}",
            remedy=f"click the field in {delivery.cameras_from}, or say cameras-from with none first",
        )
    field = field_of(project, delivery)
    if arguments.field is not None or arguments.layout is not None:
        field = standard_field_set_up(
            arguments.field or field.size, arguments.layout or STANDARD_LAYOUT
        )
    changes: list[Change] = []
    table = control_from_text(text, arguments.points, field)
    if table.field != delivery.field:
        changes.append(SetField(delivery=delivery.name, field=table.field))
    changes += [
        SetControlClick(delivery=delivery.name, camera=camera.name, point=key, click=click)
        for key, click in table.clicks.items()
    ]
    given = {
        "zoom": arguments.zoom,
        "focal_px": arguments.focal,
        "u_level_deg": arguments.u_level,
        "turn_deg": arguments.turn,
    }
    stand = replace(camera.stand, **{k: value for k, value in given.items() if value is not None})
    if arguments.not_level:
        stand = replace(stand, u_level_deg=None)
    if stand != camera.stand:
        changes.append(SetStand(delivery=delivery.name, camera=camera.name, stand=stand))
    return changes, len(table.clicks)


def _cameras_from(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.space_changes import SetCamerasFrom, cameras_left_in_place
    from deliverylab.core.workflow.editing import edit_project_file

    is_own = False

    def change(project: Project) -> Change:
        nonlocal is_own
        is_own = arguments.other == "none" and not any(
            each.name == "none" for each in project.record.deliveries
        )
        if is_own:
            return SetCamerasFrom(delivery=arguments.delivery, source="")
        return cameras_left_in_place(project, arguments.delivery, arguments.other)

    edit_project_file(arguments.project, change)
    whose = "its own" if is_own else f"those of {arguments.other}"
    say(f"{arguments.delivery}: the cameras are {whose}")
    return 0


def _solve(arguments: argparse.Namespace) -> int:
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project

    record = load_project(arguments.project)
    check_targets(arguments.json, inputs=files_of(record, arguments.project))
    if arguments.camera is not None:
        return _solve_alone(arguments)
    from deliverylab.cli.space_text import say_solution, solution_json
    from deliverylab.core.workflow.editing import edit_project_file
    from deliverylab.core.workflow.space_solve import SolveOutcome, solve

    found: list[SolveOutcome] = []

    def change(project: Project) -> Change:
        found[:] = [solve(project, arguments.delivery)]
        return found[0].changes

    project = edit_project_file(arguments.project, change)
    delivery = project.delivery(arguments.delivery)
    for message in found[0].messages:
        note(message)
    if not deliver(lambda: solution_json(delivery), arguments.json):
        say_solution(delivery, project.record.unit_system)
    _refuse(found[0].solution.findings, delivery.name, is_refused=found[0].solution.is_refused)
    return 0


def _solve_alone(arguments: argparse.Namespace) -> int:
    from deliverylab.cli.space_text import alone_json, say_alone
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.editing import edit_project_file
    from deliverylab.core.workflow.space_alone import solve_alone

    project = Project(load_project(arguments.project))
    outcome = solve_alone(project, arguments.delivery, arguments.camera)
    had = project.camera(arguments.delivery, arguments.camera).scale
    if outcome.change is not None:

        def change(now: Project) -> Change:
            again = solve_alone(now, arguments.delivery, arguments.camera).change
            return Batch(label="Solve the camera", changes=() if again is None else (again,))

        edit_project_file(arguments.project, change)
    if not deliver(lambda: alone_json(arguments.delivery, outcome), arguments.json):
        say_alone(arguments.delivery, outcome, project.record.unit_system)
    if had is not None and not had.is_solved and outcome.change is not None:
        note("the camera's own scale was replaced by the one that follows from the solve")
    _refuse(outcome.findings, arguments.delivery, is_refused=outcome.is_refused)
    return 0


def _refuse(findings: tuple[SetUpFinding, ...], name: str, *, is_refused: bool) -> None:
    if not is_refused:
        return
    refused = [each for each in findings if each.severity == "refused"]
    if not refused:
        raise SolveError("nothing may be shown from this solve", where=name)
    first = refused[0]
    raise SolveError(first.what, where=f"{name}: {first.where}", remedy=first.remedy)


def _sync(arguments: argparse.Namespace) -> int:
    from deliverylab.cli.space_text import say_curve, sync_json
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.space_sync import sync_curves

    project = Project(load_project(arguments.project))
    check_endings(pdf=arguments.plot)
    check_targets(
        arguments.json, arguments.plot, inputs=files_of(project.record, arguments.project)
    )
    curves = sync_curves(
        project,
        arguments.delivery,
        listen_from=arguments.project if arguments.sound else None,
    )
    if not deliver(lambda: sync_json(arguments.delivery, curves), arguments.json):
        for curve in curves:
            say_curve(arguments.delivery, curve, is_heard=arguments.sound)
    if arguments.plot:
        from deliverylab.core.report.clock_plot import write_clock_plot
        from deliverylab.core.workflow.space_sync import clock_drawing

        drawings = tuple(clock_drawing(arguments.delivery, curve) for curve in curves)
        note(f"written: {write_clock_plot(drawings, arguments.plot)}")
    return 0
