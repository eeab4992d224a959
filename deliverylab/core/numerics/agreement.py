"""How well measurements repeat: scatter of repeats, error mean square, limits of agreement.

A *table* holds one row a target and one column an occasion (a repeat, or a person).

References
----------
.. [1] Dahlberg G, Statistical methods for medical and biological students, 1940, pp. 122-132
   (technical error of measurement).
.. [2] Weir JP, Quantifying test-retest reliability using the intraclass correlation coefficient
   and the SEM, J Strength Cond Res 2005, 19:231-240.
.. [3] Bland JM, Altman DG, Statistical methods for assessing agreement between two methods of
   clinical measurement, Lancet 1986, 327(8476):307-310.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError

FloatArray = NDArray[np.float64]
NORMAL_95 = 1.96
"""Standard deviations to either side that hold 95 % of a normal spread."""


class Interval(NamedTuple):
    """Both ends of a confidence interval."""

    low: float
    high: float


class Spread(NamedTuple):
    """A standard deviation and on how many degrees of freedom it rests; NaN on none."""

    sd: float
    n_degrees_of_freedom: int

    def interval(self, confidence: float = 0.95) -> Interval:
        """Return the chi-square confidence interval of the standard deviation; NaN on none."""
        if self.n_degrees_of_freedom < 1:
            return Interval(math.nan, math.nan)
        from scipy.special import chdtri

        nu, tail = self.n_degrees_of_freedom, (1.0 - confidence) / 2.0
        upper, lower = float(chdtri(nu, tail)), float(chdtri(nu, 1.0 - tail))
        return Interval(self.sd * math.sqrt(nu / upper), self.sd * math.sqrt(nu / lower))


def pooled(*spreads: Spread) -> Spread:
    """Return the root mean square of spreads, weighted by their degrees of freedom."""
    counted = [each for each in spreads if each.n_degrees_of_freedom > 0]
    n = sum(each.n_degrees_of_freedom for each in counted)
    if not n:
        return Spread(math.nan, 0)
    return Spread(math.sqrt(sum(sd**2 * nu for sd, nu in counted) / n), n)


def technical_error(table: FloatArray) -> Spread:
    """Return the technical error of measurement: the scatter of one measurement about its target.

    For two repeats √(Σd²/2N) [1]_, for more the root of the mean square within targets.  A shift
    that all second repeats share is in it, as it is in the uncertainty of a single measurement.

    Parameters
    ----------
    table : ndarray, shape (n, k)
        Repeats of each target; NaN where one is missing.  Targets with fewer than two count
        nothing.

    Returns
    -------
    Spread
        In the table's unit; NaN with 0 degrees of freedom where nothing was repeated.
    """
    values = np.asarray(table, dtype=np.float64)
    is_there = np.isfinite(values)
    n_repeats = is_there.sum(axis=1)
    repeated = n_repeats > 1
    n = int((n_repeats[repeated] - 1).sum())
    if n == 0:
        return Spread(math.nan, 0)
    kept = np.where(is_there[repeated], values[repeated], 0.0)
    mean = kept.sum(axis=1) / n_repeats[repeated]
    off = np.where(is_there[repeated], kept - mean[:, None], 0.0)
    return Spread(math.sqrt(float((off**2).sum()) / n), n)


@dataclass(frozen=True, kw_only=True)
class MeanSquares:
    """Analysis of variance of a complete table.

    Attributes
    ----------
    n_targets, n_occasions : int
        Rows and columns.
    between, within : float
        Mean squares between targets (n − 1 degrees of freedom) and within them, n(k − 1).
    occasions, error : float
        The same within, parted: between occasions (k − 1), and the rest, (n − 1)(k − 1).
    """

    n_targets: int
    n_occasions: int
    between: float
    within: float
    occasions: float
    error: float

    @property
    def n_error(self) -> int:
        """Degrees of freedom of the error."""
        return (self.n_targets - 1) * (self.n_occasions - 1)

    @property
    def n_within(self) -> int:
        """Degrees of freedom within targets."""
        return self.n_targets * (self.n_occasions - 1)

    @property
    def error_of_measurement(self) -> Spread:
        """SEM: the root of the error mean square [2]_; a shift between occasions is not in it."""
        return Spread(math.sqrt(self.error), self.n_error)

    @property
    def occasion_spread(self) -> float:
        """Standard deviation of the occasions' own shifts, √((JMS − EMS)/n); 0 where below noise."""
        return math.sqrt(max(0.0, (self.occasions - self.error) / self.n_targets))


