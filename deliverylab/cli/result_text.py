"""Results as a person reads them on a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from deliverylab.cli.output import columns, say, say_wrapped
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import instant_of
from deliverylab.core.metrics.spec import Phase, Result
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.units import UnitSystem, format_value
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS


def say_results(delivery: Delivery, results: Sequence[Result], system: UnitSystem) -> None:
    """Print one delivery's results by phase, then what is not shown and why."""
    athlete = delivery.athlete
    views = ", ".join(camera.view for camera in delivery.cameras) or "no camera"
    say(f"{delivery.name}  ({athlete.name}, {athlete.hand}-handed; {views})")
    shown = [result for result in results if result.is_shown]
    present = {result.phase for result in shown}
    for phase in [phase for phase in get_args(Phase) if phase in present]:
        say(f"  {phase}")
        rows = [
            (result.name, instant_of(result), value_text(result, system), _remark(result))
            for result in shown
            if result.phase == phase
        ]
        columns(rows, indent=4)
    cautions = dict.fromkeys(caution for result in shown for caution in result.cautions)
    if cautions:
        say("  to know")
        for caution in cautions:
            say_wrapped(f"- {caution}", indent=4)
    say_withheld([(r, r.reason) for r in results if not r.is_shown], "not shown")
    say(f"  ± is U, the expanded uncertainty ({factors_text(shown)})")
    say()


def factors_text(items: Sequence[Result] | Sequence[Difference]) -> str:
    """Return ``k = 2``, or the range of k where some u rests on a few repeats."""
    factors = [f"{item.coverage_factor:.3g}" for item in items] or ["2"]
    low, high = min(factors, key=float), max(factors, key=float)
    return f"k = {low}" if low == high else f"k = {low} to {high}, by the degrees of freedom"


def value_text(result: Result, system: UnitSystem) -> str:
    """Return a result's value with ±, or a dash."""
    if result.value is None:
        return "–"
    text = format_value(result.value, result.expanded_u, result.unit, result.decimals, system)
    return f"about {text}" if result.status == "estimated" else text


def _remark(result: Result) -> str:
    return "(estimated)" if result.status == "estimated" else ""


def say_withheld(withheld: Sequence[tuple[Result, str]], title: str) -> None:
    """Print (result, reason) pairs: under what would help, each metric with its events."""
    if not withheld:
        return
    say(f"  {title}")
    groups: dict[str, dict[tuple[str, str], list[str]]] = {}
    for result, reason in withheld:
        events = groups.setdefault(result.remedy, {}).setdefault((result.name, reason), [])
        if result.event in EVENTS and EVENTS[result.event].name not in events:
            events.append(EVENTS[result.event].name)
    for remedy, metrics in groups.items():
        if remedy:
            say_wrapped(f"{remedy}:", indent=4)
        for (name, reason), events in metrics.items():
            at = f" ({', '.join(events)})" if events else ""
            say_wrapped(f"- {name}{at}: {reason}", indent=6)
