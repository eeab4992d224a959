"""``work-on``: what an athlete works on after a delivery."""

from __future__ import annotations

import argparse
import json
import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from deliverylab.cli.options import add_project
from deliverylab.cli.output import check_targets, deliver, say, say_wrapped
from deliverylab.core.errors import InputValueError, NotFoundError, UsageError
from deliverylab.core.model.changes import replace

if TYPE_CHECKING:
    from deliverylab.core.compare.verdict import Difference
    from deliverylab.core.model.library import Library
    from deliverylab.core.model.plan import Plan, Priority
    from deliverylab.core.model.project import ProjectRecord
    from deliverylab.core.units import UnitSystem

_TEXT = """\
Suggest what the athlete of delivery A works on until the next visit: up to three priorities out of
the comparison with B, each with the measured gap, a target, a cue and a drill. Those with which
others seem to begin come first. It is a suggestion: choose others with --priority, change any part
by its number, and keep the plan in the project with --write."""
_EXAMPLE = """\
examples:
  deliverylab work-on may.delivery "Ana 1" Model --write
  deliverylab work-on may.delivery "Ana 1" --show
  deliverylab work-on may.delivery "Ana 1" --show --cue "1=Reach out to the plate." --write
"""
_NUMBERED = "N is the priority's number"


def add_commands(commands: Any) -> None:
    """Add ``work-on``."""
    command = commands.add_parser(
        "work-on",
        help="suggest, change or show what an athlete works on",
        description=_TEXT,
        epilog=_EXAMPLE,
    )
    add_project(command)
    command.add_argument("a", metavar="A", help="the athlete's delivery, which holds the plan")
    command.add_argument(
        "b", metavar="B", nargs="?", help="what it is compared with, as for compare"
    )
    command.add_argument(
        "--show", action="store_true", help="begin with the plan that is kept, not a suggestion"
    )
    command.add_argument(
        "--priority",
        metavar="METRIC[/EVENT]",
        action="append",
        help="work on this clear difference; once for each, in their order",
    )
    for name, metavar, text in (
        ("cue", "N=TEXT", f"what the athlete is told; {_NUMBERED}"),
        ("drill", "N=NAME", "a drill of the library, or one of your own"),
        ("target", "N=VALUE", "value to reach, in the units shown"),
    ):
        command.add_argument(
            f"--{name}", metavar=metavar, type=_numbered, action="append", default=[], help=text
        )
    command.add_argument("--until", metavar="DATE", help="day of the next look, as 2026-05-14")
    command.add_argument("--note", metavar="TEXT", help="a line of your own")
    command.add_argument("--write", action="store_true", help="keep it in the project")
    command.add_argument("--remove", action="store_true", help="take the plan out of the project")
    command.add_argument("--json", metavar="FILE", help='the same as JSON; "-" prints it instead')
    command.add_argument(
        "--units",
        choices=["metric", "imperial"],
        help="units of what is printed, and of --target (default: the project's)",
    )
    command.set_defaults(run=_work_on)


def _numbered(text: str) -> tuple[int, str]:
    """Read ``1=words``."""
    number, separator, value = text.partition("=")
    if not separator or not number.strip().isdecimal() or int(number) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} does not begin with a number, as in 1=words")
    return int(number), value.strip()


