"""What a course is: one metric over an athlete's visits, what changed, and what was wanted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Literal

from deliverylab.core.compare.change import ChangeOfMean
from deliverylab.core.model.plan import Way
from deliverylab.core.numerics.agreement import Spread
from deliverylab.core.units import Unit

Reached = Literal["reached", "within ± of it", "not reached", "not measured since"]


@dataclass(frozen=True)
class VisitMean:
    """A metric at one visit.

    Attributes
    ----------
    date : str
        ISO 8601.
    n : int
        Deliveries that show it.
    value, u, expanded_u : float
        Mean, its standard and expanded uncertainty, in the metric's unit.
    spread : float or None
        Standard deviation over the deliveries; None of a single one.
    deliveries, values : tuple of str, tuple of float
        Their names, and their values.
    """

    date: str
    n: int
    value: float
    u: float
    expanded_u: float
    spread: float | None
    deliveries: tuple[str, ...]
    values: tuple[float, ...]


@dataclass(frozen=True)
class Target:
    """What a plan wants of a metric.

    Attributes
    ----------
    value : float
        To reach at least, or at most.
    way : {"more", "less"}
    since : str
        Date of the visit after which it was planned.
    reached : {"reached", "within ± of it", "not reached", "not measured since"}
        At the last visit after that.
    """

    value: float
    way: Way
    since: str
    reached: Reached


@dataclass(frozen=True)
class Course:
    """One metric over an athlete's visits.

    Attributes
    ----------
    metric, event, name, phase, unit, decimals
        As of a result.
    visits : tuple of VisitMean
        The earliest first; at least one.
    error : Spread
        Standard error of measurement of one delivery, SEM, by the repeats within visits.
    change : ChangeOfMean or None
        From the first visit to the last; None of a single one.
    step : ChangeOfMean or None
        From the last but one to the last; None with fewer than three.
    target : Target or None
        Of the latest plan that holds the metric.
    left_out : tuple of (str, str)
        Dates at which it was measured otherwise, or not at all, and why.
    """

    metric: str
    event: str
    name: str
    phase: str
    unit: Unit
    decimals: int
    visits: tuple[VisitMean, ...]
    error: Spread
    change: ChangeOfMean | None
    step: ChangeOfMean | None
    target: Target | None
    left_out: tuple[tuple[str, str], ...]

    @property
    def is_changed(self) -> bool:
        """Whether it changed detectably, over all visits or with the last one."""
        return any(each is not None and each.verdict == "changed" for each in self.changes)

    @property
    def changes(self) -> tuple[ChangeOfMean | None, ChangeOfMean | None]:
        """Over all visits, and with the last one."""
        return self.change, self.step

    def as_rows(self) -> list[dict[str, Any]]:
        """Return one tidy row a visit, with what changed since the first; SI and degrees."""
        change = self.change
        whole = {
            "SEM": None if math.isnan(self.error.sd) else self.error.sd,
            "SEM_n_degrees_of_freedom": self.error.n_degrees_of_freedom,
            "change": None if change is None else change.d,
            "detectable_change": None if change is None else change.detectable,
            "verdict": "" if change is None else change.verdict,
            "words": "" if change is None else change.words,
            "target": None if self.target is None else self.target.value,
            "target_way": "" if self.target is None else self.target.way,
            "target_reached": "" if self.target is None else self.target.reached,
        }
        return [
            {
                "metric": self.metric,
                "event": self.event,
                "name": self.name,
                "unit": self.unit,
                "date": visit.date,
                "n": visit.n,
                "value": visit.value,
                "U": visit.expanded_u,
                "u": visit.u,
                "spread": visit.spread,
                "deliveries": "; ".join(visit.deliveries),
                **whole,
            }
            for visit in self.visits
        ]
