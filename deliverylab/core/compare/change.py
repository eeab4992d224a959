"""Whether a metric changed from one visit to another: beyond what repeats scatter, or not.

References
----------
.. [1] Weir JP, Quantifying test-retest reliability using the intraclass correlation coefficient and
   the SEM, J Strength Cond Res 2005, 19:231-240 (minimal detectable change, 1.96·√2·SEM).
.. [2] JCGM 100:2008, G.4.1 (effective degrees of freedom), G.6.4 (coverage factor from t).
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.numerics.agreement import Spread
from deliverylab.core.numerics.uncertainty import coverage_factor, effective_dof

ChangeVerdict = Literal["changed", "no detectable change", "too few deliveries"]
Parts = Mapping[tuple[str, Hashable], float]

LEVEL = 0.95
"""Of a change that is none, one in twenty is called one."""
FEWEST_DOF = 3
"""Repeats beyond the first of each visit from which their scatter is known well enough to judge by:
of a single one the t distribution asks for a change of thirteen times u."""


@dataclass(frozen=True)
class ChangeOfMean:
    """A metric at two visits.

    Attributes
    ----------
    before, after : str
        Dates of the visits.
    d : float
        Mean after less mean before, in the metric's unit.
    detectable : float or None
        Minimal detectable change of these two means; None where too few deliveries tell it.
    n_degrees_of_freedom : float
        Effective ones of it.
    verdict : {"changed", "no detectable change", "too few deliveries"}
    words : str
        Which way, ``more forward``; empty unless changed.
    """

    before: str
    after: str
    d: float
    detectable: float | None
    n_degrees_of_freedom: float
    verdict: ChangeVerdict
    words: str


def detectable_between(
    error: float, n_dof: float, n_before: int, n_after: int, filming_u: float = 0.0
) -> tuple[float, float]:
    """Return the minimal detectable change between two means, and its degrees of freedom.

    Parameters
    ----------
    error : float
        Standard error of measurement of one delivery, SEM.
    n_dof : float
        Degrees of freedom on which that rests; infinite where it is known.
    n_before, n_after : int
        Deliveries of either mean.
    filming_u : float
        Standard uncertainty of what the two visits' set-ups make of their difference.

    Notes
    -----
    MDC = t·√(SEM²(1/n₁ + 1/n₂) + f²).  For single deliveries filmed by one set-up and a known SEM this
    is the published 1.96·√2·SEM [1]_.  A mean of n scatters by SEM/√n; f does not average out.  t is the
    97.5 % point of the t distribution for the effective degrees of freedom [2]_, so that of two visits
    without a change no more than one in twenty is called changed however few repeats tell the SEM.
    """
    between = error * math.sqrt(1.0 / n_before + 1.0 / n_after)
    u = math.hypot(between, filming_u)
    if between == 0.0 or math.isinf(n_dof):
        return coverage_factor(math.inf, LEVEL) * u, math.inf
    dof = float(effective_dof(np.array([between, filming_u]), [n_dof, math.inf]))
    return coverage_factor(dof, LEVEL) * u, dof


def filming_u(before: Parts, after: Parts) -> float:
    """Return u of a change by what the set-ups share within a visit, but not between visits.

    Parameters
    ----------
    before, after : mapping of (str, Hashable) to float
        As `deliverylab.core.compare.shared_errors.shared_parts` gives them.

    Notes
    -----
    What both visits share (the height, the same view of the same athlete) errs alike in both and goes
    out of their difference, but for what its size differs by.  A camera stands anew on another day.
    """
    keys = before.keys() | after.keys()
    return math.sqrt(sum((after.get(key, 0.0) - before.get(key, 0.0)) ** 2 for key in keys))


def change_of_mean(
    metric_key: str,
    before: tuple[str, float, int],
    after: tuple[str, float, int],
    error: Spread,
    set_ups_u: float = 0.0,
) -> ChangeOfMean:
    """Judge a metric's change between two visits.

    Parameters
    ----------
    metric_key : str
        Whose words say which way.
    before, after : (str, float, int)
        Date, mean and number of deliveries.
    error : Spread
        Standard error of measurement of one delivery, with the degrees of freedom of the repeats.
    set_ups_u : float
        As `filming_u`.
    """
    d = after[1] - before[1]
    if error.n_degrees_of_freedom < FEWEST_DOF:
        return ChangeOfMean(before[0], after[0], d, None, 0.0, "too few deliveries", "")
    least, dof = detectable_between(
        error.sd, error.n_degrees_of_freedom, before[2], after[2], set_ups_u
    )
    is_changed = abs(d) > least
    spec = metric(metric_key)
    words = (spec.more if d > 0.0 else spec.less) if is_changed else ""
    verdict: ChangeVerdict = "changed" if is_changed else "no detectable change"
    return ChangeOfMean(before[0], after[0], d, least, dof, verdict, words)
