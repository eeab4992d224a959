"""What a walkthrough says at a stop: the caption to begin with, and the numbers that are shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from deliverylab.core.compare.verdict import VERDICT_WORDS, Difference
from deliverylab.core.metrics.catalogue import BY_KEY as METRICS
from deliverylab.core.metrics.catalogue import instant_of
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.walkthrough import Stop
from deliverylab.core.report import wording
from deliverylab.core.report.page_rows import nearness
from deliverylab.core.report.plain_names import plain_name
from deliverylab.core.units import UnitSystem

if TYPE_CHECKING:
    from deliverylab.core.compare.chain_parts import Chain

MOST_NUMBERS = 4
"""Lines of numbers at a stop: more cannot be read while it stands."""
MOST_NAMED = 3
"""Differences that a caption names."""
MOST_FOLLOWING = 2
"""Later differences that a caption names with one that starts here."""
FEWEST_NUMBERS = 2
"""Where fewer differences are clear at an instant, the nearest to clear are shown too."""


@dataclass(frozen=True, kw_only=True)
class NumberLine:
    """One measured quantity at a stop.

    Attributes
    ----------
    name : str
        What it is, with its unit where that does not belong to the number.
    athlete, model : str
        Both values with ±.
    words : str
        How they differ: ``8° ± 2, less forward``, or that no difference can be seen.
    is_clear : bool
        Whether the difference is larger than its own ±.
    """

    name: str
    athlete: str
    model: str
    words: str
    is_clear: bool


def event_of(result: Result) -> str:
    """Return the event at which a result is told: its own, or where its interval ends."""
    if result.event:
        return result.event
    spec = METRICS.get(result.metric)
    return spec.events[-1] if spec is not None and spec.events else ""


def differences_at(event: str, differences: Sequence[Difference]) -> tuple[Difference, ...]:
    """Return what is told at an event: clear differences by rank, then the nearest to clear.

    Each metric once.
    """
    here = [d for d in differences if d.verdict != "not_comparable" and event_of(d.a) == event]
    here.sort(key=lambda d: (d.rank is None, d.rank or 0, -nearness(d)))
    first: dict[str, Difference] = {}
    for difference in here:
        first.setdefault(difference.metric, difference)
    return tuple(first.values())


def shown_differences(stop: Stop, differences: Sequence[Difference]) -> tuple[Difference, ...]:
    """Return whose numbers a stop shows: those that its script names, else those that differ most."""
    if stop.metrics is not None:
        by_key = {(d.metric, d.event): d for d in differences}
        return tuple(by_key[key] for key in stop.metrics if key in by_key)[:MOST_NUMBERS]
    here = differences_at(stop.event, differences)
    n_clear = sum(d.verdict == "clear" for d in here)
    return here[: min(MOST_NUMBERS, max(FEWEST_NUMBERS, n_clear))]


def number_lines(
    stop: Stop, differences: Sequence[Difference], system: UnitSystem
) -> tuple[NumberLine, ...]:
    """Return the numbers of a stop, as they are written."""
    chosen = shown_differences(stop, differences)
    return tuple(_line(difference, stop.event, system) for difference in chosen)


def _line(difference: Difference, event: str, system: UnitSystem) -> NumberLine:
    name = plain_name(difference.a)
    if difference.event and difference.event != event:
        name += f" {wording.when(difference.a)}"
    (athlete, unit), (model, _) = (wording.value(r, system) for r in (difference.a, difference.b))
    is_clear = difference.verdict == "clear"
    words = VERDICT_WORDS[difference.verdict]
    if is_clear:
        amount = wording.amount(difference, system).removesuffix(f" {unit}")
        words = f"{amount}, {difference.words}"
    if unit:
        name += f", {unit}"
    return NumberLine(
        name=name,
        athlete=athlete,
        model=model,
        words=words,
        is_clear=is_clear,
    )


def caption_of(event: str, differences: Sequence[Difference], chain: Chain | None = None) -> str:
    """Return what a stop says at first, in plain words: what differs here, and what goes with it.

    Parameters
    ----------
    event : str
        Key.
    differences : sequence of Difference
        Of the two deliveries.
    chain : Chain, optional
        Says what later differences go together with one that starts here.
    """
    clear = [d for d in differences_at(event, differences) if d.verdict == "clear"][:MOST_NAMED]
    if not clear:
        has_any = any(d.verdict == "within_error" for d in differences_at(event, differences))
        return "No difference that we can see here." if has_any else ""
    said = "; ".join(f"{wording.lowered(plain_name(d.a))}: {d.words}" for d in clear)
    return " ".join([wording.sentence(said), *_started(event, chain)])


def _started(event: str, chain: Chain | None) -> list[str]:
    """Return what commonly goes together with the chain's first start, where that is at this event."""
    if chain is None or not chain.starts:
        return []
    start = chain.starts[0]
    if event_of(start.node.difference.a) != event or not start.follows:
        return []
    followers = (chain.node(key).difference for key in start.follows)
    later = [each for each in followers if event_of(each.a) != event][:MOST_FOLLOWING]
    if not later:
        return []
    named = [
        f"{wording.lowered(plain_name(each.a))} {instant_of(each.a)}".rstrip() + f" ({each.words})"
        for each in later
    ]
    first = start.node.difference
    what = f"{plain_name(first.a)} ({first.words})"
    return [f"{what} commonly goes together with {wording.joined(named)}."]
