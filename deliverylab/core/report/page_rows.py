"""The page's rows: differences as lines of the table, and what cannot be compared, by reason."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from deliverylab.core.compare.verdict import VERDICT_WORDS, Difference, Verdict
from deliverylab.core.report import wording
from deliverylab.core.report.plain_names import plain_name
from deliverylab.core.units import UnitSystem

MIN_ROWS = 4
"""Where fewer differences are clear, the table shows others too, so that their ± is seen."""
SHARED_REASONS: dict[str, str] = {
    " not placed at ": "body points are missing",
    " not marked": "an instant is not marked",
    " points out of the picture": "the limb points out of the picture",
}
"""Reasons that name a point or an instant, by what they contain, as the page's reader needs them."""

Key = tuple[str, str]
"""Metric and event."""
BY_PLAN, BY_CHAIN, NOT_SPOKEN_OF = 0, 1, 2


@dataclass(frozen=True, kw_only=True)
class DifferenceRow:
    """One line of the table.

    Attributes
    ----------
    name, when : str
        What, and at which instant.
    athlete, model : (str, str)
        Both values with ±, and their unit where it does not belong to the number (as ° does).
    words, amount : str
        Direction and size of the difference.
    verdict, verdict_word : str
        Key and word.
    ratio, margin_ratio : float
        Difference and its U as shares of |d| + U, for the small drawing beside it.
    spoken_of : int
        0 where the plan works on it, 1 where the chain starts with it, 2 otherwise: what is kept
        where there is little room.
    """

    name: str
    when: str
    athlete: tuple[str, str]
    model: tuple[str, str]
    words: str
    amount: str
    verdict: Verdict
    verdict_word: str
    ratio: float
    margin_ratio: float
    spoken_of: int = NOT_SPOKEN_OF


@dataclass(frozen=True, kw_only=True)
class Withheld:
    """Metrics that share one way to make them comparable, or else one reason why they are not.

    Attributes
    ----------
    reason : str
        Why not; empty where the metrics' reasons differ.
    remedy : str
        What would help; empty where nothing is known to.
    topics : tuple of str
        The metrics' names.
    """

    reason: str
    remedy: str
    topics: tuple[str, ...]


def table_rows(
    differences: Sequence[Difference], spoken_of: Mapping[Key, int], system: UnitSystem
) -> tuple[tuple[DifferenceRow, ...], tuple[Difference, ...]]:
    """Return the lines of the table in their order, and the differences within error that have none.

    Parameters
    ----------
    differences : sequence of Difference
        All.
    spoken_of : dict of (str, str) to int
        By metric and event, who speaks of it; see `DifferenceRow`.
    system : {"metric", "imperial"}
        The reader's units.

    Returns
    -------
    tuple of DifferenceRow, tuple of Difference
        Clear ones by rank, then what is spoken of, then the nearest to clear where few are.
    """
    clear = sorted(
        (difference for difference in differences if difference.verdict == "clear"),
        key=lambda difference: difference.rank or len(differences),
    )
    within = [difference for difference in differences if difference.verdict == "within_error"]
    named = [difference for difference in within if _key(difference) in spoken_of]
    others = [difference for difference in within if difference not in named]
    shown = [*clear, *named]
    shown += closest_to_clear(others, MIN_ROWS - len(shown))
    rest = tuple(difference for difference in within if difference not in shown)
    rows = [
        difference_row(each, system, spoken_of.get(_key(each), NOT_SPOKEN_OF)) for each in shown
    ]
    return tuple(rows), rest


def _key(difference: Difference) -> Key:
    return difference.metric, difference.event


def nearness(difference: Difference) -> float:
    """Return how near a difference is to clear, which it is above 1; 0 where there is none."""
    return abs(difference.d or 0.0) / (difference.expanded_u or 1.0)


def closest_to_clear(differences: Sequence[Difference], n: int) -> list[Difference]:
    """Return up to `n` differences within error, one a metric, the nearest to clear first."""
    within = [d for d in differences if d.verdict == "within_error"]
    nearest: dict[str, Difference] = {}
    for difference in sorted(within, key=nearness, reverse=True):
        nearest.setdefault(difference.metric, difference)
    return list(nearest.values())[: max(0, n)]


def difference_row(
    difference: Difference, system: UnitSystem, spoken_of: int = NOT_SPOKEN_OF
) -> DifferenceRow:
    """Return a difference as a line of the table."""
    d, margin = difference.d or 0.0, difference.expanded_u or 0.0
    extent = abs(d) + margin or 1.0
    return DifferenceRow(
        name=plain_name(difference.a),
        when=wording.when(difference.a),
        athlete=wording.value(difference.a, system),
        model=wording.value(difference.b, system),
        words=difference.words,
        amount=wording.amount(difference, system),
        verdict=difference.verdict,
        verdict_word=VERDICT_WORDS[difference.verdict],
        ratio=d / extent,
        margin_ratio=margin / extent,
        spoken_of=spoken_of,
    )


def withheld(differences: Sequence[Difference]) -> tuple[Withheld, ...]:
    """Return what is not compared, grouped by reason, the largest group first."""
    groups: dict[tuple[str, str], tuple[dict[str, None], dict[str, None]]] = {}
    for difference in differences:
        if difference.verdict != "not_comparable":
            continue
        silent = next((r for r in (difference.a, difference.b) if not r.is_shown), None)
        reason = (silent.reason if silent else "") or difference.reason or "not comparable"
        remedy = silent.remedy if silent else ""
        for sign, plain in SHARED_REASONS.items():
            if sign in reason:
                reason, remedy = plain, ""
        # what follows the colon is each metric's own; the page says what they share
        reason = reason.partition(": ")[0]
        shared = (remedy, "" if remedy else reason)
        reasons, topics = groups.setdefault(shared, ({}, {}))
        reasons[reason] = None
        topics[wording.lowered(plain_name(difference.a))] = None
    ordered = sorted(groups.items(), key=lambda group: -len(group[1][1]))
    return tuple(
        Withheld(
            reason=next(iter(reasons)) if len(reasons) == 1 else "",
            remedy=remedy,
            topics=tuple(topics),
        )
        for (remedy, _), (reasons, topics) in ordered
    )
