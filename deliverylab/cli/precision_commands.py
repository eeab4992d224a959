"""``repeat`` and ``precision``: place landmarks again, and learn how well they are placed."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from deliverylab.cli.options import add_delivery, add_project, day, name
from deliverylab.cli.output import (
    check_targets,
    columns,
    counted,
    deliver,
    note,
    say,
    say_wrapped,
)
from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import Change
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import Project
from deliverylab.core.units import format_number

if TYPE_CHECKING:
    from deliverylab.core.model.precision import PlacingPrecision
    from deliverylab.core.workflow.precision import PairReport, PersonReport, PrecisionReport

_REPEAT_TEXT = """\
Place landmarks again, to learn how well they are placed. --plan writes a table of landmarks and
frames in hidden order, without their places: fill in x_px and y_px without looking at the earlier
ones, and leave empty what cannot be seen. --placed takes the filled table into the project."""
_REPEAT_EXAMPLES = """\
example:
  deliverylab repeat may.delivery --delivery "Ana 1" --plan again.csv
  deliverylab repeat may.delivery --delivery "Ana 1" --placed again.csv --placer Kim
  deliverylab precision may.delivery --use Kim
"""
_PRECISION_TEXT = """\
Say how well each person places each part of the body: u of one placing (technical error of
measurement) with its 95 % interval and degrees of freedom, SEM, mean shift from the first placing,
and how two people differ. --use makes a person's figures the default u of placed points, here and,
remembered in the user's data folder, in other projects; positions with a u of their own keep it."""

_PERSON_HEAD = (
    *("", "points", "u", "95 %", "px", "dof"),
    *("SEM", "shift", "up", "between", "ICC", ""),
)


def add_commands(commands: Any) -> None:
    """Add ``repeat`` and ``precision``."""
    repeat = commands.add_parser(
        "repeat",
        help="place landmarks again, in hidden order",
        description=_REPEAT_TEXT,
        epilog=_REPEAT_EXAMPLES,
    )
    add_delivery(repeat)
    what = repeat.add_mutually_exclusive_group(required=True)
    what.add_argument("--plan", metavar="FILE.csv", help='write what to place; "-" prints it')
    what.add_argument("--placed", metavar="FILE.csv", help="take what was placed")
    what.add_argument("--remove", metavar="RUN", help="take a run out again, by its name")
    add = repeat.add_argument
    add("--landmarks", metavar="NAMES", help="only these, separated by commas (default: all)")
    add("--frames-each", metavar="N", type=_count, help="frames a landmark (default 6)")
    add("--times", metavar="N", type=_count, default=1, help="place each N times (default 1)")
    add("--seed", metavar="N", type=int, default=0, help="another number gives another order")
    add("--placer", metavar="NAME", type=name, help="who placed again")
    add(
        "--first-by",
        metavar="NAME",
        type=name,
        help="who had placed the project's positions (default: as the runs here say, else the placer)",
    )
    add("--date", metavar="DAY", type=day, help="day of placing (default: today)")
    repeat.set_defaults(run=_repeat)
    precision = commands.add_parser(
        "precision",
        help="how well landmarks are placed, and by whom",
        description=_PRECISION_TEXT,
    )
    add_project(precision)
    add = precision.add_argument
    add("--json", metavar="FILE", help='write all rows as JSON, metres; "-" prints them instead')
    add("--png", metavar="FILE.png", help="draw the differences; further sheets as FILE-2.png …")
    which = precision.add_mutually_exclusive_group()
    which.add_argument("--use", metavar="NAME", help="make this person's figures the default u")
    which.add_argument("--use-judged", action="store_true", help="go back to the judged default u")
    add("--delivery", metavar="NAME", help="use them in this delivery only (default: all)")
    add("--camera", metavar="NAME", help="use them in this camera only (default: all)")
    precision.set_defaults(run=_precision)


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 1000):
        raise argparse.ArgumentTypeError(f"{text!r} is not a number from 1 to 1000")
    return int(text)


def _repeat(arguments: argparse.Namespace) -> int:
    if arguments.plan is not None:
        return _write_plan(arguments)
    if arguments.remove is not None:
        return _remove_run(arguments)
    return _take_run(arguments)


