"""Whether a chain finds what was planted, and nothing where nothing was.

Run ``PYTHONPATH=. python tests/benchmarks/bench_chain.py [N]``; two seconds an athlete.  Own simulation
(`tests.core.compare.planted`): athletes around published means, one early fault or two that do not
follow from each other, their consequences run through the figure with a third of scatter between
athletes, every throw a little different from the last; both throws filmed by two phones with placing,
clothing, calibration and marking errors, each on a day of its own, solved, measured and compared.
Faults of their whole size are some 2.4 times as large as the usual U of their difference, or larger;
how much less is found of smaller ones is told last.
"""

from __future__ import annotations

import sys
from collections import Counter

from deliverylab.core.compare.chain import Chain, chain_of
from deliverylab.core.compare.verdict import Difference
from tests.core.compare.planted import Fault, compared, planted

FIRST_SEED = 2000
N_FIRST = 2
"""Starts that count: the first two offered."""


def is_found(fault: Fault, chain: Chain) -> bool:
    """Tell whether a fault is among the first starts."""
    return any(start.node.key in fault.seen_as for start in chain.starts[:N_FIRST])


def is_seen(fault: Fault, found: tuple[Difference, ...]) -> bool:
    """Tell whether the clips show a fault at all: one of its results differs clearly."""
    clear = {(d.metric, d.event) for d in found if d.verdict == "clear"}
    return not clear.isdisjoint(fault.seen_as)


def with_faults(n: int, size: float) -> None:
    """Print how often planted faults are found."""
    athletes, each, seen, by_name = [], [], [], {}
    for seed in range(FIRST_SEED, FIRST_SEED + n):
        faults = planted(seed, size)
        differences = compared(faults, seed)
        chain = chain_of(differences)
        hits = [is_found(fault, chain) for fault in faults]
        athletes.append(all(hits))
        each += hits
        seen += [
            hit for fault, hit in zip(faults, hits, strict=True) if is_seen(fault, differences)
        ]
        for fault, hit in zip(faults, hits, strict=True):
            by_name.setdefault(fault.name, Counter())[hit] += 1
    print(f"\nfaults of {100 * size:.0f} % of their size, {n} athletes")
    print(f"planted starts among the first two offered: {_share(each)}")
    print(f"of those that the clips show clearly: {_share(seen)}")
    print(f"athletes of whom every planted start is: {_share(athletes)}")
    for name, counts in by_name.items():
        print(f"  {name}: {counts[True]} of {counts.total()}")


def without_faults(n: int, *, is_same_throw: bool) -> None:
    """Print how often nothing is offered where nothing was planted."""
    offered = [
        not chain_of(compared((), seed, is_same_throw=is_same_throw)).starts
        for seed in range(FIRST_SEED, FIRST_SEED + n)
    ]
    what = "the same throw filmed twice" if is_same_throw else "two throws of the same athlete"
    print(f"\n{what}, {n} athletes: no start offered in {_share(offered)}")


def _share(hits: list[bool]) -> str:
    return f"{100.0 * sum(hits) / len(hits):.1f} % ({sum(hits)} of {len(hits)})"


def main() -> None:
    """Print the figures."""
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 120
    with_faults(n, 1.0)
    without_faults(n, is_same_throw=True)
    without_faults(n, is_same_throw=False)
    with_faults(n, 0.75)


if __name__ == "__main__":
    main()
