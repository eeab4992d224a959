"""Results and differences as a person reads them on a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from deliverylab.cli.output import columns, say, say_wrapped
from deliverylab.core.compare.verdict import VERDICT_WORDS, Difference
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
    _say_withheld([(r, r.reason) for r in results if not r.is_shown], "not shown")
    say(f"  ± is U, the expanded uncertainty ({_factors(shown)})")
    say()


def say_differences(
    a: Delivery, b: Delivery, found: Sequence[Difference], system: UnitSystem
) -> None:
    """Print the differences of two deliveries: clear ones by rank, the others, and why not."""
    say(f"{a.name} ({a.athlete.name})  compared with  {b.name} ({b.athlete.name})")
    clear = [difference for difference in found if difference.verdict == "clear"]
    within = [difference for difference in found if difference.verdict == "within_error"]
    say(f"  {VERDICT_WORDS['clear']}, the largest first" if clear else "  no clear difference")
    columns([_difference_row(difference, system) for difference in clear], indent=4)
    if within:
        say(f"  {VERDICT_WORDS['within_error']}")
        columns([_difference_row(difference, system) for difference in within], indent=4)
    _say_withheld(
        [
            (difference.b if difference.a.is_shown else difference.a, difference.reason)
            for difference in found
            if difference.verdict == "not_comparable"
        ],
        VERDICT_WORDS["not_comparable"],
    )
    say(
        f"  ± is U, the expanded uncertainty ({_factors([*clear, *within])}); a difference is clear "
        "when it is larger than U"
    )


def _factors(items: Sequence[Result] | Sequence[Difference]) -> str:
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


def _difference_row(difference: Difference, system: UnitSystem) -> tuple[str, ...]:
    a = difference.a
    rank = "" if difference.rank is None else f"{difference.rank}."
    amount = "–"
    if difference.d is not None:
        amount = format_value(difference.d, difference.expanded_u, a.unit, a.decimals, system)
        if difference.d > 0.0:
            amount = f"+{amount}"
    return (
        rank,
        a.name,
        instant_of(a),
        value_text(a, system),
        value_text(difference.b, system),
        amount,
        difference.words,
    )


def _say_withheld(withheld: Sequence[tuple[Result, str]], title: str) -> None:
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
