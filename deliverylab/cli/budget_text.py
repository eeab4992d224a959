"""Uncertainty budgets as a person reads them on a terminal, and what would help most."""

from __future__ import annotations

from collections.abc import Sequence

from deliverylab.cli.output import columns, say, say_wrapped
from deliverylab.cli.result_text import value_text
from deliverylab.core.errors import NotFoundError
from deliverylab.core.metrics.catalogue import instant_of, metric
from deliverylab.core.metrics.cross_check import cross_check
from deliverylab.core.metrics.spec import Result
from deliverylab.core.metrics.what_helps import what_would_help
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.units import UnitSystem, format_part, shown_unit
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS

N_REMEDIES = 5
SMALLEST_SHARE = 0.005
"""Lines with a smaller share of the variance are joined to one."""


def chosen(results: Sequence[Result], choice: str) -> list[Result]:
    """Return the results of ``METRIC`` or ``METRIC/EVENT``; all for an empty choice.

    Raises
    ------
    NotFoundError
        No such metric, or not at this event.
    """
    if not choice:
        return list(results)
    key, _, event = choice.partition("/")
    metric(key)
    found = [r for r in results if r.metric == key and event in {"", r.event}]
    if results and not found:
        events = [r.event for r in results if r.metric == key and r.event]
        raise NotFoundError(
            "this metric is not taken at that event",
            where=choice,
            remedy=f"it is taken at {', '.join(events)}" if events else f"write {key} alone",
        )
    return found


def say_budgets(name: str, results: Sequence[Result], system: UnitSystem) -> None:
    """Print the budget of each shown result, and what would help most for all of them."""
    say(name)
    shown = [result for result in results if result.is_shown]
    for result in shown:
        title = f"{result.name} {instant_of(result)}".strip()
        dof = result.n_degrees_of_freedom
        doubt = "" if dof is None else f", {dof:.0f} degrees of freedom"
        say(f"  {title}: {value_text(result, system)}  (k = {result.coverage_factor:.2f}{doubt})")
        columns(_lines(result, system), indent=4)
    for result in results:
        if not result.is_shown:
            say_wrapped(f"- {result.name} {instant_of(result)}: {result.reason}", indent=2)
    if shown:
        say("  what would help most (how much of the ± goes if that part is halved)")
        for help_ in what_would_help(shown)[:N_REMEDIES]:
            say_wrapped(f"{100.0 * help_.gain:4.1f} %  {help_.remedy}", indent=4, hanging=8)
    say()


def say_checks(
    delivery: Delivery, results: Sequence[Result], max_draws: int, system: UnitSystem
) -> None:
    """Print first-order and drawn values with their 95 % intervals, and whether they agree."""
    say(f"{delivery.name}, 95 % intervals of first order and by Monte Carlo")
    rows: list[tuple[str, ...]] = [
        ("", "first order", "drawn", "u", "u drawn", "interval drawn", "")
    ]
    is_settled = True
    for result in results:
        check = cross_check(delivery, result, max_draws=max_draws)
        value, u = result.value, result.u
        if check is None or value is None or u is None:
            continue
        found, shown = check.drawn, shown_unit(result.unit, system)
        n, factor = max(0, result.decimals + shown.extra_decimals) + 1, shown.factor
        is_settled &= found.is_settled
        rows.append(
            (
                f"{result.name} {instant_of(result)}".strip(),
                f"{factor * value:.{n}f} ± {factor * check.expanded_u:.{n}f} {shown.symbol}",
                f"{factor * found.value:.{n}f}",
                f"{factor * u:.{n + 1}f}",
                f"{factor * found.u:.{n + 1}f}",
                f"{factor * found.low:.{n}f} to {factor * found.high:.{n}f}",
                "agrees" if check.is_validated else "differs",
            )
        )
    columns(rows, indent=2)
    if not is_settled:
        say("  more draws would tell some of these intervals more closely")
    say()


def _lines(result: Result, system: UnitSystem) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = [("source", "at", "u", "of u²", "what would help")]
    rest = 0.0
    for part, share in zip(result.budget, result.variance_shares, strict=True):
        if share < SMALLEST_SHARE:
            rest += share
            continue
        at = EVENTS[part.event].name if part.event else ""
        size = format_part(part.u, result.unit, result.decimals + 1, system)
        rows.append((part.name, at, size, f"{100.0 * share:.1f} %", part.remedy or "–"))
    if rest:
        rows.append(("all others", "", "", f"{100.0 * rest:.1f} %", ""))
    return rows
