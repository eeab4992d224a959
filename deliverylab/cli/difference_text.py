"""Differences as a person reads them on a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from deliverylab.cli.output import columns, say, say_wrapped
from deliverylab.cli.result_text import factors_text, say_withheld, value_text
from deliverylab.core.compare.parties import Party
from deliverylab.core.compare.verdict import VERDICT_WORDS, Difference
from deliverylab.core.metrics.catalogue import instant_of
from deliverylab.core.metrics.spec import Result
from deliverylab.core.units import UnitSystem, decimals_of_difference, format_value


def say_differences(a: Party, b: Party, found: Sequence[Difference], system: UnitSystem) -> None:
    """Print the differences of two sides: clear ones by rank, the others, and why not."""
    say(f"{_party_text(a)}  compared with  {_party_text(b)}")
    clear = [difference for difference in found if difference.verdict == "clear"]
    within = [difference for difference in found if difference.verdict == "within_error"]
    say(f"  {VERDICT_WORDS['clear']}, the largest first" if clear else "  no clear difference")
    columns([_difference_row(difference, system) for difference in clear], indent=4)
    if within:
        say(f"  {VERDICT_WORDS['within_error']}")
        columns([_difference_row(difference, system) for difference in within], indent=4)
    say_withheld(
        [
            (difference.b if difference.a.is_shown else difference.a, difference.reason)
            for difference in found
            if difference.verdict == "not_comparable"
        ],
        VERDICT_WORDS["not_comparable"],
    )
    for remark in dict.fromkeys(_remarks(b, clear, within)):
        say_wrapped(remark, indent=2)
    say(
        f"  ± is U, the expanded uncertainty ({factors_text([*clear, *within])}); a difference is "
        "clear when it is larger than U"
    )


def _party_text(party: Party) -> str:
    """Return a side with its athletes, and of how many deliveries it is the mean."""
    if party.level is not None:
        return party.name
    n = len(party.deliveries)
    several = f"; mean of {n} deliveries" if n > 1 else ""
    return f"{party.name} ({', '.join(party.athletes)}{several})"


def _remarks(
    b: Party, clear: Sequence[Difference], within: Sequence[Difference]
) -> tuple[str, ...]:
    """Return what is to be known of the differences as a whole."""
    said: list[str] = []
    if any(each.n_a > 1 or each.n_b > 1 for each in (*clear, *within)):
        said.append("in brackets: how many a mean is of, and their spread (standard deviation)")
    yardsticks = dict.fromkeys(each.yardstick_source for each in clear)
    if yardsticks:
        said.append(f"ranked by: {'; '.join(yardsticks)}")
    if b.level is not None:
        said += [note for each in (*clear, *within) for note in each.b.cautions]
    return tuple(said)


def _difference_row(difference: Difference, system: UnitSystem) -> tuple[str, ...]:
    a = difference.a
    rank = "" if difference.rank is None else f"{difference.rank}."
    amount = "–"
    if difference.d is not None:
        expanded_u = difference.expanded_u
        decimals = decimals_of_difference(difference.d, expanded_u, a.unit, a.decimals, system)
        amount = format_value(difference.d, expanded_u, a.unit, decimals, system)
        if difference.d > 0.0:
            amount = f"+{amount}"
    return (
        rank,
        a.name,
        instant_of(a),
        _mean_text(a, difference.n_a, difference.spread_a, system),
        _mean_text(difference.b, difference.n_b, difference.spread_b, system),
        amount,
        difference.words,
    )


def _mean_text(result: Result, n: int, spread: float | None, system: UnitSystem) -> str:
    """Return a value, of a mean with how many it is of and how far they spread."""
    text = value_text(result, system)
    if spread is None:
        return text
    return f"{text} ({n}, {format_value(spread, None, result.unit, result.decimals, system)})"