def mean_squares(table: FloatArray) -> MeanSquares:
    """Return the two-way mean squares of a table.

    Parameters
    ----------
    table : ndarray, shape (n, k)
        Targets by occasions; a target with a NaN is left out.

    Raises
    ------
    InputValueError
        Fewer than two complete targets, or fewer than two occasions.
    """
    values = np.asarray(table, dtype=np.float64)
    values = values[np.isfinite(values).all(axis=1)]
    n, k = values.shape
    if n < 2 or k < 2:
        raise InputValueError(
            "too little was repeated",
            where=f"{n} targets, {k} occasions",
            remedy="at least two targets, each measured twice, are needed",
        )
    grand = values.mean()
    rows = values.mean(axis=1)
    ss_between = k * float(((rows - grand) ** 2).sum())
    ss_occasions = n * float(((values.mean(axis=0) - grand) ** 2).sum())
    ss_within = float(((values - rows[:, None]) ** 2).sum())
    return MeanSquares(
        n_targets=n,
        n_occasions=k,
        between=ss_between / (n - 1),
        within=ss_within / (n * (k - 1)),
        occasions=ss_occasions / (k - 1),
        # a table without any error may give a rounding error below zero
        error=max(0.0, ss_within - ss_occasions) / ((n - 1) * (k - 1)),
    )


def detectable_change(scatter: float, n_sd: float = NORMAL_95) -> float:
    """Return below what two repeats of one target differ in 95 % of cases: n_sd·√2·scatter.

    Of a SEM this is the minimal detectable change, MDC95 [2]_; of a technical error the coefficient
    of repeatability, with `n_sd` 2 as printed in [3]_.
    """
    return n_sd * math.sqrt(2.0) * scatter


@dataclass(frozen=True, kw_only=True)
class Agreement:
    """Two ways of measuring the same targets, by the differences of their pairs [3]_.

    Attributes
    ----------
    n : int
        Pairs; n − 1 degrees of freedom.
    bias, sd : float
        Mean and standard deviation of a − b.
    limits : Interval
        Between which 95 % of differences lie.
    bias_interval, lower_interval, upper_interval : Interval
        95 % confidence intervals of the bias and of either limit.
    """

    n: int
    bias: float
    sd: float
    limits: Interval
    bias_interval: Interval
    lower_interval: Interval
    upper_interval: Interval


def limits_of_agreement(
    a: FloatArray, b: FloatArray, *, n_sd: float = NORMAL_95, confidence: float = 0.95
) -> Agreement:
    """Return bias and limits of agreement of two ways of measuring [3]_.

    Parameters
    ----------
    a, b : ndarray, shape (n,)
        Values of the same targets; pairs with a NaN are left out.
    n_sd : float
        Standard deviations from the bias to a limit: 1.96, or the paper's 2.
    confidence : float
        Of the intervals; the variance of a limit is taken as 3s²/n, as the paper does.

    Raises
    ------
    InputValueError
        Fewer than two pairs.
    """
    from scipy.special import stdtrit

    differences = np.asarray(a, dtype=np.float64) - np.asarray(b, dtype=np.float64)
    differences = differences[np.isfinite(differences)]
    n = len(differences)
    if n < 2:
        raise InputValueError("limits of agreement need two pairs at least", where=f"{n}")
    bias, sd = float(differences.mean()), float(differences.std(ddof=1))
    t = float(stdtrit(n - 1, 1.0 - (1.0 - confidence) / 2.0))

    def around(centre: float, u: float) -> Interval:
        return Interval(centre - t * u, centre + t * u)

    limits = Interval(bias - n_sd * sd, bias + n_sd * sd)
    u_limit = sd * math.sqrt(3.0 / n)
    return Agreement(
        n=n,
        bias=bias,
        sd=sd,
        limits=limits,
        bias_interval=around(bias, sd / math.sqrt(n)),
        lower_interval=around(limits.low, u_limit),
        upper_interval=around(limits.high, u_limit),
    )