def _write_plan(arguments: argparse.Namespace) -> int:
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.precision_run import FRAMES_EACH, repeat_targets

    project = Project(load_project(arguments.project))
    check_targets(arguments.plan, inputs=files_of(project.record, arguments.project))
    targets = repeat_targets(
        project.delivery(arguments.delivery),
        arguments.camera,
        landmarks=[each.strip() for each in (arguments.landmarks or "").split(",") if each.strip()],
        n_frames_each=arguments.frames_each or FRAMES_EACH,
        times=arguments.times,
        seed=arguments.seed,
    )
    rows = "".join(f"{target.frame},{target.landmark},,\n" for target in targets)
    if not deliver(lambda: f"frame,landmark,x_px,y_px\n{rows}", arguments.plan):
        say(f"{counted(len(targets), 'point')} to place again, in this order")
    return 0


def _take_run(arguments: argparse.Namespace) -> int:
    from datetime import UTC, datetime

    from deliverylab.core.workflow.editing import edit_project_file
    from deliverylab.core.workflow.positions import table_text
    from deliverylab.core.workflow.precision_run import kept, run_from_table

    if not arguments.placer:
        raise UsageError("whose placing is it", remedy="say --placer NAME")
    text = table_text(arguments.placed)
    date = arguments.date or datetime.now(UTC).astimezone().date().isoformat()

    def change(project: Project) -> Change:
        delivery = project.delivery(arguments.delivery)
        run = run_from_table(
            delivery,
            arguments.camera,
            text,
            arguments.placed,
            placer=arguments.placer,
            date=date,
            original_placer=arguments.first_by,
        )
        return kept(delivery, run)

    project = edit_project_file(arguments.project, change)
    run = project.delivery(arguments.delivery).placing_runs[-1]
    n_before = sum(placed.before_x_px is not None for placed in run.placed)
    say(
        f"{arguments.delivery}: {counted(len(run.placed), 'point')} placed again by {run.placer}, "
        f"{n_before} of them beside a first placing by {run.who_placed_before} (run {run.name!r})"
    )
    return 0


