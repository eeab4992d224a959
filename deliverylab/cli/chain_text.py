"""A chain as a person reads it on a terminal: trees along the parts of the delivery."""

from __future__ import annotations

from collections.abc import Iterator

from deliverylab.cli.output import columns, say, say_wrapped
from deliverylab.core.compare.chain_parts import Chain, ChainNode, ChainStart
from deliverylab.core.compare.chain_words import between_words, node_words
from deliverylab.core.units import UnitSystem, decimals_of_difference, format_value

_OVER = "*"
Row = tuple[str, str, str]


def say_chain(chain: Chain, system: UnitSystem) -> None:
    """Print each start with what follows from it, the sentences, and what is not explained."""
    for number, start in enumerate(chain.starts, 1):
        say(
            f"  start {number}: carries {100.0 * start.score:.0f} % of what is clear besides the starts"
        )
        columns(list(_tree(chain, start, system)), indent=4)
        for text in dict.fromkeys(between_words(edge) for edge in start.edges if edge.between):
            say_wrapped(f"{_OVER} {text}", indent=4)
        say()
    for sentence in chain.sentences:
        say_wrapped(sentence, indent=2)
    if chain.unexplained:
        say("  clear, but not explained by this:")
        for difference in chain.unexplained:
            say_wrapped(f"- {node_words(difference)}", indent=4)


def _tree(chain: Chain, start: ChainStart, system: UnitSystem) -> Iterator[Row]:
    """Give a row for the start, and one for each that follows below what it follows from."""
    yield _row(start.node, start.node.words, system)
    yield from _below(chain, start, start.node.key, "", system)


def _below(
    chain: Chain, start: ChainStart, key: tuple[str, str], stem: str, system: UnitSystem
) -> Iterator[Row]:
    edges = [edge for edge in start.edges if edge.cause == key]
    for number, edge in enumerate(edges, 1):
        is_last = number == len(edges)
        node = chain.node(edge.effect)
        over = f" {_OVER}" if edge.between else ""
        yield _row(node, f"{stem}{'└─' if is_last else '├─'} {node.words}{over}", system)
        yield from _below(chain, start, edge.effect, stem + ("   " if is_last else "│  "), system)


def _row(node: ChainNode, words: str, system: UnitSystem) -> Row:
    """Return the part of the delivery, the words, and the difference with its sign and ±."""
    a, d, expanded_u = node.difference.a, node.difference.d or 0.0, node.difference.expanded_u
    decimals = decimals_of_difference(d, expanded_u, a.unit, a.decimals, system)
    amount = format_value(d, expanded_u, a.unit, decimals, system)
    return node.phase, words, f"+{amount}" if d > 0.0 else amount
