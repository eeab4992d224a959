"""Where the points of a chain stand on a drawing along the parts of the delivery."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from deliverylab.core.compare.chain_parts import Chain, ChainNode
from deliverylab.core.compare.links import Key
from deliverylab.core.metrics.catalogue import PHASES
from deliverylab.core.metrics.spec import Phase


@dataclass(frozen=True)
class PlacedNode:
    """A point of the drawing.

    Attributes
    ----------
    node : ChainNode
    column, row : int
        From 0, from the left and from the top.
    is_start : bool
        Whether others seem to begin with it.
    """

    node: ChainNode
    column: int
    row: int
    is_start: bool


@dataclass(frozen=True)
class ChainLayout:
    """A drawing along the parts of the delivery.

    Attributes
    ----------
    columns : tuple of str
        Parts of the delivery, earliest first.
    nodes : tuple of PlacedNode
        By column, then by row: what leads to another in the same column stands above it.
    edges : tuple of (int, int)
        From and to, numbers in `nodes`; where a point in between is left out, straight on.
    n_left_out : int
        Points for which there is no room.
    """

    columns: tuple[Phase, ...]
    nodes: tuple[PlacedNode, ...]
    edges: tuple[tuple[int, int], ...]
    n_left_out: int = 0


def chain_layout(chain: Chain, *, most_columns: int = 5, most_rows: int = 4) -> ChainLayout:
    """Place a chain's points; where there are more than fit, those that matter.

    Parameters
    ----------
    chain : Chain
    most_columns, most_rows : int
        Room there is.

    Returns
    -------
    ChainLayout
        Starts first, then what carries on to others, then the surest; a whole column is left out
        where there are too many: the one that holds least.
    """
    worth = _worth(chain)
    columns = _columns(chain, worth, most_columns)
    kept: list[ChainNode] = []
    for phase in columns:
        there = [node for node in chain.nodes if node.phase == phase]
        best = sorted(there, key=lambda node: -worth[node.key])[:most_rows]
        kept += _downwards([node for node in there if node in best], chain)
    starts = {start.node.key for start in chain.starts}
    rows: dict[Phase, int] = {}
    placed = []
    for node in kept:
        row = rows.get(node.phase, 0)
        rows[node.phase] = row + 1
        placed.append(PlacedNode(node, columns.index(node.phase), row, node.key in starts))
    return ChainLayout(
        columns, tuple(placed), _edges(chain, [node.key for node in kept]),
        len(chain.nodes) - len(kept),
    )  # fmt: skip


def _worth(chain: Chain) -> dict[Key, float]:
    """Return what decides who is drawn: starts, then how many lead on, then how sure."""
    leads = dict.fromkeys((node.key for node in chain.nodes), 0)
    for edge in chain.edges:
        leads[edge.cause] += 1
    starts = {start.node.key for start in chain.starts}
    worth = {}
    for node in chain.nodes:
        d, u = node.difference.d or 0.0, node.difference.u or 0.0
        sureness = abs(d) / (abs(d) + u) if d else 0.0
        worth[node.key] = 100.0 * (node.key in starts) + leads[node.key] + sureness
    return worth


def _columns(chain: Chain, worth: Mapping[Key, float], most: int) -> tuple[Phase, ...]:
    total: dict[Phase, float] = {}
    for node in chain.nodes:
        total[node.phase] = total.get(node.phase, 0.0) + worth[node.key]
    best = sorted(total, key=lambda phase: (-total[phase], PHASES.index(phase)))[:most]
    return tuple(phase for phase in PHASES if phase in best)


def _downwards(nodes: list[ChainNode], chain: Chain) -> list[ChainNode]:
    """Return the points of a column with causes above what follows from them."""
    before = _causes(chain)
    depth = {node.key: 0 for node in nodes}
    for node in nodes:
        seen: set[Key] = set()
        queue = [node.key]
        while queue:
            for cause in before.get(queue.pop(), ()):
                if cause not in seen:
                    seen.add(cause)
                    queue.append(cause)
        depth[node.key] = len(seen & depth.keys())
    return sorted(nodes, key=lambda node: depth[node.key])


def _causes(chain: Chain) -> dict[Key, list[Key]]:
    before: dict[Key, list[Key]] = {}
    for edge in chain.edges:
        before.setdefault(edge.effect, []).append(edge.cause)
    return before


def _edges(chain: Chain, kept: list[Key]) -> tuple[tuple[int, int], ...]:
    """Return edges between points that are drawn, over those that are not."""
    before = _causes(chain)

    def drawn_causes(key: Key) -> Iterable[Key]:
        for cause in before.get(key, ()):
            if cause in number:
                yield cause
            else:
                yield from drawn_causes(cause)

    number = {key: place for place, key in enumerate(kept)}
    edges = {(number[cause], number[key]) for key in kept for cause in drawn_causes(key)}
    return tuple(sorted(edges))
