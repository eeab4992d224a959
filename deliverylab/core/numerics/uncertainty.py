"""First-order propagation of uncertainty by finite steps of one standard uncertainty.

References
----------
.. [1] JCGM 100:2008, Evaluation of measurement data: guide to the expression of uncertainty in
   measurement, 5.1.3 note 2 (steps of one u), 5.2 (correlated inputs), 4.3.7 (rectangular).
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


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


def propagate(
    function: Callable[[FloatArray], FloatArray],
    x: FloatArray,
    u: FloatArray,
    correlation: FloatArray | None = None,
) -> tuple[FloatArray, FloatArray]:
    """Return a function's value and its standard uncertainty, in one vectorised pass.

    Parameters
    ----------
    function : callable
        Takes inputs of shape (m, n), returns results of shape (m, ...).
    x, u : ndarray, shape (n,)
        Inputs and their standard uncertainties.
    correlation : ndarray, shape (n, n), optional
        Correlation of the inputs.

    Returns
    -------
    value, u : ndarray, shape (...)
    """
    values = function(stepped_inputs(x, u))
    return values[0], combined_u(contributions(values), correlation)
