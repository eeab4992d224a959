"""Differences between two deliveries, each with its u and a verdict."""

from __future__ import annotations

import math

import numpy as np

from deliverylab.core.compare.rank import NO_YARDSTICK, YARDSTICKS, ranked
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.spec import Result, factor_for
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.numerics.uncertainty import effective_dof


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
    results_b = {(r.metric, r.event): r for r in evaluate(b)}
    found = [_difference(r, results_b[r.metric, r.event]) for r in evaluate(a)]
    comparable = {d.metric for d in found if d.verdict != "not_comparable"}
    return ranked([d for d in found if metric(d.metric).twin not in comparable])


def _difference(a: Result, b: Result) -> Difference:
    is_alike = a.basis == b.basis and a.status == b.status
    if a.value is None or b.value is None or a.u is None or b.u is None or not is_alike:
        return Difference(a=a, b=b, verdict="not_comparable", reason=_reason(a, b))
    d, u = a.value - b.value, math.hypot(a.u, b.u)
    n_dof = _effective_dof(a, b)
    expanded_u = factor_for(n_dof) * u
    is_clear = abs(d) > expanded_u
    spec = metric(a.metric)
    yardstick = YARDSTICKS.get((a.metric, a.event))
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
