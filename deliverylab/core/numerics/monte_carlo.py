"""Propagation of distributions by Monte Carlo, and whether a first-order interval agrees with it.

References
----------
.. [1] JCGM 101:2008, Evaluation of measurement data: Supplement 1 to the guide, 6.4 (distributions),
   7.7 (coverage intervals), 7.9 (adaptive procedure and its tolerance), 8 (validation).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.numerics.uncertainty import InputGroup

FloatArray = NDArray[np.float64]
Shape = Literal["normal", "rectangular", "student"]
Sampler = Callable[[np.random.Generator, int], FloatArray]
"""``sampler(rng, n)`` returns n independent draws of the result; NaN where it is degenerate."""

LEVEL = 0.95
BLOCK = 10_000
"""Draws in a block: that many give a 95 % interval to one or two digits (7.2.2 of the guide)."""
MAX_DRAWS = 400_000
TOLERANCE_SHARE = 0.2
"""How much sharper than the tolerance of a validation the interval has to be known."""


@dataclass(frozen=True)
class MonteCarlo:
    """Distribution of a result by its draws.

    Attributes
    ----------
    value, u : float
        Mean and standard deviation of the draws.
    low, high : float
        Symmetric 95 % interval: as many draws below it as above.
    shortest_low, shortest_high : float
        Shortest interval that holds 95 %.
    n_draws, n_degenerate : int
        Draws made, and those without a result, which are left out.
    tolerance : float
        Half a unit in the last digit of u that counts.
    is_settled : bool
        Whether mean, u and both ends are known to a fifth of the tolerance.
    """

    value: float
    u: float
    low: float
    high: float
    shortest_low: float
    shortest_high: float
    n_draws: int
    n_degenerate: int
    tolerance: float
    is_settled: bool

    def validates(self, value: float, expanded_u: float) -> bool:
        """Return whether ``value ± expanded_u``, of 95 %, has both ends within the tolerance."""
        ends = (value - expanded_u - self.low, value + expanded_u - self.high)
        return max(map(abs, ends)) <= self.tolerance


def numerical_tolerance(u: float, n_digits: int) -> float:
    """Return half a unit in the last of the significant digits of u; 0 where there is none."""
    if not u > 0.0:
        return 0.0
    return 0.5 * 10.0 ** (math.floor(math.log10(u)) - n_digits + 1)


def drawn(
    group: InputGroup, rng: np.random.Generator, n: int, shape: Shape = "normal"
) -> FloatArray:
    """Return draws of a group of inputs, shape (n, n_inputs).

    Parameters
    ----------
    group : InputGroup
        Best values, u, correlation; for ``student`` its degrees of freedom.
    rng : Generator
        Source of chance.
    n : int
        How many.
    shape : {"normal", "rectangular", "student"}
        Distribution; of ``student`` u is the scale, so that the draws spread wider.

    Raises
    ------
    ValueError
        Correlated inputs of rectangular shape.
    """
    size = (n, len(group.x))
    if shape == "rectangular":
        if group.correlation is not None:
            raise ValueError("rectangular inputs are drawn uncorrelated")
        return group.x + math.sqrt(3.0) * group.u * rng.uniform(-1.0, 1.0, size)
    standard = rng.normal(size=size)
    if group.correlation is not None:
        # by eigenvalues: inputs that are fully correlated have no Cholesky factor
        weight, axes = np.linalg.eigh(group.correlation)
        standard = standard @ (axes * np.sqrt(np.maximum(weight, 0.0))).T
    if shape == "student" and math.isfinite(group.n_degrees_of_freedom):
        dof = group.n_degrees_of_freedom
        standard = standard / np.sqrt(rng.chisquare(dof, (n, 1)) / dof)
    found: FloatArray = group.x + group.u * standard
    return found


def monte_carlo(
    sampler: Sampler,
    *,
    n_digits: int = 1,
    max_draws: int = MAX_DRAWS,
    seed: int = 1,
) -> MonteCarlo:
    """Draw a result in blocks until its mean, u and interval are settled.

    Parameters
    ----------
    sampler : callable
        Draws the inputs and returns the results.
    n_digits : int
        Significant digits of u that count.
    max_draws : int
        Most draws; a smaller number than a block is one block.
    seed : int
        The same seed gives the same draws.

    Returns
    -------
    MonteCarlo
        NaN where fewer than two draws have a result.

    Notes
    -----
    After each block the spread of mean, u and ends from block to block tells how well they are
    known: twice their standard error has to be below a fifth of the tolerance.
    """
    rng = np.random.default_rng(seed)
    size = min(BLOCK, max_draws)
    blocks: list[FloatArray] = []
    rows: list[tuple[float, float, float, float]] = []
    is_settled = False
    while len(blocks) * size + size <= max_draws and not is_settled:
        blocks.append(sampler(rng, size))
        rows.append(_summary(blocks[-1]))
        if len(rows) >= 2:
            spread = np.std(rows, axis=0, ddof=1) / math.sqrt(len(rows))
            u = float(np.mean([row[1] for row in rows]))
            settled_at = TOLERANCE_SHARE * numerical_tolerance(u, n_digits)
            is_settled = bool(np.all(2.0 * spread <= settled_at))
    values = np.concatenate(blocks)
    known = np.sort(values[np.isfinite(values)])
    value, u, low, high = _summary(known)
    shortest = _shortest(known) if len(known) > 1 else (math.nan, math.nan)
    tolerance = numerical_tolerance(u, n_digits)
    n_degenerate = len(values) - len(known)
    return MonteCarlo(
        value, u, low, high, *shortest, len(values), n_degenerate, tolerance, is_settled
    )


def _summary(values: FloatArray) -> tuple[float, float, float, float]:
    known = values[np.isfinite(values)]
    if len(known) < 2:
        return (math.nan,) * 4
    low, high = np.quantile(known, (0.5 - 0.5 * LEVEL, 0.5 + 0.5 * LEVEL))
    return float(np.mean(known)), float(np.std(known, ddof=1)), float(low), float(high)


def _shortest(ordered: FloatArray) -> tuple[float, float]:
    """Return the shortest interval that holds LEVEL of the ordered draws."""
    n_inside = min(len(ordered) - 1, math.ceil(LEVEL * len(ordered)))
    widths = ordered[n_inside:] - ordered[: len(ordered) - n_inside]
    first = int(np.argmin(widths))
    return float(ordered[first]), float(ordered[first + n_inside])


def sampler_of(
    function: Callable[[FloatArray], FloatArray],
    groups: Sequence[InputGroup],
    shapes: Sequence[Shape] = (),
) -> Sampler:
    """Return the sampler of a function of groups of inputs; normal where no shapes are given."""
    kinds: list[Shape] = list(shapes) or ["normal" for _ in groups]

    def sample(rng: np.random.Generator, n: int) -> FloatArray:
        inputs = [drawn(group, rng, n, kind) for group, kind in zip(groups, kinds, strict=True)]
        return function(np.concatenate(inputs, axis=1))

    return sample
