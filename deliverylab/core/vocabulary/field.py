"""Field geometry by the rule book, in metres; every league's numbers can be edited in a project.

References
----------
.. [1] Official Baseball Rules 2.01 (mound), 2.02 (home base), 2.04 (pitcher's plate), 3.01 (ball).
.. [2] Youth and softball sizes as printed by several field guides; leagues differ.
"""

from __future__ import annotations

from dataclasses import dataclass

from deliverylab.core.units import INCH_M

FOOT_M = 12 * INCH_M


@dataclass(frozen=True, kw_only=True)
class FieldSize:
    """Lengths of one kind of field, metres.

    Attributes
    ----------
    key, name : str
        Stable key and name.
    rubber_width_m, rubber_depth_m : float
        Size of the pitcher's plate, across and along the line to home.
    pitching_distance_m : float
        Front edge of the rubber to the rear point of home plate.
    rubber_height_m : float
        Rubber above home plate; 0 for a flat field.
    source : str
        Where the numbers are from.
    """

    key: str
    name: str
    rubber_width_m: float
    rubber_depth_m: float
    pitching_distance_m: float
    rubber_height_m: float
    source: str


FIELDS: tuple[FieldSize, ...] = (
    FieldSize(
        key="baseball",
        name="baseball, 60 ft 6 in",
        rubber_width_m=24 * INCH_M,
        rubber_depth_m=6 * INCH_M,
        pitching_distance_m=60.5 * FOOT_M,
        rubber_height_m=10 * INCH_M,
        source="Official Baseball Rules 2.01, 2.04",
    ),
    FieldSize(
        key="youth-50",
        name="youth baseball, 50 ft",
        rubber_width_m=24 * INCH_M,
        rubber_depth_m=6 * INCH_M,
        pitching_distance_m=50 * FOOT_M,
        rubber_height_m=8 * INCH_M,
        source="field guides; rubber and mound from memory",
    ),
    FieldSize(
        key="youth-46",
        name="youth baseball, 46 ft",
        rubber_width_m=18 * INCH_M,
        rubber_depth_m=4 * INCH_M,
        pitching_distance_m=46 * FOOT_M,
        rubber_height_m=6 * INCH_M,
        source="field guides; mound height from memory",
    ),
    FieldSize(
        key="softball-43",
        name="softball, 43 ft",
        rubber_width_m=24 * INCH_M,
        rubber_depth_m=6 * INCH_M,
        pitching_distance_m=43 * FOOT_M,
        rubber_height_m=0.0,
        source="field guides",
    ),
    FieldSize(
        key="softball-40",
        name="softball, 40 ft",
        rubber_width_m=24 * INCH_M,
        rubber_depth_m=6 * INCH_M,
        pitching_distance_m=40 * FOOT_M,
        rubber_height_m=0.0,
        source="field guides",
    ),
)

BY_KEY: dict[str, FieldSize] = {size.key: size for size in FIELDS}

MOUND_SLOPE = 1.0 / 12.0
"""Fall of the mound, 1 inch a foot, beginning 6 inches in front of the rubber [1]_."""
SLOPE_START_M = 6 * INCH_M
