"""When a value is too unsure to tell an instructor anything, and what would help most.

A value whose ± is wider than any difference between two pitchers is no measurement, however
honestly it is stated; it is not shown, and the largest part of its u says what would help.
"""

from __future__ import annotations

from collections.abc import Sequence

from deliverylab.core.metrics.remedies import remedy_for
from deliverylab.core.metrics.spec import Contribution
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.units import Unit

USEFUL_LIMITS: dict[Unit, float] = {
    "deg": 24.0,
    "deg/s": 300.0,
    "% height": 12.0,
    "m": 0.25,
    "m/s": 1.0,
    "s": 0.15,
    "%": 20.0,
}
"""Largest expanded U that is still shown.  Judgement: about the width of two standard deviations
between pitchers where such a spread is printed (knee 8-14°, trunk 5-8°, stride 4 % of height:
Kageyama et al. 2015, J Sports Sci Med 14:246-255)."""


def too_unsure(
    unit: Unit, expanded_u: float, budget: Sequence[Contribution], useful_u: float = 0.0
) -> Absence | None:
    """Return the absence of a value that is too unsure to be useful.

    Parameters
    ----------
    unit : str
        The metric's unit.
    expanded_u : float
        U, in that unit.
    budget : sequence of Contribution
        The parts of its u.
    useful_u : float
        The limit, where it is not that of the unit.
    """
    limit = useful_u or USEFUL_LIMITS[unit]
    if expanded_u <= limit:
        return None
    # Degrees are the same for every reader; other units are the reader's choice.
    how = (
        f"± {expanded_u:.2g}°, {limit:g}° is the limit"
        if unit == "deg"
        else f"its ± is {expanded_u / limit:.1f} times what would still tell something"
    )
    return Absence(
        f"too unsure to be of use: {how}",
        _remedy_of_largest(budget) or "film and mark it anew",
    )


def _remedy_of_largest(budget: Sequence[Contribution]) -> str:
    """Return the remedy of the source that has the largest share, all its lines together."""
    variance: dict[str, float] = {}
    for part in budget:
        variance[part.source] = variance.get(part.source, 0.0) + part.u**2
    return remedy_for(max(variance, key=lambda source: variance[source])) if variance else ""
