"""What the pane of causes says, from a chain."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from deliverylab.core.compare.chain_layout import ChainLayout
from deliverylab.core.compare.chain_parts import Chain, ChainEdge
from deliverylab.core.model.library import Link
from deliverylab.core.units import UnitSystem
from deliverylab.shell.drawing.chain_drawing import Edge
from deliverylab.shell.value_text import name_and_instant, of_difference, of_result

NO_BREAK_SPACE, WORD_JOINER = "\u00a0", "\u2060"


@dataclass(frozen=True)
class NodeWords:
    """What is said of the point in hand.

    Attributes
    ----------
    head, evidence, why : str
        What differs; both values, and the difference with its ±; what it commonly follows from.
    links : tuple of Link
        Those that lead to it, which may be left out.
    """

    head: str
    evidence: str
    why: str
    links: tuple[Link, ...]


def node_words(chain: Chain, key: tuple[str, str], system: UnitSystem) -> NodeWords:
    """Return what is said of a point of a chain."""
    node = chain.node(key)
    sides = (node.difference.a, node.difference.b)
    a, b = (_unbroken(" ".join(of_result(one, system))) for one in sides)
    change = _unbroken(" ".join(of_difference(node.difference, system)))
    into = [edge for edge in chain.edges if edge.effect == key]
    return NodeWords(
        head=f"{name_and_instant(node.difference.a)}: {node.difference.words}",
        evidence=f"{a}  against  {b};  difference {change}",
        why=" ".join([*_of_start(chain, key), *(_of_edge(chain, edge) for edge in into)]),
        links=tuple(link for edge in into for link in edge.links),
    )


def _unbroken(value: str) -> str:
    """Return a value with its ± and unit in one line: else it may end at the stroke of m/s."""
    return value.replace(" ", NO_BREAK_SPACE).replace("/", f"/{WORD_JOINER}")


def _of_start(chain: Chain, key: tuple[str, str]) -> Iterable[str]:
    for start in chain.starts:
        if start.node.key == key:
            n = len(start.follows)
            yield (
                f"Goes together with {n} later {'difference' if n == 1 else 'differences'}; carries "
                f"{100.0 * start.score:.0f} % of all that is clear besides the starts."
            )


def _of_edge(chain: Chain, edge: ChainEdge) -> str:
    from deliverylab.core.compare.chain_words import between_words, link_reason

    cause = chain.node(edge.cause)
    between = f" ({between_words(edge)})" if edge.between else ""
    return (
        f"Commonly follows from: {cause.words}{between}. "
        f"{_raised(link_reason(edge.link, cause.way))}."
    )


def unexplained_words(chain: Chain) -> str:
    """Return the clear differences that no start leads to, in one sentence; empty without any."""
    if not chain.unexplained:
        return ""
    told = [f"{name_and_instant(d.a)} ({d.words})" for d in chain.unexplained]
    return f"Not explained by this: {', '.join(told)}."


def left_out_words(n_left_out: int) -> str:
    """Return that some points are not drawn; nothing where all are."""
    if not n_left_out:
        return ""
    are = "difference that follows is" if n_left_out == 1 else "differences that follow are"
    return f"{n_left_out} {are} not drawn: a larger window draws more."


def dashed_edges(chain: Chain, layout: ChainLayout) -> frozenset[Edge]:
    """Return the edges of a layout that lead over what is not clear."""
    over = {(edge.cause, edge.effect) for edge in chain.edges if edge.between}
    keys = [placed.node.key for placed in layout.nodes]
    return frozenset((a, b) for a, b in layout.edges if (keys[a], keys[b]) in over)


def instant_to_show(metric_key: str, event: str) -> str:
    """Return the event at which a difference is best seen: its own, else the last it is taken from."""
    from deliverylab.core.metrics.catalogue import metric

    return event or next(iter(metric(metric_key).events[::-1]), "")


def _raised(text: str) -> str:
    return text[:1].upper() + text[1:]
