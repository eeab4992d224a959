"""Propagation of uncertainty by finite steps of one standard uncertainty, and coverage.

References
----------
.. [1] JCGM 100:2008, Evaluation of measurement data: guide to the expression of uncertainty in
   measurement, 5.1.3 note 2 (steps of one u), 5.1.2 note (second order), 5.2 (correlated inputs),
   4.3.7 (rectangular), G.4 and G.6.4 (effective degrees of freedom, coverage factor).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
VectorFunction = Callable[[FloatArray], FloatArray]

TWO_SIGMA_LEVEL = math.erf(math.sqrt(2.0))
"""Level of confidence 95.45 %: that for which k is 2 where u is well known."""


def rectangular_u(full_width: float) -> float:
    """Return the standard uncertainty of a value equally likely anywhere in an interval.

    Parameters
    ----------
    full_width : float
        Width of the interval, such as the frame interval T in which an event lies: T/√12 [1]_.
    """
    return full_width / math.sqrt(12.0)


def stepped_inputs(x: FloatArray, u: FloatArray) -> FloatArray:
    """Return the inputs stepped up and down by one u, one input at a time.

    Parameters
    ----------
    x, u : ndarray, shape (n,)
        Inputs and their standard uncertainties.

    Returns
    -------
    ndarray, shape (2n + 1, n)
        Row 0 the inputs, rows 1…n stepped up, rows n+1…2n stepped down.
    """
    steps = np.diag(u)
    return np.vstack((x, x + steps, x - steps))


def contributions(values: FloatArray) -> FloatArray:
    """Return cᵢuᵢ for each input from the results at `stepped_inputs`.

    Parameters
    ----------
    values : ndarray, shape (2n + 1, ...)
        Results in the rows' order.

    Returns
    -------
    ndarray, shape (n, ...)
        ½[f(x + uᵢ) − f(x − uᵢ)], signed.
    """
    n = (len(values) - 1) // 2
    return 0.5 * (values[1 : n + 1] - values[n + 1 :])


def combined_u(signed: FloatArray, correlation: FloatArray | None = None) -> FloatArray:
    """Return the combined standard uncertainty of signed contributions.

    Parameters
    ----------
    signed : ndarray, shape (n, ...)
        cᵢuᵢ.
    correlation : ndarray, shape (n, n), optional
        Correlation of the inputs; independent when None.

    Returns
    -------
    ndarray, shape (...)
        √(Σᵢⱼ cᵢuᵢ rᵢⱼ cⱼuⱼ).
    """
    if correlation is None:
        correlation = np.eye(len(signed))
    variance: FloatArray = np.einsum("i...,ij,j...->...", signed, correlation, signed)
    return np.sqrt(np.maximum(variance, 0.0))


@dataclass(frozen=True)
class InputGroup:
    """Inputs that may be correlated with one another, and with nothing outside the group.

    Attributes
    ----------
    name : str
        Under which it stands in a budget.
    x, u : ndarray, shape (n,)
        Best values and their standard uncertainties.
    correlation : ndarray, shape (n, n), optional
        Correlation of the inputs; independent when None.
    n_degrees_of_freedom : float
        Of their u, infinite where it is known or judged.
    """

    name: str
    x: FloatArray
    u: FloatArray
    correlation: FloatArray | None = None
    n_degrees_of_freedom: float = math.inf

    @classmethod
    def one(
        cls, name: str, x: float, u: float, n_degrees_of_freedom: float = math.inf
    ) -> InputGroup:
        """Return a single input."""
        return cls(name, np.array([x]), np.array([u]), None, n_degrees_of_freedom)

    @classmethod
    def of_covariance(
        cls,
        name: str,
        x: FloatArray,
        covariance: FloatArray,
        n_degrees_of_freedom: float = math.inf,
    ) -> InputGroup:
        """Return the group with this covariance matrix, shape (n, n)."""
        u = np.sqrt(np.diag(covariance))
        with np.errstate(invalid="ignore", divide="ignore"):
            correlation = np.where(
                np.outer(u, u) > 0.0, covariance / np.outer(u, u), np.eye(len(u))
            )
        return cls(name, x, u, correlation, n_degrees_of_freedom)


@dataclass(frozen=True)
class Propagation:
    """What a function of uncertain inputs gives.

    Attributes
    ----------
    value, u : ndarray, shape (...)
        Results and their combined standard uncertainties.
    parts : dict of str to ndarray, shape (...)
        Each group's part of u by its name, which is its own: the root of the sum of their squares
        is `u` to first order.
    covariance : ndarray, shape (..., ...)
        Of the results with one another, to first order; of a single result its variance.
    n_degrees_of_freedom : ndarray, shape (...)
        Effective ones, infinite where every group's are.
    """

    value: FloatArray
    u: FloatArray
    parts: dict[str, FloatArray]
    covariance: FloatArray
    n_degrees_of_freedom: FloatArray

    def expanded_u(self, level: float = TWO_SIGMA_LEVEL) -> FloatArray:
        """Return U = k u for a level of confidence, shape (...)."""
        k = [coverage_factor(float(dof), level) for dof in self.n_degrees_of_freedom.flat]
        return np.reshape(k, self.u.shape) * self.u


def propagate(
    function: VectorFunction, groups: Sequence[InputGroup], *, second_order: bool = False
) -> Propagation:
    """Propagate the joint covariance of all inputs through a function, in one vectorised pass.

    Parameters
    ----------
    function : callable
        Takes inputs of shape (m, n), returns results of shape (m,) or (m, p).
    groups : sequence of InputGroup
        The inputs in the function's order: their covariance is block-diagonal.
    second_order : bool
        Whether the next terms of the series are added to u; for uncorrelated inputs only, n² more
        calls' worth of rows [1]_.

    Returns
    -------
    Propagation
        NaN where an input is.

    Raises
    ------
    ValueError
        Second order of correlated inputs.

    Notes
    -----
    u² = Σᵢⱼ cᵢuᵢ rᵢⱼ cⱼuⱼ with cᵢuᵢ = ½[f(x + uᵢ) − f(x − uᵢ)].  Welch and Satterthwaite's formula
    holds for independent parts: a group of correlated inputs enters it as one part, with the
    group's degrees of freedom.
    """
    x = np.concatenate([group.x for group in groups])
    u_in = np.concatenate([group.u for group in groups])
    values = function(stepped_inputs(x, u_in))
    signed = contributions(values)
    covariance = np.zeros(np.shape(values[0]) * 2)
    parts: dict[str, FloatArray] = {}
    first = 0
    for group in groups:
        own = signed[first : first + len(group.x)]
        first += len(group.x)
        matrix = np.eye(len(own)) if group.correlation is None else group.correlation
        parts[group.name] = combined_u(own, matrix)
        covariance = covariance + np.tensordot(np.tensordot(own.T, matrix, 1), own, 1)
    table = np.array(list(parts.values()))
    variance = np.sum(table**2, axis=0)
    n_dof = effective_dof(table, [group.n_degrees_of_freedom for group in groups])
    if second_order:
        if any(group.correlation is not None for group in groups):
            raise ValueError("the second-order terms are those of uncorrelated inputs")
        variance = variance + _second_order_variance(function, x, u_in)
    return Propagation(values[0], np.sqrt(variance), parts, covariance, n_dof)


def _second_order_variance(function: VectorFunction, x: FloatArray, u: FloatArray) -> FloatArray:
    """Return Σᵢⱼ [½ fᵢⱼ² + fᵢ fᵢⱼⱼ] uᵢ² uⱼ², derivatives by steps of one u, shape (...)."""
    step = np.diag(u)
    i, j = (index.ravel() for index in np.indices((len(x), len(x))))
    signs = ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0))
    both = [function(x + a * step[i] + b * step[j]) for a, b in signs]
    single = contributions(function(stepped_inputs(x, u)))
    mixed = 0.25 * (both[0] - both[1] - both[2] + both[3])
    bent = 0.5 * (both[0] + both[1] - both[2] - both[3]) - 2.0 * single[i]
    terms: FloatArray = 0.5 * mixed**2 + single[i] * bent
    added: FloatArray = np.sum(terms, axis=0)
    return added


def effective_dof(parts: FloatArray, n_degrees_of_freedom: Sequence[float]) -> FloatArray:
    """Return effective degrees of freedom by the formula of Welch and Satterthwaite.

    Parameters
    ----------
    parts : ndarray, shape (n, ...)
        Independent parts of u; correlated inputs are one part, its u theirs taken together.
    n_degrees_of_freedom : sequence of float, length n
        Of each part, infinite where its u is known or judged.

    Returns
    -------
    ndarray, shape (...)
        u⁴ / Σ(uᵢ⁴/νᵢ); infinite where no part's is finite.
    """
    parts = np.asarray(parts)
    inverse = 1.0 / np.asarray(n_degrees_of_freedom, dtype=np.float64)
    doubt = np.tensordot(inverse, parts**4, axes=1)
    whole = np.sum(parts**2, axis=0) ** 2
    dof: FloatArray = np.divide(
        whole, doubt, out=np.full(np.shape(whole), np.inf), where=doubt > 0.0
    )
    return dof


@lru_cache(maxsize=512)
def coverage_factor(n_degrees_of_freedom: float, level: float = TWO_SIGMA_LEVEL) -> float:
    """Return k of the expanded uncertainty U = k u, from the t distribution.

    Parameters
    ----------
    n_degrees_of_freedom : float
        Effective ones; cut down to a whole number, as the guide does, and at least 1.
    level : float
        Level of confidence, 0 to 1; of the default k is 2 for many degrees of freedom.
    """
    upper = 0.5 * (1.0 + level)
    if math.isinf(n_degrees_of_freedom):
        return 2.0 if level == TWO_SIGMA_LEVEL else NormalDist().inv_cdf(upper)
    from scipy.special import stdtrit

    return float(stdtrit(max(1.0, math.floor(n_degrees_of_freedom)), upper))
