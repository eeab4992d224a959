"""How an athlete's numbers go over visits: means, what repeats scatter, and what changed.

A visit is a day.  Every metric has a course of its own: it holds the visits at which it was measured by
the definition by which it was measured last.  One camera at one visit and two at another go together
as in a comparison of two deliveries: what either cannot see is in the u of the change.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from deliverylab.core.compare.change import ChangeOfMean, change_of_mean, filming_u
from deliverylab.core.compare.pooled import (
    Taken,
    measured_alike,
    own_u,
    pooled,
    results_of,
    shared_parts,
)
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.plan import Way
from deliverylab.core.numerics.agreement import Spread, detectable_change
from deliverylab.core.numerics.agreement import pooled as pooled_spread

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
    deliveries : tuple of str
        Their names.
    """

    date: str
    n: int
    value: float
    u: float
    expanded_u: float
    spread: float | None
    deliveries: tuple[str, ...]


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
    unit: str
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

    @property
    def detectable_of_one(self) -> float | None:
        """The published minimal detectable change between single deliveries, 1.96·√2·SEM."""
        return None if math.isnan(self.error.sd) else detectable_change(self.error.sd)

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


def progress(deliveries: Sequence[Delivery]) -> tuple[Course, ...]:
    """Return the course of every metric over the visits of one athlete.

    Parameters
    ----------
    deliveries : sequence of Delivery
        Of one athlete, in any order; those without a date belong to no visit and are passed over.

    Returns
    -------
    tuple of Course
        In the catalogue's order; metrics that no visit shows have none.

    Notes
    -----
    The SEM is the root mean square of the standard deviations within visits, by their degrees of
    freedom.  It holds the athlete's own scatter from throw to throw and that of placing and marking; it
    is not taken below the latter, which repeats may miss by chance.  What the deliveries of a visit
    share because they were filmed alike is not in it: between visits with different set-ups it is added
    (see `deliverylab.core.compare.change`).
    """
    dated = sorted((each for each in deliveries if each.date), key=lambda each: each.date)
    rows = zip(*(results_of(each) for each in dated), strict=True)
    courses = (_course([Taken(*each) for each in zip(dated, row, strict=True)]) for row in rows)
    found = [course for course in courses if course is not None]
    shown = {course.metric for course in found}
    return tuple(course for course in found if metric(course.metric).twin not in shown)


def _course(taken: Sequence[Taken]) -> Course | None:
    """Return the course of one metric; None where nothing shows it."""
    shown = [one for one in taken if one.result.is_shown]
    if not shown:
        return None
    way = _way_of_the_last(shown)
    by_date: dict[str, list[Taken]] = {}
    for one in shown:
        if _way_of(one.result) == way:
            by_date.setdefault(one.delivery.date, []).append(one)
    kept = {date: measured_alike(ones) for date, ones in by_date.items()}
    visits = tuple(_visit_mean(date, ones) for date, ones in kept.items())
    error = _error_of(visits, [one for ones in kept.values() for one in ones])
    entry = shown[-1].result
    parts = {date: shared_parts(ones) for date, ones in kept.items()}

    def between(before: VisitMean, after: VisitMean) -> ChangeOfMean:
        return change_of_mean(
            entry.metric,
            (before.date, before.value, before.n),
            (after.date, after.value, after.n),
            error,
            filming_u(parts[before.date], parts[after.date]),
        )

    return Course(
        metric=entry.metric,
        event=entry.event,
        name=entry.name,
        phase=entry.phase,
        unit=entry.unit,
        decimals=entry.decimals,
        visits=visits,
        error=error,
        change=between(visits[0], visits[-1]) if len(visits) > 1 else None,
        step=between(visits[-2], visits[-1]) if len(visits) > 2 else None,
        target=_target(entry, taken, visits),
        left_out=_left_out(taken, kept, way),
    )


def _way_of(result: Result) -> tuple[str, str]:
    """Return by which definition a result was measured, and whether it was."""
    return result.status, result.basis


def _way_of_the_last(shown: Sequence[Taken]) -> tuple[str, str]:
    """Return how the metric was measured at the last visit that shows it, by most deliveries."""
    ways = [_way_of(one.result) for one in shown if one.delivery.date == shown[-1].delivery.date]
    return max(dict.fromkeys(ways), key=ways.count)


def _visit_mean(date: str, alike: Sequence[Taken]) -> VisitMean:
    mean = pooled(date, alike)
    result = mean.result
    if result.value is None or result.u is None or result.expanded_u is None:
        raise ValueError("a visit's mean is of shown results")
    names = tuple(one.delivery.name for one in alike)
    return VisitMean(date, mean.n, result.value, result.u, result.expanded_u, mean.spread, names)


def _error_of(visits: Sequence[VisitMean], alike: Sequence[Taken]) -> Spread:
    """Return the SEM by the repeats within visits, never below what placing and marking scatter."""
    repeats = pooled_spread(
        *(Spread(visit.spread, visit.n - 1) for visit in visits if visit.spread is not None)
    )
    if not repeats.n_degrees_of_freedom:
        return repeats
    placed = math.sqrt(sum(own_u(one.result) ** 2 for one in alike) / len(alike))
    return Spread(max(repeats.sd, placed), repeats.n_degrees_of_freedom)


def _target(entry: Result, taken: Sequence[Taken], visits: Sequence[VisitMean]) -> Target | None:
    """Return what the latest plan wants of the metric, and whether a later visit reached it."""
    for one in reversed(taken):
        priorities = one.delivery.plan.priorities if one.delivery.plan else ()
        for wanted in priorities:
            if (wanted.metric, wanted.event) != (entry.metric, entry.event):
                continue
            if wanted.target is not None:
                since = one.delivery.date
                reached = _reached(wanted.target, wanted.way, since, visits[-1])
                return Target(wanted.target, wanted.way, since, reached)
    return None


def _reached(target: float, way: Way, since: str, last: VisitMean) -> Reached:
    if last.date <= since:
        return "not measured since"
    beyond = last.value - target if way == "more" else target - last.value
    if beyond >= 0.0:
        return "reached"
    return "within ± of it" if beyond > -last.expanded_u else "not reached"


def _left_out(
    taken: Sequence[Taken], kept: Mapping[str, object], way: tuple[str, str]
) -> tuple[tuple[str, str], ...]:
    """Return the dates without a mean, and why: measured otherwise, or not shown."""
    reasons: dict[str, str] = {}
    for one in taken:
        date, result = one.delivery.date, one.result
        if date in kept:
            continue
        if not result.is_shown:
            reasons.setdefault(date, result.reason)
            continue
        was, now = _way_of(result), way
        reasons[date] = (
            f"{was[0]} then, {now[0]} later"
            if was[0] != now[0]
            else f"measured {was[1] or 'otherwise'} then, {now[1] or 'otherwise'} later"
        )
    return tuple(reasons.items())
