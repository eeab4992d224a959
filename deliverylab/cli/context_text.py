"""What is published beside results, as a person reads it on a terminal."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from deliverylab.cli.output import say, say_wrapped
from deliverylab.core.metrics.spec import Result
from deliverylab.core.units import UnitSystem


def add_context(command: argparse.ArgumentParser) -> None:
    """Add the option that asks for it."""
    command.add_argument(
        "--context",
        metavar="LEVEL",
        nargs="?",
        const="",
        choices=["", "youth", "high school", "college"],
        help="print what is published of the same definition, of a level first (youth, high school, "
        "college), and what to check where a value is far outside; with --json each row holds it",
    )


def say_context(results: Sequence[Result], level: str, system: UnitSystem) -> None:
    """Print the published mean and spread beside each result that has one, and questions."""
    from deliverylab.cli.result_text import value_text
    from deliverylab.core.compare.published import LEVELS, context
    from deliverylab.core.metrics.catalogue import instant_of

    chosen = next((each for each in LEVELS if each == level), None)
    found = [(result, context(result, chosen, system)) for result in results]
    say("  published beside these: context, not a target; their ± is the spread between pitchers")
    for result, beside in found:
        if beside is None:
            continue
        at = f", {instant}" if (instant := instant_of(result)) else ""
        name = f"{result.name}{at}: {value_text(result, system)}; {beside.text}"
        say_wrapped(name, indent=4)
        if beside.question:
            say_wrapped(beside.question, indent=6)
    if all(beside is None for _, beside in found):
        say("    nothing of these definitions")
    say()
