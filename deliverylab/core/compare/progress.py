"""How an athlete's numbers go over visits: means, what repeats scatter, and what changed.

A visit is a day.  Every metric has a course of its own: it holds the visits at which it was measured by
the definition by which it was measured last.  One camera at one visit and two at another go together
as in a comparison of two deliveries: what either cannot see is in the u of the change.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from deliverylab.core.compare.change import ChangeOfMean, change_of_mean, filming_u
from deliverylab.core.compare.course import Course, Reached, Target, VisitMean
from deliverylab.core.compare.pooled import measured_alike, pooled, results_of
from deliverylab.core.compare.shared_errors import Taken, own_u, shared_parts
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.plan import Way
from deliverylab.core.numerics.agreement import Spread
from deliverylab.core.numerics.agreement import pooled as pooled_spread


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
    return VisitMean(
        date=date,
        n=mean.n,
        value=result.value,
        u=result.u,
        expanded_u=result.expanded_u,
        spread=mean.spread,
        deliveries=tuple(one.delivery.name for one in alike),
        values=tuple(one.result.value for one in alike if one.result.value is not None),
    )


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
    key = entry.metric, entry.event
    for one in reversed(taken):
        plan, since = one.delivery.plan, one.delivery.date
        wanted = next((each for each in plan.priorities if each.key == key), None) if plan else None
        if wanted is None:
            continue
        if wanted.target is None:
            return None
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
