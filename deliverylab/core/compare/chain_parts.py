"""What a chain of differences is made of: points, edges, starts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from deliverylab.core.compare.links import Key, key_of
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.spec import Phase
from deliverylab.core.model.library import Link, LinkEnd
from deliverylab.core.model.plan import Way


@dataclass(frozen=True)
class ChainNode:
    """One clear difference of a chain.

    Attributes
    ----------
    metric, event : str
        What differs; no event for an interval or an extreme.
    way : {"more", "less"}
        Which way the athlete's value differs from the partner's.
    difference : Difference
        The evidence: both values, d, U(d).
    phase : str
        Part of the delivery in which it is drawn.
    words : str
        ``forward speed of the body at leg lift: slower``.
    """

    metric: str
    event: str
    way: Way
    difference: Difference
    phase: Phase
    words: str

    @property
    def key(self) -> Key:
        """Metric and event."""
        return self.metric, self.event


@dataclass(frozen=True)
class ChainEdge:
    """An earlier clear difference and a later one that commonly goes together with it.

    Attributes
    ----------
    cause, effect : (str, str)
        Metric and event of both.
    link : Link
        The row that begins at the cause.
    onward : tuple of Link
        Where metrics in between are not clear: the further rows that lead to the effect.
    leaning : tuple of (str, str)
        Those in between that were compared: within error, but they lean the way that fits.
    """

    cause: Key
    effect: Key
    link: Link
    onward: tuple[Link, ...] = ()
    leaning: tuple[Key, ...] = ()

    @property
    def between(self) -> tuple[LinkEnd, ...]:
        """What lies in between and is not clear, in order."""
        return tuple(link.cause for link in self.onward)

    @property
    def unseen(self) -> tuple[LinkEnd, ...]:
        """Of these, what could not be compared at all."""
        return tuple(end for end in self.between if key_of(end) not in self.leaning)

    @property
    def links(self) -> tuple[Link, ...]:
        """All rows from cause to effect."""
        return (self.link, *self.onward)


@dataclass(frozen=True)
class ChainStart:
    """A difference with which others seem to begin.

    Attributes
    ----------
    node : ChainNode
        What it is.
    score : float
        Share, 0 to 1, of all clear differences that are no starts, by weight, that it carries and
        no start before it did.
    follows : tuple of (str, str)
        Clear differences that it leads to, in the order of the delivery.
    edges : tuple of ChainEdge
        The best path to each of them: a tree.
    """

    node: ChainNode
    score: float
    follows: tuple[Key, ...]
    edges: tuple[ChainEdge, ...]


@dataclass(frozen=True)
class Chain:
    """What starts it and what it leads to.

    Attributes
    ----------
    starts : tuple of ChainStart
        Up to three, the one that carries most first; none where nothing is clear or nothing links.
    nodes : tuple of ChainNode
        Starts and what follows from them, in the order of the delivery.
    edges : tuple of ChainEdge
        Between them.
    unexplained : tuple of Difference
        Clear differences that no start leads to, by rank.
    sentences : tuple of str
        The same in plain words, at most three.
    """

    starts: tuple[ChainStart, ...]
    nodes: tuple[ChainNode, ...]
    edges: tuple[ChainEdge, ...]
    unexplained: tuple[Difference, ...]
    sentences: tuple[str, ...]

    def node(self, key: Key) -> ChainNode:
        """Return the node of this metric and event."""
        return next(node for node in self.nodes if node.key == key)


def chain_row(chain: Chain) -> dict[str, Any]:
    """Return a chain for JSON: starts, nodes with their evidence, edges, sentences; SI and degrees."""
    return {
        "starts": [
            {
                "metric": start.node.metric,
                "event": start.node.event,
                "score": start.score,
                "follows": [list(key) for key in start.follows],
            }
            for start in chain.starts
        ],
        "nodes": [
            {"phase": node.phase, "way": node.way, "in_words": node.words}
            | node.difference.as_row()
            for node in chain.nodes
        ],
        "edges": [edge_row(edge) for edge in chain.edges],
        "unexplained": [difference.as_row() for difference in chain.unexplained],
        "sentences": list(chain.sentences),
    }


def edge_row(edge: ChainEdge) -> dict[str, Any]:
    """Return the tidy row of an edge."""
    return {
        "cause": edge.cause[0],
        "cause_event": edge.cause[1],
        "effect": edge.effect[0],
        "effect_event": edge.effect[1],
        "why": "; ".join(link.why for link in edge.links),
        "source": "; ".join(dict.fromkeys(link.source for link in edge.links)),
        "strength": math.prod(link.strength for link in edge.links),
        "unseen": "; ".join(f"{end.metric} {end.event}".strip() for end in edge.unseen),
        "within_error": "; ".join(" ".join(key).strip() for key in edge.leaning),
    }
