"""A chain in plain words: what it starts with, what commonly goes together with it, and why."""

from __future__ import annotations

from collections.abc import Sequence

from deliverylab.core.compare.chain_parts import Chain, ChainEdge, ChainNode, ChainStart
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import instant_of, instant_text, metric
from deliverylab.core.model.library import COMMON_PRACTICE, Link, LinkEnd
from deliverylab.core.model.plan import Way

MOST_NAMED = 4
"""Later differences that a sentence names; more are counted."""
NOTHING_CLEAR = "No difference is clear, so there is nothing to trace back."
NOTHING_LINKS = (
    "The clear differences do not line up as one leading to another: judge each by itself."
)


def node_words(difference: Difference) -> str:
    """Return ``forward speed of the body at leg lift: slower``."""
    return f"{_name(difference)}: {difference.words}"


def end_words(end: LinkEnd) -> str:
    """Return an end of a link: ``pelvis rotation at foot contact``."""
    name = metric(end.metric).name
    return f"{_small(name)} {instant_text(name, end.event)}".strip()


def chain_sentences(chain: Chain) -> tuple[str, ...]:
    """Return at most three sentences that a fourteen-year-old understands.

    The first says with what it seems to begin, the second what commonly goes together with that, the
    third why, and that it is there to be judged.
    """
    if not chain.starts:
        return (NOTHING_LINKS if chain.unexplained else NOTHING_CLEAR,)
    first = chain.starts[0]
    return (_beginning(chain.starts), _following(chain, first), _reason(chain, first))


def _beginning(starts: Sequence[ChainStart]) -> str:
    partner = starts[0].node.difference.b.delivery
    told = [_with_words(start.node) for start in starts]
    text = f"Compared with “{partner}”, it seems to begin here: {told[0]}"
    if len(told) > 1:
        text += f"; and apart from that here: {_joined(told[1:])}"
    return f"{text}."


def _following(chain: Chain, start: ChainStart) -> str:
    named = _main(start)
    told = [_step(chain.node(edge.effect), edge) for edge in named]
    more = len(start.follows) - len(named)
    if more:
        told.append(f"{more} more")
    return f"Commonly this goes together with what comes later: {_joined(told)}."


def _main(start: ChainStart) -> tuple[ChainEdge, ...]:
    """Return the path of a start over the most metrics, cut to what a sentence holds."""
    before = {edge.effect: edge for edge in start.edges}

    def path(key: tuple[str, str]) -> list[ChainEdge]:
        edges = []
        while key != start.node.key:
            edges.append(before[key])
            key = before[key].cause
        return edges[::-1]

    def length(edges: list[ChainEdge]) -> tuple[int, int]:
        return len({edge.effect[0] for edge in edges}), -len(edges)

    return tuple(max(map(path, start.follows), key=length)[:MOST_NAMED])


def _step(node: ChainNode, edge: ChainEdge) -> str:
    told = _with_words(node)
    return f"{told} ({between_words(edge)})" if edge.between else told


def between_words(edge: ChainEdge) -> str:
    """Return what lies between the ends of an edge and is not clear; empty without any."""
    leaning = [end_words(end) for end in edge.between if end not in edge.unseen]
    unseen = [end_words(end) for end in edge.unseen]
    told = []
    if leaning:
        told.append(f"over {_joined(leaning)}, which points the same way within its ±")
    if unseen:
        told.append(f"over {_joined(unseen)}, which these clips do not show")
    return "; ".join(told)


def _reason(chain: Chain, start: ChainStart) -> str:
    """Return why the first step goes together that leads on to something else."""
    steps = _main(start)
    onward = [edge for edge in steps if edge.cause[0] != edge.effect[0]]
    step = (onward or steps)[0]
    reason = link_reason(step.link, chain.node(step.cause).way)
    return f"Why: {reason}; look whether it fits, it is no proof."


def link_reason(link: Link, way: Way) -> str:
    """Return why a link's ends go together, whose word that is, and whether both are turned round.

    Parameters
    ----------
    link : Link
    way : {"more", "less"}
        Which way the cause differs here.
    """
    if link.source == COMMON_PRACTICE:
        said = f"instructors commonly say that {link.why}"
    else:
        said = f"{link.why} ({link.source})"
    return said if link.cause.way == way else f"{said}; here both are the other way round"


def _with_words(node: ChainNode) -> str:
    return f"{_name(node.difference)} ({node.difference.words})"


def _name(difference: Difference) -> str:
    return f"{_small(difference.a.name)} {instant_of(difference.a)}".strip()


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _joined(names: Sequence[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last