def _remove_run(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.precision_changes import SetPlacingRun
    from deliverylab.core.workflow.editing import edit_project_file
    from deliverylab.core.workflow.precision_run import run_of

    def change(project: Project) -> Change:
        delivery: Delivery = project.delivery(arguments.delivery)
        run = run_of(delivery, arguments.remove)
        return SetPlacingRun(delivery=delivery.name, name=run.name, run=None)

    edit_project_file(arguments.project, change)
    say(f"{arguments.delivery}: run {arguments.remove!r} is out")
    return 0


def _precision(arguments: argparse.Namespace) -> int:
    import json

    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.precision import precision_report
    from deliverylab.core.workflow.precision_sheet import report_rows

    record = load_project(arguments.project)
    check_targets(arguments.json, arguments.png, inputs=files_of(record, arguments.project))
    report = precision_report(record)
    rows = report_rows(report)
    if not deliver(
        lambda: json.dumps(rows, ensure_ascii=False, indent=2, allow_nan=False) + "\n",
        arguments.json,
    ):
        _say_report(report)
    if arguments.png:
        _draw(report, Path(arguments.png))
    if arguments.use or arguments.use_judged:
        _use(arguments, report)
    return 0


def _say_report(report: PrecisionReport) -> None:
    if not report.people:
        say('nobody has placed landmarks again yet; "deliverylab repeat --help" shows how')
    repeated = [person for person in report.people if person.rows]
    for person in repeated:
        _say_person(person)
    if repeated:
        _say_columns()
    for pair in report.pairs:
        _say_pair(pair)


def _say_person(person: PersonReport) -> None:
    from deliverylab.core.workflow.precision_sheet import part_name

    say(f"{person.placer}  ({counted(person.n_runs, 'run')}; mm unless px is said)")
    overall = () if person.overall is None else (person.overall,)
    table = [
        (
            part_name(row.part),
            str(row.n_spots),
            _mm(row.technical_error.sd),
            f"{_mm(row.interval.low)} to {_mm(row.interval.high)}",
            format_number(row.technical_error_px, 2),
            str(row.technical_error.n_degrees_of_freedom),
            _mm(row.error_of_measurement),
            _mm(row.shift_forward),
            _mm(row.shift_up),
            _mm(row.between) if row.between else "–",
            format_number(row.icc_2_1, 3),
            "" if row.is_usable else "too few to be used",
        )
        for row in (*person.rows, *overall)
    ]
    columns([_PERSON_HEAD, *table], indent=2)
    say()


def _say_columns() -> None:
    """Say what the columns of a person's table are."""
    from deliverylab.core.workflow.precision import MIN_DEGREES_OF_FREEDOM

    say_wrapped(
        "u: of one placing in either coordinate. SEM: without shifts between the times of placing. "
        "shift, up: mean of the second placing minus the first, toward the plate and up. between: "
        "what people's own shifts add, where others placed the same points. ICC(2,1) is near 1 "
        "because points lie far apart, and says little here. Used from "
        f"{MIN_DEGREES_OF_FREEDOM} degrees of freedom (dof) on.",
        indent=0,
        hanging=0,
    )
    say()


def _say_pair(pair: PairReport) -> None:
    from deliverylab.core.workflow.precision_sheet import part_name

    say(f"{pair.b} minus {pair.a}  (mm)")
    table = [("", "points", "", "mean", "95 %", "limits of agreement", "ICC(2,1)", "(3,1)")]
    for row in (*pair.rows, pair.overall):
        for words, agreement in (("toward the plate", row.forward), ("up", row.up)):
            low, high = agreement.bias_interval
            table.append(
                (
                    part_name(row.part),
                    str(row.n_spots),
                    words,
                    _mm(agreement.bias),
                    f"{_mm(low)} to {_mm(high)}",
                    f"{_mm(agreement.limits.low)} to {_mm(agreement.limits.high)}",
                    format_number(row.icc_2_1, 3),
                    format_number(row.icc_3_1, 3),
                )
            )
    columns(table, indent=2)
    say()


def _mm(metres: float) -> str:
    return format_number(1000.0 * metres, 1)


def _draw(report: PrecisionReport, path: Path) -> None:
    from deliverylab.core.report.agreement_plot import write_agreement_png
    from deliverylab.core.workflow.precision_sheet import pair_sheet, person_sheet

    sheets = [person_sheet(each) for each in report.people if each.rows]
    sheets += [pair_sheet(each) for each in report.pairs]
    if not sheets:
        raise UsageError("there is nothing to draw yet", remedy="place landmarks again first")
    for number, sheet in enumerate(sheets, start=1):
        target = path if number == 1 else path.with_stem(f"{path.stem}-{number}")
        note(f"written: {write_agreement_png(sheet, target)} ({sheet.title})")


def _use(arguments: argparse.Namespace, report: PrecisionReport) -> None:
    from deliverylab.core.store.personal import personal_file, remember
    from deliverylab.core.workflow.editing import edit_project_file
    from deliverylab.core.workflow.precision_use import figures_of, n_keeping_their_u, take_up

    own = None if arguments.use_judged else figures_of(report, arguments.use)
    precision = own or (None if arguments.use_judged else _remembered(arguments.use))
    where = {"delivery": arguments.delivery, "camera": arguments.camera}
    project = edit_project_file(
        arguments.project, lambda project: take_up(project.record, precision, **where)
    )
    if n_own := n_keeping_their_u(project.record, **where):
        note(f"{counted(n_own, 'position')} with a u of their own keep it")
    if precision is None:
        note("placed points have the judged default u again")
        return
    if own is not None:
        remember(own)
        note(f"kept for other projects: {personal_file()}")
    note(f"default u from {precision.placer}: {', '.join(sorted(precision.u_m))}; others as judged")


def _remembered(placer: str) -> PlacingPrecision:
    from deliverylab.core.errors import NotFoundError
    from deliverylab.core.store.personal import remembered

    people = remembered()
    if placer not in people:
        known = ", ".join(sorted(people)) or "nobody yet"
        raise NotFoundError(
            "this person has not placed anything twice, here or earlier",
            where=placer,
            remedy=f"remembered from earlier projects: {known}",
        )
    return people[placer]
