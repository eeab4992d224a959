"""What a walkthrough says at a stop: the caption to begin with, and the numbers that are shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from deliverylab.core.compare.verdict import VERDICT_WORDS, Difference
from deliverylab.core.metrics.catalogue import BY_KEY as METRICS
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.walkthrough import Stop
from deliverylab.core.report import wording
from deliverylab.core.units import UnitSystem

if TYPE_CHECKING:
    from deliverylab.core.compare.chain import Chain

MOST_NUMBERS = 4
"""Lines of numbers at a stop: more cannot be read while it stands."""
MOST_NAMED = 3
"""Differences that a caption names."""
FEWEST_NUMBERS = 2
"""Where fewer differences are clear at an instant, the nearest to clear are shown too."""


@dataclass(frozen=True, kw_only=True)
class NumberLine:
    """One measured quantity at a stop.

    Attributes
    ----------
    name : str
        What it is.
    athlete, model : str
        Both values with ±.
    words : str
        How they differ: ``8° ± 2 less forward``, or that no difference can be seen.
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
    here.sort(key=lambda d: (d.rank is None, d.rank or 0, -_nearness(d)))
    first: dict[str, Difference] = {}
    for difference in here:
        first.setdefault(difference.metric, difference)
    return tuple(first.values())


def _nearness(difference: Difference) -> float:
    return abs(difference.d or 0.0) / (difference.expanded_u or 1.0)


def number_lines(
    stop: Stop, differences: Sequence[Difference], system: UnitSystem
) -> tuple[NumberLine, ...]:
    """Return the numbers of a stop: those that its script names, else those that differ most."""
    if stop.metrics is not None:
        by_key = {(d.metric, d.event): d for d in differences}
        chosen = [by_key[key] for key in stop.metrics if key in by_key][:MOST_NUMBERS]
    else:
        here = differences_at(stop.event, differences)
        n_clear = sum(d.verdict == "clear" for d in here)
        chosen = list(here[: min(MOST_NUMBERS, max(FEWEST_NUMBERS, n_clear))])
    return tuple(_line(difference, stop.event, system) for difference in chosen)


def _line(difference: Difference, event: str, system: UnitSystem) -> NumberLine:
    name = wording.raised(difference.a.name)
    if difference.event and difference.event != event:
        name += f" {wording.when(difference.a)}"
    is_clear = difference.verdict == "clear"
    words = VERDICT_WORDS[difference.verdict]
    if is_clear:
        words = f"{wording.amount(difference, system)}, {difference.words}"
    return NumberLine(
        name=name,
        athlete=" ".join(part for part in wording.value(difference.a, system) if part),
        model=" ".join(part for part in wording.value(difference.b, system) if part),
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
    said = "; ".join(f"{wording.lowered(d.a.name)}: {d.words}" for d in clear)
    return " ".join([wording.sentence(said), *_started(event, chain)])


def _started(event: str, chain: Chain | None) -> list[str]:
    """Return what goes together with the chain's starts at an event, as sentences."""
    if chain is None:
        return []
    words = {(node.metric, node.event): node.words for node in chain.nodes}
    return [
        wording.sentence(
            f"goes together with {wording.joined(words[key] for key in start.follows[:2])}"
        )
        for start in chain.starts
        if event_of(start.node.difference.a) == event and start.follows
    ]
