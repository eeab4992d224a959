"""Check one result by simulation: the work, and how its outcome is written."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.units import Unit, UnitSystem, format_number, format_part, shown_unit

if TYPE_CHECKING:
    from deliverylab.core.metrics.cross_check import CrossCheck

Report = Callable[[float], None]


def check_work(delivery: Delivery, result: Result) -> Callable[[Report], CrossCheck | None]:
    """Return the work that checks a shown result's ± by drawing all its inputs."""

    def work(report: Report) -> CrossCheck | None:
        from deliverylab.core.metrics.cross_check import cross_check

        report(0.0)
        return cross_check(delivery, result)

    return work


def check_html(check: CrossCheck, system: UnitSystem) -> str:
    """Return both ways beside each other: value, ± and the interval that holds 95 %."""
    result, drawn = check.result, check.drawn
    value = result.value or 0.0
    rows = (
        ("as shown", value, check.expanded_u, value - check.expanded_u, value + check.expanded_u),
        ("simulated", drawn.value, 0.5 * (drawn.high - drawn.low), drawn.low, drawn.high),
    )
    unit, decimals = result.unit, result.decimals
    table = "".join(
        f"<tr><td style='padding-right:8px'>{name}</td><td style='padding-right:8px'>"
        f"{_number(middle, unit, decimals, system)} ± {format_part(half, unit, decimals, system)}"
        f"</td><td>{_number(low, unit, decimals, system)} to "
        f"{_number(high, unit, decimals, system)}</td></tr>"
        for name, middle, half, low, high in rows
    )
    verdict = (
        "Both agree to the first digit of the ±."
        if check.is_validated
        else "They differ: the simulated interval is the one to trust."
    )
    few = "" if drawn.is_settled else " More draws would tell its ends more closely."
    return (
        f"<p style='margin:3px 0'><b>95 of 100 lie within</b></p><table>{table}</table>"
        f"<p style='margin:3px 0'>{verdict} {drawn.n_draws} draws.{few}</p>"
    )


def _number(value: float, unit: Unit, decimals: int, system: UnitSystem) -> str:
    """Return a number without its unit, one decimal finer than the reading."""
    shown = shown_unit(unit, system)
    places = max(0, decimals + shown.extra_decimals) + 1
    return format_number(value * shown.factor, places)
