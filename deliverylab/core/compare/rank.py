"""What a difference is set against, and the order of the clear ones."""

from __future__ import annotations

from dataclasses import dataclass

import msgspec

from deliverylab.core.compare.published import AXIS_INFERRED, PUBLISHED, spreads_of
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.vocabulary.events import ORDER


@dataclass(frozen=True)
class Yardstick:
    """A spread of the metric's own definition and unit, published or of the deliveries compared."""

    spread: float
    source: str


SMALL_SCORE = 0.2
"""A clear difference below this share of the spread between pitchers is small (Cohen 1988, small
effect): it comes last, however little the athlete's own deliveries spread."""
NO_YARDSTICK = "no spread of the same definition published: set against its own ±"


def _yardstick(metric: str, event: str) -> Yardstick:
    row = spreads_of(metric, event)[0]
    doubt = " (its axis is inferred from the values)" if row.note == AXIS_INFERRED else ""
    return Yardstick(row.spread, f"spread between {row.level} pitchers, {row.source}{doubt}")


YARDSTICKS: dict[tuple[str, str], Yardstick] = {
    (row.metric, row.event): _yardstick(row.metric, row.event) for row in PUBLISHED
}
"""The first published spread of each quantity; the zero of an angle does not touch its spread."""

OUTCOMES = frozenset({"ball_speed", "ball_speed_measured"})
"""What the throw led to, rather than how it was thrown: it comes last."""


def ranked(differences: list[Difference]) -> tuple[Difference, ...]:
    """Return clear differences by score with their rank, then within error, then not comparable.

    The score is |d| over the yardstick, and |d| over U(d) where there is none.  Those with a
    yardstick come first, since only they say how much a difference is among pitchers; then those
    without; then what is clear but small; last the speed of the ball, an outcome.
    """
    clear = [d for d in differences if d.verdict == "clear"]
    clear.sort(key=lambda d: (_group(d), -d.score, ORDER.get(d.event, len(ORDER))))
    clear = [msgspec.structs.replace(d, rank=number) for number, d in enumerate(clear, start=1)]
    within = [d for d in differences if d.verdict == "within_error"]
    apart = [d for d in differences if d.verdict == "not_comparable"]
    return (*clear, *within, *apart)


def _group(difference: Difference) -> int:
    """Return 0 with a yardstick, 1 without, 2 small, 3 for the outcome of the throw."""
    if difference.metric in OUTCOMES:
        return 3
    if difference.yardstick is None:
        return 1
    return 2 if is_small(difference) else 0


def is_small(difference: Difference) -> bool:
    """Return whether a clear difference is small by its yardstick, or by the published one."""
    if difference.yardstick is None:
        return False
    published = YARDSTICKS.get((difference.metric, difference.event))
    share = 1.0 if published is None else min(1.0, difference.yardstick / published.spread)
    return share * difference.score < SMALL_SCORE
