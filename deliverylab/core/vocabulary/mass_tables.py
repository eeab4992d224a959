"""Tables of segment masses, each with the end points it was made for, and what may be missing.

A mass centre given as a share of a length belongs to the end points it was measured between: the
shank's 44.6 % belongs to the ankle bone, 43.95 % to the joint's centre.  Each row therefore says
what its table measured between, and which of our landmarks are taken for that.

The rule for what is missing, in one place: a landmark of `STAND_INS` may be missing, and the one
named there stands in for it, at the u that it adds.  No segment is left out altogether: an arm
without its place would move the centre of mass by two to three centimetres, so without any other
landmark there is no centre of mass.

References
----------
.. [1] de Leva P (1996). Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters.
   J Biomech 29:1223-1230, table 4 (living young adults; alternative end points for head and trunk).
.. [2] Winter DA. Biomechanics and Motor Control of Human Movement, table 4.1, after Dempster WT
   (1955), WADC TR 55-159 (eight men, dissected).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deliverylab.core.vocabulary.segments import SEGMENTS, Sex

MassTableKey = Literal["de_leva", "dempster"]


@dataclass(frozen=True, kw_only=True)
class MassRow:
    """One segment of a table.

    Attributes
    ----------
    segment : str
        Key of the segment.
    proximal, distal : str
        Our landmarks, or ``mid_shoulder`` / ``mid_hip``, taken for the table's end points.
    between : str
        The end points as the table defines them.
    mass : float
        Share of body mass as printed.
    ratio : float
        Distance of the mass centre from the proximal end as a share of the length.
    """

    segment: str
    proximal: str
    distal: str
    between: str
    mass: float
    ratio: float


@dataclass(frozen=True, kw_only=True)
class MassTable:
    """A whole body's segments.

    Attributes
    ----------
    name, source : str
        What a person calls it; where it is printed.
    rows : tuple of MassRow
        All segments; masses are divided by their sum where they are used.
    """

    name: str
    source: str
    rows: tuple[MassRow, ...]


_DE_LEVA_ENDS: dict[str, str] = {
    "head": "vertex to C7 (alternative end points)",
    "trunk": "middle of the shoulder joints to middle of the hip joints (alternative end points)",
    "upper_arm": "shoulder joint to elbow joint",
    "forearm": "elbow joint to wrist joint",
    "hand_segment": "wrist joint to third knuckle",
    "thigh": "hip joint to knee joint",
    "shank": "knee joint to ankle joint",
    "foot": "heel to tip of the longest toe",
}


def _part(key: str) -> str:
    return key.removeprefix("left_").removeprefix("right_")


def _de_leva(sex: Sex) -> MassTable:
    return MassTable(
        name=f"de Leva, {'women' if sex == 'female' else 'men'}",
        source="de Leva 1996, J Biomech 29:1223-1230, table 4",
        rows=tuple(
            MassRow(
                segment=s.key,
                proximal=s.proximal,
                distal=s.distal,
                between=_DE_LEVA_ENDS[_part(s.key)],
                mass=s.mass[sex],
                ratio=s.mass_centre[sex],
            )
            for s in SEGMENTS
        ),
    )


_DEMPSTER_LIMBS: tuple[tuple[str, str, str, str, float, float], ...] = (
    ("upper_arm", "shoulder", "elbow", "shoulder joint to elbow axis", 0.028, 0.436),
    ("forearm", "elbow", "wrist", "elbow axis to ulnar styloid", 0.016, 0.430),
    ("hand_segment", "wrist", "hand", "wrist axis to second knuckle of the middle finger",
     0.006, 0.506),
    ("thigh", "hip", "knee", "greater trochanter to femoral condyles", 0.100, 0.433),
    ("shank", "knee", "ankle", "femoral condyles to medial malleolus", 0.0465, 0.433),
    # the toe's tip for the ball of the foot: the body's centre moves by less than a millimetre
    ("foot", "ankle", "toe", "lateral malleolus to head of the second metatarsal", 0.0145, 0.500),
)  # fmt: skip

_DEMPSTER = MassTable(
    name="Dempster",
    source="Winter, Biomechanics and Motor Control of Human Movement, table 4.1 (Dempster 1955)",
    rows=(
        # printed as 1.000 from C7 to the ear canal, which lies midway between C7 and the vertex
        MassRow(
            segment="head", proximal="head_top", distal="neck",
            between="C7 and first rib to ear canal", mass=0.081, ratio=0.500,
        ),
        MassRow(
            segment="trunk", proximal="mid_shoulder", distal="mid_hip",
            between="greater trochanter to shoulder joint", mass=0.497, ratio=0.500,
        ),
        *(
            MassRow(
                segment=f"{side}_{part}", proximal=f"{side}_{proximal}", distal=f"{side}_{distal}",
                between=between, mass=mass, ratio=ratio,
            )
            for part, proximal, distal, between, mass, ratio in _DEMPSTER_LIMBS
            for side in ("left", "right")
        ),
    ),
)  # fmt: skip

DE_LEVA: dict[Sex, MassTable] = {"female": _de_leva("female"), "male": _de_leva("male")}
MASS_TABLES: dict[MassTableKey, dict[Sex, MassTable]] = {
    "de_leva": DE_LEVA,
    "dempster": {"female": _DEMPSTER, "male": _DEMPSTER},
}
"""Tables by key and sex; Dempster's bodies were all men, so women have no table of their own."""
OTHER_TABLE: dict[MassTableKey, MassTableKey] = {"de_leva": "dempster", "dempster": "de_leva"}
"""The table whose distance from the one used tells how unsure segment weights are."""


@dataclass(frozen=True)
class StandIn:
    """What stands in for a landmark that is not placed.

    Attributes
    ----------
    part : str
        The landmark (without its side) that stands in.
    u_m : float
        Standard uncertainty of how far off it is in any direction, m (judgement: their distance over √3).
    u_m_s : float
        Standard uncertainty of how much faster or slower it moves, m/s (own simulation at release,
        where it is largest).
    """

    part: str
    u_m: float
    u_m_s: float


STAND_INS: dict[str, StandIn] = {
    "hand": StandIn("wrist", 0.05, 2.0),
    "heel": StandIn("ankle", 0.05, 0.7),
    "toe": StandIn("ankle", 0.10, 0.7),
}
"""By the part that may be missing."""
