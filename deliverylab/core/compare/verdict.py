"""What a difference between two results is: its size, how sure, how it ranks."""

from __future__ import annotations

from typing import Any, Literal

import msgspec

from deliverylab.core.metrics.spec import Result, factor_for

Verdict = Literal["clear", "within_error", "not_comparable"]

VERDICT_WORDS: dict[Verdict, str] = {
    "clear": "clear",
    "within_error": "no difference we can see",
    "not_comparable": "not comparable",
}


class Difference(msgspec.Struct, frozen=True, kw_only=True):
    """One metric in two deliveries, or in two sets of them.

    Attributes
    ----------
    a, b : Result
        The athlete's and the model delivery's result of the same metric and event; means where a
        side is several deliveries, or a published group.
    d, u : float or None
        Difference a − b and its standard uncertainty; None when not comparable.
    n_degrees_of_freedom : float or None
        Effective ones of `u`; None where all its parts are known or judged.
    verdict : {"clear", "within_error", "not_comparable"}
        ``clear`` when |d| > k u(d).
    words : str
        The difference in words: ``shorter``, ``more bent``; empty unless clear.
    reason : str
        Why it is not comparable.
    yardstick, yardstick_source : float or None, str
        Spread that |d| is set against, same unit, and where it is from; none says so.
    score : float
        What it is ranked by: |d| over the yardstick; over U(d) where there is none.
    rank : int or None
        1 for the largest clear difference; None unless clear.
    n_a, n_b : int
        How many deliveries either value is the mean of; of a published group, its pitchers.
    spread_a, spread_b : float or None
        Their standard deviation, same unit; None of a single one.
    """

    a: Result
    b: Result
    verdict: Verdict
    d: float | None = None
    u: float | None = None
    n_degrees_of_freedom: float | None = None
    words: str = ""
    reason: str = ""
    yardstick: float | None = None
    yardstick_source: str = ""
    score: float = 0.0
    rank: int | None = None
    n_a: int = 1
    n_b: int = 1
    spread_a: float | None = None
    spread_b: float | None = None

    @property
    def metric(self) -> str:
        """Metric key."""
        return self.a.metric

    @property
    def event(self) -> str:
        """Event key, or empty."""
        return self.a.event

    @property
    def expanded_u(self) -> float | None:
        """Expanded uncertainty of the difference, U = k u."""
        return None if self.u is None else self.coverage_factor * self.u

    @property
    def coverage_factor(self) -> float:
        """Factor k of U = k u: 2, and more where u rests on a few repeats."""
        return factor_for(self.n_degrees_of_freedom)

    def as_row(self) -> dict[str, Any]:
        """Return the tidy row of tables and JSON; SI and degrees."""
        return {
            "metric": self.metric,
            "event": self.event,
            "name": self.a.name,
            "verdict": self.verdict,
            "rank": self.rank,
            "unit": self.a.unit,
            "a": self.a.value,
            "U_a": self.a.expanded_u,
            "b": self.b.value,
            "U_b": self.b.expanded_u,
            "d": self.d,
            "U": self.expanded_u,
            "k": self.coverage_factor,
            "words": self.words,
            "reason": self.reason,
            "yardstick": self.yardstick,
            "yardstick_source": self.yardstick_source,
            "n_a": self.n_a,
            "n_b": self.n_b,
            "spread_a": self.spread_a,
            "spread_b": self.spread_b,
        }
