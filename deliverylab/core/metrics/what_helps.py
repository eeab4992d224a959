"""What would help most: the remedies of all budgets, by how much ± they would take away."""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec

from deliverylab.core.metrics.spec import Result

LEFT_OVER = 0.5
"""What a remedy is taken to leave of the part that it is for: half.  Judgement: placing again twice
as closely, a camera twice as far away.  The order of the remedies hardly depends on it."""


class Help(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to do, and what it would bring.

    Attributes
    ----------
    remedy : str
        What to do.
    gain : float
        Mean share by which U of the results given would shrink, 0 to 1.
    results : tuple of (str, str)
        Metric and event of the results that would gain, the most first.
    largest_gain : float
        Share by which U of the first of them would shrink.
    """

    remedy: str
    gain: float
    results: tuple[tuple[str, str], ...]
    largest_gain: float


def what_would_help(results: Sequence[Result]) -> tuple[Help, ...]:
    """Return what would make these results surer, the most helpful first.

    Parameters
    ----------
    results : sequence of Result
        One result, or all of a delivery; those that are not shown are left out.

    Returns
    -------
    tuple of Help
        One a remedy; empty where nothing is shown or nobody can do anything.

    Notes
    -----
    A remedy that leaves half of a part with the share s of u² makes U shrink by 1 − √(1 − ¾ s).
    """
    shown = [result for result in results if result.is_shown]
    gains: dict[str, list[tuple[float, tuple[str, str]]]] = {}
    for result in shown:
        shares: dict[str, float] = {}
        for part, share in zip(result.budget, result.variance_shares, strict=True):
            shares[part.remedy] = shares.get(part.remedy, 0.0) + share
        shares.pop("", None)
        for remedy, share in shares.items():
            gain = 1.0 - math.sqrt(1.0 - (1.0 - LEFT_OVER**2) * min(share, 1.0))
            gains.setdefault(remedy, []).append((gain, (result.metric, result.event)))
    found = []
    for remedy, each in gains.items():
        each.sort(key=lambda pair: -pair[0])
        found.append(
            Help(
                remedy=remedy,
                gain=sum(gain for gain, _ in each) / len(shown),
                results=tuple(key for _, key in each),
                largest_gain=each[0][0],
            )
        )
    return tuple(sorted(found, key=lambda one: -one.gain))
