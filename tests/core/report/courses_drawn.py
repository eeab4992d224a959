"""Courses with chosen numbers, for the tests of the progress sheet."""

from __future__ import annotations

import datetime as dt
import math

from deliverylab.core.compare.change import ChangeOfMean
from deliverylab.core.compare.course import Course, Target, VisitMean
from deliverylab.core.metrics.catalogue import METRICS
from deliverylab.core.numerics.agreement import Spread

KEYS = [(spec, event) for spec in METRICS for event in spec.result_events]


def visit(date: str, value: float, n: int = 3) -> VisitMean:
    """Return a mean of n deliveries."""
    values = tuple(value + 0.4 * (k - (n - 1) / 2) for k in range(n))
    spread = 1.5 if n > 1 else None
    return VisitMean(date, n, value, 1.0, 2.0, spread, ("Ana",) * n, values)


def course(
    number: int = 0, *, n_visits: int = 2, d: float = 6.0, detectable: float | None = 4.0,
    target: Target | None = None, **changes: object,
) -> Course:  # fmt: skip
    """Return the course of one of the catalogue's metrics."""
    spec, event = KEYS[number % len(KEYS)]
    start = dt.date(2026, 3, 1)
    step = d / max(1, n_visits - 1)
    visits = tuple(
        visit((start + dt.timedelta(days=21 * k)).isoformat(), 40.0 + step * k)
        for k in range(n_visits)
    )
    change = None
    if n_visits > 1:
        verdict = "too few deliveries"
        if detectable is not None:
            verdict = "changed" if abs(d) > detectable else "no detectable change"
        words = (spec.more if d > 0 else spec.less) if verdict == "changed" else ""
        change = ChangeOfMean(visits[0].date, visits[-1].date, d, detectable, 6.0, verdict, words)
    fields: dict[str, object] = {
        "metric": spec.key, "event": event, "name": spec.name, "phase": spec.phase,
        "unit": spec.unit, "decimals": spec.decimals, "visits": visits,
        "error": Spread(2.0, 6) if detectable is not None else Spread(math.nan, 0),
        "change": change, "step": None, "target": target, "left_out": (),
    }  # fmt: skip
    return Course(**(fields | changes))
