"""``order``: which part of the body is fastest first, over several deliveries."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING, Any

from deliverylab.cli.options import add_project
from deliverylab.cli.output import check_targets, columns, deliver, say, say_wrapped

if TYPE_CHECKING:
    from deliverylab.core.compare.peak_order import PeakOrder

_TEXT = """\
Say in which order pelvis, shoulder line and elbow are fastest between foot contact and release,
over five deliveries or more of one athlete that two solved phones filmed. How long after one peak
the next one comes in a single delivery is not told: two phones do not see it closely enough."""


def add_commands(commands: Any) -> None:
    """Add ``order``."""
    command = commands.add_parser(
        "order",
        help="in which order pelvis, shoulders and elbow are fastest, over five deliveries or more",
        description=_TEXT,
        epilog="example:\n  deliverylab order may.delivery --athlete Ana\n",
    )
    add_project(command)
    command.add_argument("--athlete", metavar="NAME", help="whose deliveries (default: each one's)")
    command.add_argument("--json", metavar="FILE", help='the same as JSON; "-" prints it instead')
    command.set_defaults(run=_order)


def _order(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.peak_order import peak_order
    from deliverylab.core.errors import NotFoundError
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project

    record = load_project(arguments.project)
    check_targets(arguments.json, inputs=files_of(record, arguments.project))
    athletes = list(dict.fromkeys(each.athlete.name for each in record.deliveries))
    if arguments.athlete is not None and arguments.athlete not in athletes:
        raise NotFoundError(
            "no delivery of this athlete", where=arguments.athlete,
            remedy=f"there are: {', '.join(athletes) or 'none'}",
        )  # fmt: skip
    orders = {
        athlete: peak_order([each for each in record.deliveries if each.athlete.name == athlete])
        for athlete in athletes
        if arguments.athlete in {None, athlete}
    }
    rows = [{"athlete": athlete, **order.as_row()} for athlete, order in orders.items()]
    if not deliver(lambda: json.dumps(rows, indent=2, ensure_ascii=False) + "\n", arguments.json):
        for athlete, order in orders.items():
            _say_order(athlete, order)
    return 0


def _say_order(athlete: str, order: PeakOrder) -> None:
    """Print one athlete's order."""
    say(athlete or "nobody named")
    if order.absence is not None:
        say_wrapped(f"{order.absence.reason}: {order.absence.remedy}", indent=2)
    else:
        n = len(order.deliveries)
        say(f"  fastest, in % of the time from foot contact to release, {n} deliveries:")
        columns(
            [
                (part.name, f"{part.mean_percent:.0f} %", f"spread {part.spread_percent:.0f}")
                for part in order.parts
            ],
            indent=4,
        )
        for pair in order.pairs:
            say(
                f"  {pair.first} before {pair.second}: in {pair.n_before} of {n}; after it in "
                f"{pair.n_after}; not told apart in {pair.n_open}"
            )
        say(f"  all in this order: {order.n_in_order} of {n}")
    for name, reason in order.left_out.items():
        say_wrapped(f"{name} left out: {reason}", indent=2)
