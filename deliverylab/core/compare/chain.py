"""Where it starts: the early differences that account for most of the later ones.

A chain is an explanation to judge, not a verdict: it says what commonly goes together with what.

Method
------
1.  *What differs.*  Each clear difference is a point with a way (more or less) and a weight, |d|/U(d),
    capped at `MOST_WEIGHT`: beyond that it is no surer that it differs, only larger.  A metric that
    differs at several instants the same way counts once: its points share the weight.
2.  *What fits.*  A link joins two points where both ways are those of its row (or both turned round, if
    the row allows it).  It carries `Link.strength` of a point on; along a path strengths multiply, and
    the best path counts.  A path may lead over a metric that is not clear, at `UNSEEN_SHARE` each:
    over one that could not be compared, and over one that is within error if its d at least lies on the
    side that fits (an unsure metric hides a difference without denying it); never over one that leans
    the other way.
3.  *What may be a start.*  A point that leads to a later clear difference of another metric and that no
    other such point leads to.  A barely clear one, |d| below `SURELY_CLEAR` U(d), gives way to a surer one
    that it would lead to: chance puts one of the few before a start there now and then.  Of some 60
    compared results a few are clear by chance alone, so one thing more is asked: among the start and
    what it leads to, one difference must hold against the number of comparisons (Bonferroni,
    `FAMILY_LEVEL` for all together, whatever they have in common).  Where nothing differs, a start is
    then offered in at most that share of cases.
4.  *Which are offered.*  Greedily: the start that carries most of the weight that is left, its own
    included; what it carries is taken off; at most `MOST_STARTS`, a third one only where it carries
    `LEAST_OF_THIRD` of all weight.  Ties go to the earlier part of the delivery, then to the catalogue's
    order.
5.  *Score of a start.*  Weight of the later differences that it carries and no start before it did, over the
    weight of all clear differences that are no starts: 0 to 1.
6.  Clear differences that no start reaches are unexplained, and said to be.

Everything is ordered: the same differences and links give the same chain.

References
----------
.. [1] Dunn OJ (1961). J Am Stat Assoc 56:52-64: several comparisons at one level together.
.. [2] Dijkstra EW (1959). Numer Math 1:269-271: best paths.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from deliverylab.core.compare.chain_parts import Chain, ChainEdge, ChainNode, ChainStart
from deliverylab.core.compare.chain_paths import Path, best_paths
from deliverylab.core.compare.chain_words import chain_sentences, node_words
from deliverylab.core.compare.links import LINKS, Key, key_of
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import METRICS, PHASES, metric, phase_of
from deliverylab.core.metrics.spec import Phase
from deliverylab.core.model.library import Link
from deliverylab.core.model.plan import Way
from deliverylab.core.numerics.uncertainty import coverage_factor
from deliverylab.core.vocabulary.events import ORDER

__all__ = ["LINKS", "Chain", "ChainEdge", "ChainNode", "ChainStart", "chain_of"]

MOST_STARTS = 3
LEAST_OF_THIRD = 0.05
"""A third start that carries hardly anything is one more thing to think of, and no explanation."""
MOST_WEIGHT = 3.0
SURELY_CLEAR = 1.25
"""|d| over U(d): to one side one in 160 by chance, where clear alone is one in 40."""
FAMILY_LEVEL = 0.05

PHASE_OF_DONE: dict[str, Phase] = {
    "glove_tuck_time": "stride",
    "lift_to_contact_time": "stride",
    "stride_length": "foot contact",
    "stride_offset": "foot contact",
    "peak_pelvis_speed": "foot contact",
    "peak_pelvis_speed_time": "foot contact",
    "peak_shoulder_line_speed": "layback",
    "peak_shoulder_line_speed_time": "layback",
    "peak_elbow_extension_speed": "release",
    "peak_elbow_extension_speed_time": "release",
    "contact_to_release_time": "release",
}
"""Where that happens which the catalogue lists under timing, or by where it begins: a stride is as long as
it is when the foot is down."""
_CATALOGUE_ORDER = {spec.key: number for number, spec in enumerate(METRICS)}


def chain_of(differences: Sequence[Difference], links: Sequence[Link] = LINKS) -> Chain:
    """Find where the clear differences start, and what follows from there.

    Parameters
    ----------
    differences : sequence of Difference
        All of a comparison: those within error, and those that could not be compared, count too.
    links : sequence of Link
        The program's table, or that with an instructor's own (`links_with`).

    Returns
    -------
    Chain
        Without starts where nothing is clear enough or nothing links; `sentences` then say so.
    """
    clear = {_key(d): d for d in differences if d.verdict == "clear" and d.d}
    nodes = {key: _node(key, clear[key]) for key in sorted(clear, key=_place)}
    compared = {_key(d) for d in differences if d.verdict != "not_comparable"}
    ways = {key: node.way for key, node in nodes.items()}
    # a metric of which there is no result at all is unseen as well
    linked = {key_of(end) for link in links for end in (link.cause, link.effect)}
    leaning = {_key(d): _way(d) for d in differences if d.verdict == "within_error" and d.d}
    paths = {
        key: best_paths(key, ways, links, unseen=linked - compared, leaning=leaning)
        for key in nodes
    }
    sure = {key for key in nodes if _holds_among(nodes[key].difference, len(compared))}
    weights = _weights(nodes)
    starts = _starts(nodes, paths, sure, weights)
    return _chain(nodes, starts, weights, leaning)


def _key(difference: Difference) -> Key:
    """Return metric and event; of two metrics that say the same, that which links name."""
    return metric(difference.metric).twin or difference.metric, difference.event


def _place(key: Key) -> tuple[int, int, int]:
    """Return what orders results along the delivery."""
    return (
        PHASES.index(_phase(key)),
        ORDER.get(key[1], len(ORDER)),
        _CATALOGUE_ORDER[key[0]],
    )


def _phase(key: Key) -> Phase:
    return PHASE_OF_DONE.get(key[0]) or phase_of(metric(key[0]), key[1])


def _node(key: Key, difference: Difference) -> ChainNode:
    return ChainNode(*key, _way(difference), difference, _phase(key), node_words(difference))


def _way(difference: Difference) -> Way:
    return "more" if (difference.d or 0.0) > 0.0 else "less"


def _weights(nodes: Mapping[Key, ChainNode]) -> dict[Key, float]:
    """Return how sure it is that each differs: |d| over U(d), capped, and shared within a metric."""
    alike = Counter((node.metric, node.way) for node in nodes.values())
    return {
        key: min(_times_u(node.difference), MOST_WEIGHT) / alike[node.metric, node.way]
        for key, node in nodes.items()
    }


def _times_u(difference: Difference) -> float:
    d, expanded_u = abs(difference.d or 0.0), difference.expanded_u or 0.0
    return d / expanded_u if expanded_u > 0.0 else math.inf


def _holds_among(difference: Difference, n_compared: int) -> bool:
    """Tell whether a difference is clear still when it was looked for among so many."""
    n_dof = difference.n_degrees_of_freedom
    factor = coverage_factor(math.inf if n_dof is None else n_dof, 1.0 - FAMILY_LEVEL / n_compared)
    return abs(difference.d or 0.0) > factor * (difference.u or 0.0)


@dataclass(frozen=True)
class _Offered:
    """A start, what it carries anew of each, and its paths."""

    key: Key
    carried: dict[Key, float]
    paths: Mapping[Key, Path]


def _starts(
    nodes: Mapping[Key, ChainNode],
    paths: Mapping[Key, Mapping[Key, Path]],
    sure: set[Key],
    weights: Mapping[Key, float],
) -> tuple[_Offered, ...]:
    leading = [
        key
        for key, node in nodes.items()
        if any(metric_key != node.metric for metric_key, _ in paths[key])
    ]
    surer = [key for key in leading if _times_u(nodes[key].difference) >= SURELY_CLEAR]
    able = [key for key in leading if key in surer or paths[key].keys().isdisjoint(surer)]
    able = [key for key in able if not any(key in paths[other] for other in able)]
    able = [key for key in able if not sure.isdisjoint({key, *paths[key]})]
    left = dict(weights)
    offered: list[_Offered] = []
    while able and len(offered) < MOST_STARTS:
        carried = {key: _carried(key, paths[key], left) for key in able}
        # the first of those that carry most: nodes are in the order of the delivery
        best = max(able, key=lambda key: round(left[key] + sum(carried[key].values()), 9))
        is_third = len(offered) == MOST_STARTS - 1
        if is_third and sum(carried[best].values()) < LEAST_OF_THIRD * sum(weights.values()):
            break
        offered.append(_Offered(best, carried[best], paths[best]))
        left |= {key: left[key] - part for key, part in carried[best].items()}
        able.remove(best)
    return tuple(offered)


def _carried(start: Key, paths: Mapping[Key, Path], left: Mapping[Key, float]) -> dict[Key, float]:
    return {key: path.share * left[key] for key, path in paths.items() if key != start}


def _chain(
    nodes: Mapping[Key, ChainNode],
    offered: Sequence[_Offered],
    weights: Mapping[Key, float],
    leaning: Collection[Key],
) -> Chain:
    at_start = {each.key for each in offered}
    whole = sum(weight for key, weight in weights.items() if key not in at_start)
    starts = tuple(
        ChainStart(
            node=nodes[each.key],
            score=sum(each.carried.values()) / whole,
            follows=tuple(key for key in nodes if key in each.paths),
            edges=_edges(each, nodes, leaning),
        )
        for each in offered
    )
    reached = at_start | {key for start in starts for key in start.follows}
    unexplained = [node.difference for key, node in nodes.items() if key not in reached]
    unexplained.sort(key=lambda d: d.rank or 0)
    shown = tuple(node for key, node in nodes.items() if key in reached)
    edges = tuple(dict.fromkeys(edge for start in starts for edge in start.edges))
    chain = Chain(starts, shown, edges, tuple(unexplained), ())
    return replace(chain, sentences=chain_sentences(chain))


def _edges(
    offered: _Offered, nodes: Iterable[Key], leaning: Collection[Key]
) -> tuple[ChainEdge, ...]:
    edges = []
    for key in nodes:
        if key in offered.paths:
            path = offered.paths[key]
            between = (key_of(link.cause) for link in path.links[1:])
            edges.append(
                ChainEdge(
                    cause=path.cause,
                    effect=key,
                    link=path.links[0],
                    onward=path.links[1:],
                    leaning=tuple(each for each in between if each in leaning),
                )
            )
    return tuple(edges)
