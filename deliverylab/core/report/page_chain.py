"""The page's chain: what it starts with and where it shows up, in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.chain_layout import ChainLayout, chain_layout
from deliverylab.core.compare.chain_parts import Chain, ChainNode, ChainStart
from deliverylab.core.compare.chain_words import link_reason
from deliverylab.core.compare.links import LINKS
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import PHASE_OF_EVENT, instant_text
from deliverylab.core.model.library import Link
from deliverylab.core.report import wording
from deliverylab.core.report.plain_names import plain_name

NO_PROOF = "Arrows join what commonly goes together: an explanation to try, not a proof."
UNLINKED = "The clear differences do not line up as one leading to another: judge each by itself."


@dataclass(frozen=True, kw_only=True)
class PageChain:
    """What the page tells of a chain.

    Attributes
    ----------
    chain : Chain
        Its starts, points and edges; no starts where nothing lines up.
    sentences : tuple of str
        Below the drawing, the most needed first.
    """

    chain: Chain
    sentences: tuple[str, ...]

    def layout(self, n_rows: int) -> ChainLayout:
        """Return the drawing with so many rows at most."""
        return chain_layout(self.chain, most_rows=n_rows)


def page_chain(
    differences: Sequence[Difference], links: Sequence[Link] | None = None
) -> PageChain | None:
    """Return what the page tells of the chain; None where fewer than two differences are clear.

    Parameters
    ----------
    differences : sequence of Difference
        All.
    links : sequence of Link, optional
        What goes together with what; the program's table without.
    """
    if sum(difference.verdict == "clear" for difference in differences) < 2:
        return None
    chain = chain_of(differences, LINKS if links is None else links)
    if not chain.starts:
        return PageChain(chain=chain, sentences=(UNLINKED,))
    said = [NO_PROOF, _beginning(chain.starts), _why(chain)]
    if n := len(chain.unexplained):
        stand = "stands" if n == 1 else "stand"
        said.append(f"{wording.counted(n, 'clear difference')} {stand} apart from this.")
    return PageChain(chain=chain, sentences=tuple(said))


def node_title(node: ChainNode) -> str:
    """Return what a point is called in its column: with its instant where the column does not tell."""
    name = plain_name(node.difference.a)
    if not node.event or PHASE_OF_EVENT.get(node.event) == node.phase:
        return name
    return f"{name} {instant_text(name, node.event)}".strip()


def _beginning(starts: Sequence[ChainStart]) -> str:
    told = [_told(start.node) for start in starts]
    more = f" Starting on its own: {wording.joined(told[1:])}." if told[1:] else ""
    return f"It seems to begin with {told[0]}.{more}"


def _told(node: ChainNode) -> str:
    result = node.difference.a
    name = wording.lowered(plain_name(result))
    return f"{name} {wording.when(result)}".strip() + f" ({node.difference.words})"


def _why(chain: Chain) -> str:
    first = chain.starts[0]
    return wording.sentence(f"why: {link_reason(first.edges[0].link, first.node.way)}")
