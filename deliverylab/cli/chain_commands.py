"""``chain``: what the differences of two deliveries start with, and what they lead to."""

from __future__ import annotations

import argparse
import json
from typing import Any

from deliverylab.cli.options import add_project
from deliverylab.cli.output import check_targets, deliver, say
from deliverylab.cli.solve_notes import note_old_solves

_TEXT = """\
Say with which clear differences of A and B the others seem to begin, and draw what commonly follows
from them along the parts of the delivery. It goes by a table of what instructors commonly say and of
published associations, to which the instructor's own library adds: an explanation to judge, not a
proof. What does not fit is said not to. A and B are as for compare."""


def add_commands(commands: Any) -> None:
    """Add ``chain``."""
    command = commands.add_parser(
        "chain",
        help="what the differences start with, and what commonly follows",
        description=_TEXT,
        epilog='example:\n  deliverylab chain may.delivery "Ana 1" "Model"\n',
    )
    add_project(command)
    command.add_argument("a", metavar="A", help="the athlete's delivery, or several")
    command.add_argument("b", metavar="B", help="what it is compared with")
    command.add_argument("--json", metavar="FILE", help='the same as JSON; "-" prints it instead')
    command.add_argument(
        "--units",
        choices=["metric", "imperial"],
        help="units of what is printed (default: the project's)",
    )
    command.set_defaults(run=_chain)


def _chain(arguments: argparse.Namespace) -> int:
    from deliverylab.cli.chain_text import say_chain
    from deliverylab.core.compare.chain import chain_of
    from deliverylab.core.compare.chain_parts import chain_row
    from deliverylab.core.compare.difference import compare_parties
    from deliverylab.core.compare.links import links_with
    from deliverylab.core.compare.parties import party_of
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.library import load_library
    from deliverylab.core.store.projectfile import load_project

    record = load_project(arguments.project)
    check_targets(arguments.json, inputs=files_of(record, arguments.project))
    a, b = party_of(record, arguments.a), party_of(record, arguments.b)
    note_old_solves(record, (*a.deliveries, *b.deliveries))
    chain = chain_of(compare_parties(a, b), links_with(load_library(arguments.project)))

    def as_json() -> str:
        return json.dumps(chain_row(chain), indent=2, ensure_ascii=False) + "\n"

    if not deliver(as_json, arguments.json):
        say(f"{a.name}  compared with  {b.name}")
        say_chain(chain, arguments.units or record.unit_system)
    return 0
