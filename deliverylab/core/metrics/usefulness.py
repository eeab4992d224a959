"""When a value is too unsure to tell an instructor anything, and what would help most.

A value whose ± is wider than any difference between two pitchers is no measurement, however
honestly it is stated; it is not shown, and the largest part of its u says what would help.
"""

from __future__ import annotations

from collections.abc import Sequence

from deliverylab.core.metrics.spec import COVERAGE_FACTOR, Contribution
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

REMEDIES: dict[str, str] = {
    "placing the landmarks": "place its landmarks more closely, or film with the athlete larger in "
    "the picture",
    "depth not seen": "film from farther away, square, with the athlete in the middle of the "
    "picture, and enter the camera's distance",
    "timing of the event": "mark the event more closely, or film at a higher frame rate",
    "scale points": "take a longer scale, on both sides of the picture's middle",
    "scale length": "measure the scale's length again",
    "yaw of the camera": "film square, and say how sure that is",
    "distance of the camera": "enter the camera's distance",
    "level of the camera": "click a plumb line for the vertical",
    "smoothing": "place more frames around the event",
    "seen in one plane": "film square to the plane of the limb",
}
"""What makes each part of u smaller."""


def too_unsure(unit: Unit, u: float, budget: Sequence[Contribution]) -> Absence | None:
    """Return the absence of a value that is too unsure to be useful.

    Parameters
    ----------
    unit : str
        The metric's unit.
    u : float
        Standard uncertainty, in that unit.
    budget : sequence of Contribution
        Its parts, largest first.
    """
    expanded_u, limit = COVERAGE_FACTOR * u, USEFUL_LIMITS[unit]
    if expanded_u <= limit:
        return None
    sign = "°" if unit == "deg" else f" {unit}"
    remedy = REMEDIES.get(budget[0].source, "") if budget else ""
    return Absence(
        f"too unsure to be of use: ± {expanded_u:.2g}{sign}, {limit:g}{sign} is the limit",
        remedy or "film and mark it anew",
    )
