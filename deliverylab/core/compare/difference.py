"""Differences between two deliveries, each with its u and a verdict."""

from __future__ import annotations

import math

import msgspec
import numpy as np

from deliverylab.core.compare.parties import Party, one_party
from deliverylab.core.compare.pooled import PooledResult, joint_u, pooled_results
from deliverylab.core.compare.published import Level
from deliverylab.core.compare.published_party import (
    NOT_PUBLISHED,
    published_result,
    published_yardstick,
)
from deliverylab.core.compare.rank import NO_YARDSTICK, YARDSTICKS, Yardstick, ranked
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.spec import Result, factor_for
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.numerics.agreement import Spread
from deliverylab.core.numerics.agreement import pooled as pooled_spread
from deliverylab.core.numerics.uncertainty import effective_dof

FEWEST_FOR_SPREAD = 3
"""Deliveries from which their own spread is the yardstick: two say next to nothing of it."""


def differences(a: Delivery, b: Delivery) -> tuple[Difference, ...]:
    """Compare two deliveries metric by metric.

    Parameters
    ----------
    a, b : Delivery
        The athlete's, and the model delivery (or the athlete's own earlier one).

    Returns
    -------
    tuple of Difference
        Clear ones by rank, then those within error, then those that are not comparable.

    Notes
    -----
    d = a − b, u(d) = √(u(a)² + u(b)²): the two are filmed and placed separately.  What they have in
    common (the same person placing, the same kind of view) would cancel in part, so u(d) errs to
    the large side.  ``clear`` is |d| > k u(d), with k for the degrees of freedom of u(d) by the
    formula of Welch and Satterthwaite from those of the two results.
    """
    return compare_parties(one_party(a), one_party(b))


def compare_parties(a: Party, b: Party) -> tuple[Difference, ...]:
    """Compare two sides metric by metric: single deliveries, means of several, a published group.

    Parameters
    ----------
    a : Party
        The athlete's side; never a published group.
    b : Party
        What it is compared with.

    Returns
    -------
    tuple of Difference
        As of `differences`.

    Notes
    -----
    A mean of several carries the u of `deliverylab.core.compare.pooled`; of two athletes' means of few
    deliveries the spread is taken together (`joint_u` there): spreads within and between athletes are
    two things.  The yardstick of a metric is, as far as there is one: the published group's spread where
    the partner is one; the spread within both groups where both sides are several athletes; the
    athlete's own spread over three deliveries or more, of either side; else the published one.  The
    own spread holds what placing and marking scatter, and is never taken below it: a difference is
    then set against what would be seen if the same athlete were filmed once more.
    """
    mine = pooled_results(a.name, a.deliveries)
    if b.level is not None:
        found = [_against_published(one, b.level) for one in mine]
    else:
        theirs = pooled_results(b.name, b.deliveries)
        if not a.is_several and not b.is_several:
            found = [_difference(x.result, y.result) for x, y in zip(mine, theirs, strict=True)]
        else:
            are_of_one = len(a.athletes) == len(b.athletes) == 1
            found = [
                _of_several(x, y, _own_yardstick(x, y, a, b), joint_u(x, y) if are_of_one else None)
                for x, y in zip(mine, theirs, strict=True)
            ]
    comparable = {d.metric for d in found if d.verdict != "not_comparable"}
    return ranked([d for d in found if metric(d.metric).twin not in comparable])


def _of_several(
    a: PooledResult,
    b: PooledResult,
    yardstick: Yardstick | None,
    joint: tuple[float, float | None] | None = None,
) -> Difference:
    return msgspec.structs.replace(
        _difference(a.result, b.result, yardstick, joint),
        n_a=a.n,
        n_b=b.n,
        spread_a=a.spread,
        spread_b=b.spread,
    )


def _against_published(a: PooledResult, level: Level) -> Difference:
    b = published_result(a.result, level)
    found = _of_several(a, b, published_yardstick(a.result, level))
    if a.result.is_shown and not b.result.is_shown:
        return msgspec.structs.replace(found, reason=NOT_PUBLISHED)
    return found


def _own_yardstick(a: PooledResult, b: PooledResult, of_a: Party, of_b: Party) -> Yardstick | None:
    """Return the spread that the deliveries compared show themselves; None where they show none."""
    if len(of_a.athletes) > 1 and len(of_b.athletes) > 1 and a.spread and b.spread:
        within = pooled_spread(Spread(a.spread, a.n - 1), Spread(b.spread, b.n - 1)).sd
        return Yardstick(within, f"spread within both groups ({a.n} + {b.n})")
    sides = [(a, of_a)] + [(b, of_b)] * (of_b.athletes == of_a.athletes)
    for one, party in sides:
        if one.spread is not None and one.n >= FEWEST_FOR_SPREAD and len(party.athletes) == 1:
            spread = max(one.spread, one.own_u)
            return Yardstick(spread, f"own spread over {one.n} deliveries")
    return None


def _difference(
    a: Result,
    b: Result,
    yardstick: Yardstick | None = None,
    joint: tuple[float, float | None] | None = None,
) -> Difference:
    is_alike = a.basis == b.basis and a.status == b.status
    if a.value is None or b.value is None or a.u is None or b.u is None or not is_alike:
        return Difference(a=a, b=b, verdict="not_comparable", reason=_reason(a, b))
    d = a.value - b.value
    u, n_dof = joint or (math.hypot(a.u, b.u), _effective_dof(a, b))
    expanded_u = factor_for(n_dof) * u
    is_clear = abs(d) > expanded_u
    spec = metric(a.metric)
    yardstick = yardstick or YARDSTICKS.get((a.metric, a.event))
    against = yardstick.spread if yardstick else expanded_u
    return Difference(
        a=a,
        b=b,
        verdict="clear" if is_clear else "within_error",
        d=d,
        u=u,
        n_degrees_of_freedom=n_dof,
        words=(spec.more if d > 0 else spec.less) if is_clear else "",
        yardstick=yardstick.spread if yardstick else None,
        yardstick_source=yardstick.source if yardstick else NO_YARDSTICK,
        score=abs(d) / against if against > 0.0 else math.inf,
    )


def _effective_dof(a: Result, b: Result) -> float | None:
    """Return the degrees of freedom of u(d); None where both results' are unlimited."""
    n_dof = [math.inf if r.n_degrees_of_freedom is None else r.n_degrees_of_freedom for r in (a, b)]
    if all(map(math.isinf, n_dof)):
        return None
    return float(effective_dof(np.array([a.u, b.u], dtype=np.float64), n_dof))


def _reason(a: Result, b: Result) -> str:
    """Return why two results cannot be compared, naming the delivery that lacks it."""
    missing = [result for result in (a, b) if not result.is_shown]
    if not missing and a.status != b.status:
        return f"{a.status} in one and {b.status} in the other"
    if not missing:
        return f"measured {a.basis} in one and {b.basis} in the other"
    if len(missing) == 2 and missing[0].reason == missing[1].reason:
        return f"in both: {missing[0].reason}"
    return "; ".join(f"{result.delivery}: {result.reason}" for result in missing)
