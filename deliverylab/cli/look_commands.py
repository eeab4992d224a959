"""``look``: which positions of a delivery a person should check, and why."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from typing import Any

from deliverylab.cli.options import add_project
from deliverylab.cli.output import check_targets, counted, deliver, say, say_wrapped

_TEXT = """\
List the positions of a delivery that a person should check, the worst first: those that two clips
contradict each other about, that leave their own course, that make a limb too long, where left and
right may have changed places, that were lost at an event, or that cost a result most of its ±."""
_EXAMPLE = """\
example:
  deliverylab look may.delivery --delivery "Ana 1"
"""


def add_commands(commands: Any) -> None:
    """Add ``look``."""
    look = commands.add_parser(
        "look",
        help="list positions to check, the worst first, each with its reason",
        description=_TEXT,
        epilog=_EXAMPLE,
    )
    add_project(look)
    look.add_argument("--delivery", metavar="NAME", required=True, help="which delivery")
    look.add_argument("--json", metavar="FILE", help='the same as JSON; "-" prints it instead')
    look.set_defaults(run=_look)


def _look(arguments: argparse.Namespace) -> int:
    from deliverylab.core.metrics.evaluate import evaluate
    from deliverylab.core.model.project import Project
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.vocabulary.landmarks import role_for_key, role_name
    from deliverylab.core.workflow.review import to_look_at

    record = load_project(arguments.project)
    check_targets(arguments.json, inputs=files_of(record, arguments.project))
    delivery = Project(record).delivery(arguments.delivery)
    looks = to_look_at(record, delivery, evaluate(delivery))
    rows = [asdict(look) for look in looks]
    if not deliver(lambda: json.dumps(rows, indent=2, ensure_ascii=False) + "\n", arguments.json):
        say(f"{delivery.name}: {counted(len(looks), 'position')} to look at")
        for look in looks:
            name = role_name(role_for_key(look.landmark, delivery.athlete.hand))
            say_wrapped(f"{look.camera}, frame {look.frame}, {name}: {look.text}", indent=2)
    return 0
