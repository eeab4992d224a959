"""Intraclass correlations: how small the error is beside the spread of what was measured.

References
----------
.. [1] Shrout PE, Fleiss JL, Intraclass correlations: uses in assessing rater reliability,
   Psychological Bulletin 1979, 86:420-428.
.. [2] McGraw KO, Wong SP, Forming inferences about some intraclass correlation coefficients,
   Psychological Methods 1996, 1:30-46.
"""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from deliverylab.core.numerics.agreement import MeanSquares

Form = Literal["1,1", "2,1", "3,1", "1,k", "2,k", "3,k"]


class Correlation(NamedTuple):
    """An intraclass correlation with its confidence interval."""

    value: float
    low: float
    high: float


def intraclass_correlations(
    squares: MeanSquares, confidence: float = 0.95
) -> dict[Form, Correlation]:
    """Return the six intraclass correlations with their intervals from F [1]_, [2]_.

    1: each target has its own judges; 2: judges are a sample; 3: these judges alone, shifts between
    them not counted.  ``1``: of one judge's value; ``k``: of the mean of all.  All say how small the
    error is beside the spread *of these targets*: the same error gives other values where the
    targets lie closer together.

    Returns
    -------
    dict of str to Correlation
        NaN where the targets, or the values within them, do not differ at all.
    """
    quantile = 1.0 - (1.0 - confidence) / 2.0
    singles: dict[Form, Correlation] = {
        "1,1": _from_ratio(squares, squares.within, squares.n_within, quantile),
        "2,1": _with_sampled_judges(squares, quantile),
        "3,1": _from_ratio(squares, squares.error, squares.n_error, quantile),
    }
    of_means: dict[Form, Form] = {"1,1": "1,k", "2,1": "2,k", "3,1": "3,k"}
    k = squares.n_occasions
    return singles | {of_means[form]: _of_mean(single, k) for form, single in singles.items()}


def _from_ratio(
    squares: MeanSquares, residual: float, n_residual: int, quantile: float
) -> Correlation:
    """Return (B − R)/(B + (k − 1)R) and its interval from F = B/R."""
    from scipy.special import fdtri

    if residual == 0.0:
        value = 1.0 if squares.between > 0.0 else math.nan
        return Correlation(value, value, value)
    ratio, n_between = squares.between / residual, squares.n_targets - 1
    ratios = (
        ratio,
        ratio / float(fdtri(n_between, n_residual, quantile)),
        ratio * float(fdtri(n_residual, n_between, quantile)),
    )
    return Correlation(*((each - 1.0) / (each + squares.n_occasions - 1.0) for each in ratios))


def _with_sampled_judges(squares: MeanSquares, quantile: float) -> Correlation:
    """Return ICC(2,1); its interval by Satterthwaite's degrees of freedom [1]_."""
    from scipy.special import fdtri

    n, k = squares.n_targets, squares.n_occasions
    b, j, e = squares.between, squares.occasions, squares.error
    whole = b + (k - 1) * e + k * (j - e) / n
    if whole <= 0.0:
        return Correlation(math.nan, math.nan, math.nan)
    value = (b - e) / whole
    if e == 0.0:
        # without error there is no F; the shift between occasions alone gives no interval
        return Correlation(value, math.nan, math.nan)
    share = n * (1.0 + (k - 1) * value) - k * value
    shift = k * value * j / e
    below = (n - 1) * shift**2 + share**2
    nu = (k - 1) * (n - 1) * (shift + share) ** 2 / below if below else 1.0
    f_low, f_high = float(fdtri(n - 1, nu, quantile)), float(fdtri(nu, n - 1, quantile))
    rest = k * j + (k * n - k - n) * e
    low = n * (b - f_low * e) / (f_low * rest + n * b)
    high = n * (f_high * b - e) / (rest + n * f_high * b)
    return Correlation(value, low, high)


def _of_mean(single: Correlation, k: int) -> Correlation:
    """Return the correlation of the mean of k values (Spearman-Brown)."""
    return Correlation(*(k * each / (1.0 + (k - 1) * each) for each in single))
