"""Best paths through the table of links from one clear difference to the later ones."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from deliverylab.core.compare.links import Key, key_of
from deliverylab.core.model.library import Link
from deliverylab.core.model.plan import Way

UNSEEN_SHARE = 0.5
"""What a path keeps where it leads over a metric that is not clear (judgement)."""
LEAST_SHARE = 0.02
"""Below this nothing is carried on: two unseen metrics in a row, seldom three."""
_OTHER: dict[Way, Way] = {"more": "less", "less": "more"}


@dataclass(frozen=True)
class Path:
    """How a clear difference is reached.

    Attributes
    ----------
    share : float
        What the whole path from the start carries, above 0 and up to 1.
    cause : (str, str)
        The clear difference before it.
    links : tuple of Link
        Rows from there on: one, or more where metrics in between could not be compared.
    """

    share: float
    cause: Key
    links: tuple[Link, ...]


class _Step(NamedTuple):
    share: float
    way: Way
    cause: Key
    links: tuple[Link, ...]


def best_paths(
    start: Key,
    ways: Mapping[Key, Way],
    links: Sequence[Link],
    *,
    unseen: Collection[Key] = (),
    leaning: Mapping[Key, Way] | None = None,
) -> dict[Key, Path]:
    """Return the best path from one clear difference to each later one that it leads to.

    Parameters
    ----------
    start : (str, str)
        Metric and event of a clear difference.
    ways : mapping of (str, str) to {"more", "less"}
        All clear differences.
    links : sequence of Link
        Without a circle.
    unseen : collection of (str, str)
        What could not be compared: a path may lead over it either way.
    leaning : mapping of (str, str) to {"more", "less"}, optional
        What is within error but leans to one side: a path may lead over it that way.

    Returns
    -------
    dict of (str, str) to Path
        The start is not in it.

    Notes
    -----
    The nearest is settled first (Dijkstra), ties by the order of the links.  An unseen metric is given the
    way of the path that reaches it best.
    """
    hidden: dict[Key, tuple[Way, ...]] = dict.fromkeys(unseen, ("more", "less"))
    hidden |= {key: (way,) for key, way in (leaning or {}).items()}
    waiting: dict[Key, _Step] = {start: _Step(1.0, ways[start], start, ())}
    settled: dict[Key, _Step] = {}
    while waiting:
        key = max(waiting, key=lambda each: waiting[each].share)
        step = settled[key] = waiting.pop(key)
        for link in links:
            if key_of(link.cause) != key:
                continue
            onward = _onward(step, key, link, ways, hidden)
            effect = key_of(link.effect)
            if onward is None or effect in settled:
                continue
            if effect not in waiting or onward.share > waiting[effect].share:
                waiting[effect] = onward
    return {
        key: Path(step.share, step.cause, step.links)
        for key, step in settled.items()
        if key in ways and key != start
    }


def _onward(
    step: _Step,
    key: Key,
    link: Link,
    ways: Mapping[Key, Way],
    hidden: Mapping[Key, tuple[Way, ...]],
) -> _Step | None:
    """Return the step over one link; None where it does not fit."""
    if link.cause.way == step.way:
        way = link.effect.way
    elif link.is_mirrored:
        way = _OTHER[link.effect.way]
    else:
        return None
    effect = key_of(link.effect)
    is_seen = effect in ways
    if way not in ((ways[effect],) if is_seen else hidden.get(effect, ())):
        return None
    share = step.share * link.strength * (1.0 if is_seen else UNSEEN_SHARE)
    if share < LEAST_SHARE:
        return None
    is_bridged = key in hidden
    return _Step(
        share,
        way,
        step.cause if is_bridged else key,
        (*step.links, link) if is_bridged else (link,),
    )