def _work_on(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.plan_words import plan_row
    from deliverylab.core.model.project import Project
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.library import load_library
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.planning import local_today, plan_cautions

    record = load_project(arguments.project)
    check_targets(arguments.json, inputs=files_of(record, arguments.project))
    owner = Project(record).delivery(arguments.a)
    if owner.plan is None and (arguments.remove or _is_of_kept(arguments)):
        raise NotFoundError(
            "no plan is kept",
            where=owner.name,
            remedy="name what it is compared with for a suggestion, and keep it with --write",
        )
    if arguments.remove:
        _keep(arguments, None)
        say(f"{owner.name}: the plan is taken out")
        return 0
    library = load_library(arguments.project)
    system: UnitSystem = arguments.units or record.unit_system
    plan = _changed(_plan(arguments, record, library), arguments, library, system)
    if arguments.until and owner.date and plan.recheck_date < owner.date:
        raise InputValueError(
            "the day of the next look lies before the delivery",
            where=arguments.until,
            remedy=f"choose one after {owner.date}",
        )
    cautions = plan_cautions(plan, owner.athlete, local_today())
    if arguments.write:
        _keep(arguments, plan)
    row = plan_row(plan, cautions)
    if not deliver(lambda: json.dumps(row, indent=2, ensure_ascii=False) + "\n", arguments.json):
        _say_plan(owner.name, plan, cautions, system)
        if arguments.write:
            say(f"kept in {arguments.project}")
    return 0


def _is_of_kept(arguments: argparse.Namespace) -> bool:
    return arguments.show and not arguments.priority


def _plan(arguments: argparse.Namespace, record: ProjectRecord, library: Library) -> Plan:
    """Return the plan to begin with: that which is kept, what is chosen, or a suggestion."""
    from deliverylab.core.compare.chain import chain_of
    from deliverylab.core.compare.difference import compare_parties
    from deliverylab.core.compare.links import links_with
    from deliverylab.core.compare.parties import party_of
    from deliverylab.core.model.plan import Plan
    from deliverylab.core.model.project import Project
    from deliverylab.core.workflow.planning import (
        local_today,
        priority_for,
        suggested_plan,
    )

    owner, today = Project(record).delivery(arguments.a), local_today()
    kept = owner.plan or Plan()
    if _is_of_kept(arguments):
        return kept
    if arguments.b is None:
        raise UsageError(
            "the delivery that it is compared with is missing",
            where="B",
            remedy="name it, or write --show for the plan that is kept",
        )
    found = compare_parties(party_of(record, arguments.a), party_of(record, arguments.b))
    if not arguments.priority:
        return suggested_plan(owner, chain_of(found, links_with(library)), library, today=today)
    chosen = tuple(
        priority_for(_clear(text, found), library, is_minor=owner.athlete.is_minor_in(today.year))
        for text in arguments.priority
    )
    return replace(kept, priorities=chosen)


def _clear(text: str, found: Sequence[Difference]) -> Difference:
    from deliverylab.core.compare.own_library import end_of

    wanted = end_of(text, "more")
    for difference in found:
        if (difference.metric, difference.event) == (wanted.metric, wanted.event):
            if difference.verdict == "clear":
                return difference
            break
    clear = [f"{d.metric}/{d.event}".rstrip("/") for d in found if d.verdict == "clear"]
    raise NotFoundError(
        "this is no clear difference",
        where=text,
        remedy=f"clear are: {', '.join(clear) or 'none'}",
    )


def _changed(
    plan: Plan, arguments: argparse.Namespace, library: Library, system: UnitSystem
) -> Plan:
    """Return the plan with the parts that the options give."""
    priorities = list(plan.priorities)

    def change(parts: Sequence[tuple[int, str]], make: Callable[[Priority, str], Priority]) -> None:
        for number, text in parts:
            if number > len(priorities):
                raise InputValueError(
                    f"the plan has no priority {number}",
                    remedy=f"it has {len(priorities) or 'none'}",
                )
            priorities[number - 1] = make(priorities[number - 1], text)

    change(arguments.cue, lambda one, text: replace(one, cue=text))
    change(arguments.drill, lambda one, text: _with_drill(one, text, library))
    change(arguments.target, lambda one, text: replace(one, target=_target(one, text, system)))
    changed = replace(plan, priorities=tuple(priorities))
    if arguments.until is not None:
        changed = replace(changed, recheck_date=arguments.until)
    if arguments.note is not None:
        changed = replace(changed, note=arguments.note)
    return changed


def _with_drill(priority: Priority, name: str, library: Library) -> Priority:
    from deliverylab.core.compare.drills import drill_named, drills_with
    from deliverylab.core.workflow.planning import own_drill, with_drill

    found = drill_named(name, drills_with(library))
    return with_drill(priority, found or own_drill(name))


def _target(priority: Priority, text: str, system: UnitSystem) -> float:
    from deliverylab.core.compare.plan_words import gap_words, priority_words
    from deliverylab.core.metrics.catalogue import metric
    from deliverylab.core.units import shown_unit

    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise InputValueError(
            "a target is a number",
            where=text,
            remedy="write it without its unit, in the units shown",
        )
    target = value / shown_unit(metric(priority.metric).unit, system).factor
    sign = 1.0 if priority.way == "more" else -1.0
    if priority.value is not None and sign * (target - priority.value) <= 0.0:
        raise InputValueError(
            "a target lies where the value shall go",
            where=text,
            remedy=f"{gap_words(priority, system)}: {priority_words(priority)}",
        )
    return target


def _keep(arguments: argparse.Namespace, plan: Plan | None) -> None:
    from deliverylab.core.model.plan_changes import SetPlan
    from deliverylab.core.workflow.editing import edit_project_file

    edit_project_file(arguments.project, lambda _: SetPlan(delivery=arguments.a, plan=plan))


def _say_plan(name: str, plan: Plan, cautions: Sequence[str], system: UnitSystem) -> None:
    from deliverylab.core.compare.plan_words import gap_words, priority_words
    from deliverylab.core.report.wording import day

    if not plan.priorities:
        say(f"{name}: nothing clear to work on; keep going, or film again to see more")
    else:
        until = f" until {day(plan.recheck_date)}" if plan.recheck_date else ""
        say(f"{name}: work on this{until}")
    for number, priority in enumerate(plan.priorities, start=1):
        say_wrapped(f"{number}. {priority_words(priority)}", indent=2, hanging=3)
        for text in (gap_words(priority, system), priority.cue):
            if text:
                say_wrapped(text, indent=5, hanging=0)
        if priority.drill:
            how = f": {priority.how}" if priority.how else ""
            say_wrapped(f"drill: {priority.drill}{how}", indent=5)
        if priority.caution:
            say_wrapped(f"mind: {priority.caution}", indent=5)
    if plan.note:
        say_wrapped(plan.note, indent=2)
    for caution in cautions:
        say_wrapped(caution, indent=2)
