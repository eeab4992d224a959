"""``progress``: an athlete's numbers over the visits in a folder's project files."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from deliverylab.cli.options import add_outputs
from deliverylab.cli.output import (
    check_endings,
    check_targets,
    columns,
    deliver,
    note,
    say,
    say_wrapped,
)
from deliverylab.core.errors import UsageError

if TYPE_CHECKING:
    from deliverylab.core.compare.course import Course
    from deliverylab.core.units import UnitSystem
    from deliverylab.core.workflow.visits import Findings

_TEXT = """\
Say how an athlete's numbers went over visits. A visit is a day; every project file of the folder is
read, and none is changed. A change counts when it is larger than what the deliveries within visits
scatter, and a camera that stands anew, can make of it (minimal detectable change, 95 %). Film three
deliveries or more at each visit."""


def add_commands(commands: Any) -> None:
    """Add ``progress``."""
    command = commands.add_parser(
        "progress",
        help="what changed over an athlete's visits, across the projects of a folder",
        description=_TEXT,
        epilog="example:\n  deliverylab progress pitchers --athlete Ana --out ana.pdf\n",
    )
    command.add_argument("folder", metavar="FOLDER", help="where the project files lie")
    command.add_argument(
        "--athlete", metavar="NAME", help="whose (default: all with two visits or more)"
    )
    command.add_argument("--out", metavar="FILE.pdf", help="write the sheet of one athlete")
    add_outputs(command)
    command.set_defaults(run=_progress)


def _progress(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.progress import progress
    from deliverylab.core.report import progress_table
    from deliverylab.core.store.projectfile import SUFFIX
    from deliverylab.core.workflow.visits import athlete_deliveries, deliveries_in

    found = deliveries_in(arguments.folder)
    inputs = sorted(Path(arguments.folder).glob(f"*{SUFFIX}"))
    check_targets(arguments.out, arguments.json, arguments.csv, inputs=inputs)
    check_endings(pdf=arguments.out)
    athletes = _athletes(found, arguments.athlete)
    if arguments.out and len(athletes) != 1:
        raise UsageError(
            "the sheet is of one athlete",
            where=", ".join(athletes) or "nobody has two visits",
            remedy="say whose with --athlete",
        )
    theirs = {athlete: athlete_deliveries(found, athlete) for athlete in athletes}
    courses = {name: progress(each.deliveries) for name, each in theirs.items()}
    for remark in dict.fromkeys(
        remark for each in (found, *theirs.values()) for remark in each.remarks
    ):
        note(remark)
    is_printed = deliver(lambda: progress_table.progress_json(courses), arguments.json)
    is_printed |= deliver(lambda: progress_table.progress_csv(courses), arguments.csv)
    if arguments.out:
        (athlete,) = athletes
        _write_sheet(arguments.out, athlete, courses[athlete], theirs[athlete], arguments.units)
    elif not is_printed:
        for athlete, ones in courses.items():
            _say_courses(athlete, ones, arguments.units or theirs[athlete].unit_system)
        if not found.kept:
            say(f"there is no delivery in {arguments.folder}: name the folder of the projects")
        elif not athletes:
            say("no athlete has two visits: dates of deliveries tell them apart")
    return 0


def _athletes(found: Findings, wanted: str | None) -> tuple[str, ...]:
    if wanted is not None:
        return (wanted,)
    days = {
        athlete: {each.date for each in found.deliveries if each.athlete.name == athlete} - {""}
        for athlete in found.athletes
    }
    return tuple(athlete for athlete, dates in days.items() if len(dates) > 1)


def _write_sheet(
    path: str,
    athlete: str,
    courses: Sequence[Course],
    found: Findings,
    system: UnitSystem | None,
) -> None:
    from deliverylab.core.report.progress_plot import ProgressSheet, write_progress_sheet

    sheet = ProgressSheet(
        athlete=found.kept[-1].delivery.athlete.name if found.kept else athlete,
        courses=tuple(courses),
        remarks=found.remarks,
        system=system or found.unit_system,
    )
    say(f"written: {write_progress_sheet(sheet, path)}")


def _say_courses(athlete: str, courses: Sequence[Course], system: UnitSystem) -> None:
    """Print what changed, what did not, and what cannot be told."""
    from deliverylab.core.report.progress_words import (
        chance_words,
        change_words,
        course_name,
        ranked_courses,
        summary_words,
        target_words,
    )

    say(athlete)
    say_wrapped(summary_words(courses), indent=2)
    groups: dict[str, list[Course]] = {}
    for course in ranked_courses(courses):
        verdict = course.change.verdict if course.change else "one visit only"
        groups.setdefault(verdict, []).append(course)
    for verdict in ("changed", "no detectable change"):
        if verdict not in groups:
            continue
        say(f"  {verdict}")
        rows = [
            (
                course_name(course),
                *_ends(course, system),
                change_words(course, course.change, system).removeprefix("no detectable change "),
                target_words(course, course.target, system) if course.target else "",
            )
            for course in groups[verdict]
        ]
        columns(rows, indent=4)
    _say_repeats(groups.pop("one visit only", []), system)
    if "too few deliveries" in groups:
        names = ", ".join(course_name(course) for course in groups["too few deliveries"])
        say_wrapped(f"too few deliveries: {names}", indent=2)
    if said := chance_words(courses):
        say_wrapped(said, indent=2)
    say()


def _say_repeats(courses: Sequence[Course], system: UnitSystem) -> None:
    """Print what one visit only shows: how far its deliveries spread, where they are several."""
    from deliverylab.core.report.progress_words import course_name, spread_words

    repeated = [course for course in courses if course.visits[-1].spread is not None]
    if repeated:
        say("  one visit only: how alike its deliveries are (standard deviation)")
        rows = [
            (course_name(course), _ends(course, system)[1], spread_words(course, system))
            for course in repeated
        ]
        columns(rows, indent=4)
    names = ", ".join(course_name(course) for course in courses if course not in repeated)
    if names:
        say_wrapped(f"one delivery only: {names}", indent=2)


def _ends(course: Course, system: UnitSystem) -> tuple[str, str]:
    """Return the first and the last visit's mean with ±."""
    from deliverylab.core.units import format_value

    first, last = (
        format_value(visit.value, visit.expanded_u, course.unit, course.decimals, system)
        + f" ({visit.n})"
        for visit in (course.visits[0], course.visits[-1])
    )
    return first, last
