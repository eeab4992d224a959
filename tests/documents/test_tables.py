"""The README's tables are made from the tables of the program; ``python`` on this file renews them."""

from __future__ import annotations

import argparse
from pathlib import Path

import pytest

from deliverylab.cli.parser import build_parser
from deliverylab.core.errors import EXIT_CODES, DeliveryLabError
from deliverylab.core.metrics.catalogue import METRICS
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.vocabulary.events import EVENTS, event
from deliverylab.core.vocabulary.views import END_VIEWS, SIDE_VIEWS, VIEW_KEYS
from deliverylab.shell.actions import BY_KEY as ACTIONS

README = Path(__file__).resolve().parents[2] / "README.md"


def metrics_table() -> str:
    """Return what is measured, from where, and what it does and does not mean."""
    lines = [
        "| metric | when | shown from | it is | it tells | it does not tell |",
        "|---|---|---|---|---|---|",
    ]
    for spec in METRICS:
        cells = (
            f"**{spec.name}** `{spec.key}`, {spec.unit}", _when(spec), _from(spec),
            spec.definition, spec.meaning, spec.limit,
        )  # fmt: skip
        lines.append("| " + " | ".join(cells) + " |")
    return "\n".join(lines)


def _when(spec: MetricSpec) -> str:
    names = [event(key).name for key in spec.events]
    if spec.kind in {"at_event", "speed"}:
        return ", ".join(names)
    return " to ".join(names) if names else "–"


def _from(spec: MetricSpec) -> str:
    if not spec.views and not spec.event_views:
        return "two cameras"
    parts = [_views(spec.views)]
    parts += [f"{_views(views)} at {event(key).name}" for key, views in spec.event_views.items()]
    return "; ".join(parts)


def _views(views: tuple[str, ...]) -> str:
    named = {SIDE_VIEWS: "side", END_VIEWS: "rear, front", VIEW_KEYS: "anywhere"}
    return named.get(views, ", ".join(views))


def events_table() -> str:
    """Return the instants and how to find them."""
    lines = ["| event | key | it is | look for |", "|---|---|---|---|"]
    lines += [f"| {e.name} | `{e.key}` | {e.definition} | {e.cue} |" for e in EVENTS]
    return "\n".join(lines)


def commands_table() -> str:
    """Return the commands with their one-line help."""
    lines = ["| command | does |", "|---|---|"]
    for name, text in _commands().items():
        lines.append(f"| `deliverylab {name}` | {text} |")
    return "\n".join(lines)


def _commands() -> dict[str, str]:
    (group,) = (
        action
        for action in build_parser()._actions
        if isinstance(action, argparse._SubParsersAction)
    )
    return {choice.dest: choice.help or "" for choice in group._choices_actions}


_KEYS_SHOWN = (
    "do_next", "frame_after", "frame_before", "event_after", "event_before", "mark_leg_lift",
    "go_leg_lift", "skip", "hide", "remove", "undo", "redo", "scale", "linked", "mirrored",
    "other_side", "play", "over", "measures", "differences", "causes", "work_on", "progress", "page",
    "walkthrough", "keys",
)  # fmt: skip
"""What is used all the time, by key of the table of actions; the window lists the others."""


def keys_table() -> str:
    """Return the keys that are used all the time."""
    lines = ["| key | does |", "|---|---|"]
    for key in _KEYS_SHOWN:
        spec = ACTIONS[key]
        keys, text = " or ".join(f"`{each}`" for each in spec.shortcut.split("|")), spec.text
        if key.endswith("leg_lift"):
            keys = keys.replace("1`", "1` … `") + keys.strip("`").replace("1", f"{len(EVENTS)}`")
            text = text.replace(EVENTS[0].name, f"event 1 … {len(EVENTS)}")
        lines.append(f"| {keys} | {text.rstrip(' …').lower()} |")
    return "\n".join(lines)


def exit_codes_table() -> str:
    """Return what the command line leaves with."""
    lines = ["| status | meaning |", "|---|---|", "| 0 | done |", "| 1 | `check` found a problem |"]
    lines += [
        f"| {kind.exit_code} | {(kind.__doc__ or '').splitlines()[0]} |"
        for kind in EXIT_CODES
        if kind is not DeliveryLabError
    ]
    return "\n".join(lines)


TABLES = {
    "metrics": metrics_table,
    "events": events_table,
    "commands": commands_table,
    "exit-codes": exit_codes_table,
    "keys": keys_table,
}


def _parts(text: str, name: str) -> tuple[str, str, str]:
    start, end = f"<!-- table: {name} -->", f"<!-- end: {name} -->"
    before, found, rest = text.partition(start)
    inside, closed, after = rest.partition(end)
    assert found, f"{start} is missing"
    assert closed, f"{end} is missing"
    return before + start, inside, end + after


@pytest.mark.parametrize("name", TABLES)
def test_the_readme_shows_the_table(name):
    _, inside, _ = _parts(README.read_text(encoding="utf-8"), name)
    assert inside.strip() == TABLES[name](), "run python tests/documents/test_tables.py"


def test_every_command_explains_itself():
    assert all(_commands().values())


def write_tables() -> None:
    """Write the tables between their markers."""
    text = README.read_text(encoding="utf-8")
    for name, table in TABLES.items():
        before, _, after = _parts(text, name)
        text = f"{before}\n{table()}\n{after}"
    README.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write_tables()
