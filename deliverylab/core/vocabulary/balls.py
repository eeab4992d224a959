"""Table of balls: size and weight by the rule books, and how strongly the air brakes them.

References
----------
.. [1] Official Baseball Rules 3.01: 9 to 9 1/4 in around, 5 to 5 1/4 oz.
.. [2] Rule texts of fast-pitch softball: 12-inch ball 11 7/8 to 12 1/8 in around, 6 1/4 to 7 oz;
   11-inch ball 10 7/8 to 11 1/8 in (its weight, 5 7/8 to 6 1/8 oz, from memory).
.. [3] Smith L, Sciacchitano A (2022). Applied Sciences 12:1416 (drag of baseballs in free flight:
   how far laboratories differ).  League-wide means of the drag coefficient from pitch tracking lie
   between 0.33 and 0.35 in 2016 to 2019.  The u is judgement: it spans 0.26 to 0.42 at k = 2.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from deliverylab.core.units import INCH_M
from deliverylab.core.vocabulary.lookup import entry_of

BallKey = Literal["baseball", "softball-12", "softball-11"]
OUNCE_KG = 0.028349523125
"""One avoirdupois ounce, exactly."""
AIR_DENSITY_KG_M3 = 1.20
"""Dry air at 20 °C and sea level."""
U_AIR_DENSITY_KG_M3 = 0.08
"""Its standard uncertainty: 0 to 40 °C, and grounds up to 1,500 m high; judgement."""


@dataclass(frozen=True, kw_only=True)
class Ball:
    """One kind of ball.

    Attributes
    ----------
    key, name : str
        Stable key and name.
    around_in : (float, float)
        Least and largest way around, inches.
    weight_oz : (float, float)
        Least and largest weight, ounces.
    drag_coefficient, u_drag_coefficient : float
        Of the drag force ½ρCAv², and its standard uncertainty.
    source : str
        Where the numbers are from.
    """

    key: BallKey
    name: str
    around_in: tuple[float, float]
    weight_oz: tuple[float, float]
    drag_coefficient: float
    u_drag_coefficient: float
    source: str

    @property
    def diameter_m(self) -> float:
        """Middle of the allowed diameters, m."""
        return sum(self.around_in) / 2 * INCH_M / math.pi

    @property
    def mass_kg(self) -> float:
        """Middle of the allowed masses, kg."""
        return sum(self.weight_oz) / 2 * OUNCE_KG

    @property
    def drag_per_m(self) -> float:
        """Share of its speed that the ball loses in a metre of flight, 1/m: ρCA / 2m."""
        area_m2 = math.pi * self.diameter_m**2 / 4
        return AIR_DENSITY_KG_M3 * self.drag_coefficient * area_m2 / (2 * self.mass_kg)

    @property
    def u_drag_per_m(self) -> float:
        """Standard uncertainty of `drag_per_m`, 1/m: of the coefficient and of the air."""
        return self.drag_per_m * math.hypot(
            self.u_drag_coefficient / self.drag_coefficient,
            U_AIR_DENSITY_KG_M3 / AIR_DENSITY_KG_M3,
        )


BALLS: tuple[Ball, ...] = (
    Ball(
        key="baseball", name="baseball", around_in=(9.0, 9.25), weight_oz=(5.0, 5.25),
        drag_coefficient=0.34, u_drag_coefficient=0.04,
        source="Official Baseball Rules 3.01; drag: pitch tracking, u judgement",
    ),
    Ball(
        key="softball-12", name="12-inch softball", around_in=(11.875, 12.125),
        weight_oz=(6.25, 7.0), drag_coefficient=0.34, u_drag_coefficient=0.06,
        source="fast-pitch rule texts; drag: taken as the baseball's, judgement",
    ),
    Ball(
        key="softball-11", name="11-inch softball", around_in=(10.875, 11.125),
        weight_oz=(5.875, 6.125), drag_coefficient=0.34, u_drag_coefficient=0.06,
        source="fast-pitch rule texts, weight from memory; drag: taken as the baseball's, judgement",
    ),
)  # fmt: skip

BY_KEY: dict[str, Ball] = {ball.key: ball for ball in BALLS}


def ball(key: str) -> Ball:
    """Return the ball of this key.

    Raises
    ------
    NotFoundError
        No such key; the message lists the keys.
    """
    return entry_of(BY_KEY, key, "ball")
