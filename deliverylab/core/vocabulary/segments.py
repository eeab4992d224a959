"""Table of body segments: end points, mass, mass centre and length by published proportions.

References
----------
.. [1] de Leva P (1996). Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters.
   J Biomech 29:1223-1230, table 4 (masses and mass centres, alternative end points for head and
   trunk).
.. [2] Lengths over stature from the same table (men 1741 mm, women 1735 mm). Men's thigh, shank and
   foot agree with published copies of it; the others are from memory, to be confirmed in the paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deliverylab.core.vocabulary.lookup import entry_of

Sex = Literal["female", "male"]


@dataclass(frozen=True, kw_only=True)
class Segment:
    """One rigid segment.

    Attributes
    ----------
    key, proximal, distal : str
        Key and end points; landmark keys, or ``mid_shoulder`` / ``mid_hip`` for the midpoints.
    mass : dict
        Share of body mass, by sex.
    mass_centre : dict
        Distance of the mass centre from the proximal end as a share of the length, by sex.
    length_over_height : dict or None
        Usual length as a share of standing height, by sex [2]_; None where no joint-to-joint value
        exists.
    """

    key: str
    proximal: str
    distal: str
    mass: dict[Sex, float]
    mass_centre: dict[Sex, float]
    length_over_height: dict[Sex, float] | None

    def usual_length(self, sex: Sex | None) -> float | None:
        """Return the usual length as a share of height; the mean of both where sex is not known."""
        if self.length_over_height is None:
            return None
        if sex is None:
            return 0.5 * (self.length_over_height["female"] + self.length_over_height["male"])
        return self.length_over_height[sex]

    def longest_length(self, sex: Sex | None) -> float | None:
        """Return the usual length as a share of height; the longer where sex is not known."""
        if sex is None and self.length_over_height is not None:
            return max(self.length_over_height.values())
        return self.usual_length(sex)


def _limb(
    part: str,
    proximal: str,
    distal: str,
    masses: tuple[float, float],
    centres: tuple[float, float],
    lengths_mm: tuple[float, float],
) -> tuple[Segment, Segment]:
    left, right = (
        Segment(
            key=f"{side}_{part}",
            proximal=f"{side}_{proximal}",
            distal=f"{side}_{distal}",
            mass={"female": masses[0], "male": masses[1]},
            mass_centre={"female": centres[0], "male": centres[1]},
            length_over_height={"female": lengths_mm[0] / 1735, "male": lengths_mm[1] / 1741},
        )
        for side in ("left", "right")
    )
    return left, right


SEGMENTS: tuple[Segment, ...] = (
    Segment(
        key="head",
        proximal="head_top",
        distal="neck",
        mass={"female": 0.0668, "male": 0.0694},
        mass_centre={"female": 0.4841, "male": 0.5002},
        length_over_height=None,
    ),
    Segment(
        key="trunk",
        proximal="mid_shoulder",
        distal="mid_hip",
        mass={"female": 0.4257, "male": 0.4346},
        mass_centre={"female": 0.3782, "male": 0.4310},
        length_over_height=None,
    ),
    *_limb("upper_arm", "shoulder", "elbow", (0.0255, 0.0271), (0.5754, 0.5772), (275.1, 281.7)),
    *_limb("forearm", "elbow", "wrist", (0.0138, 0.0162), (0.4559, 0.4574), (264.3, 268.9)),
    *_limb("hand_segment", "wrist", "hand", (0.0056, 0.0061), (0.7474, 0.7900), (78.0, 86.2)),
    *_limb("thigh", "hip", "knee", (0.1478, 0.1416), (0.3612, 0.4095), (368.5, 422.2)),
    *_limb("shank", "knee", "ankle", (0.0481, 0.0433), (0.4352, 0.4395), (432.3, 434.0)),
    *_limb("foot", "heel", "toe", (0.0129, 0.0137), (0.4014, 0.4415), (228.3, 258.1)),
)


@dataclass(frozen=True, kw_only=True)
class LiftedLimb:
    """A limb whose depth a person tells: which of its ends is nearer to the camera.

    Attributes
    ----------
    key, name : str
        Key in a project file; what a person calls it.
    near_end, far_end : str
        Roles of its ends, from the trunk outward.
    """

    key: str
    name: str
    near_end: str
    far_end: str

    def nearer_end(self, choice: Literal["nearer", "farther"]) -> str:
        """Return the joint that is nearer to the camera, where the far end is that."""
        role = self.far_end if choice == "nearer" else self.near_end
        return role.partition("_")[2]


LIFTED_LIMBS: tuple[LiftedLimb, ...] = (
    LiftedLimb(
        key="throwing_upper_arm",
        name="upper arm",
        near_end="throwing_shoulder",
        far_end="throwing_elbow",
    ),
    LiftedLimb(
        key="throwing_forearm",
        name="forearm",
        near_end="throwing_elbow",
        far_end="throwing_wrist",
    ),
)
"""From the trunk outward: the throwing arm, the one chain for which telling was found to help."""
LIFTED_BY_KEY: dict[str, LiftedLimb] = {limb.key: limb for limb in LIFTED_LIMBS}


def lifted_limb(key: str) -> LiftedLimb:
    """Return a limb whose depth a person tells.

    Raises
    ------
    NotFoundError
        No such limb; the message lists them.
    """
    return entry_of(LIFTED_BY_KEY, key, "limb")


BY_KEY: dict[str, Segment] = {segment.key: segment for segment in SEGMENTS}
BY_ENDS: dict[tuple[str, str], Segment] = {(s.proximal, s.distal): s for s in SEGMENTS}

DRAWN: tuple[tuple[str, str], ...] = (
    ("head_top", "neck"),
    ("mid_shoulder", "mid_hip"),
    ("left_shoulder", "right_shoulder"),
    ("left_hip", "right_hip"),
    *(
        (f"{side}_{a}", f"{side}_{b}")
        for side in ("left", "right")
        for a, b in (
            ("shoulder", "elbow"),
            ("elbow", "wrist"),
            ("wrist", "hand"),
            ("hip", "knee"),
            ("knee", "ankle"),
            ("ankle", "heel"),
            ("heel", "toe"),
        )
    ),
)
"""The lines of the drawn skeleton; ends as in `Segment`."""

MIDPOINTS: dict[str, tuple[str, str]] = {
    "mid_shoulder": ("left_shoulder", "right_shoulder"),
    "mid_hip": ("left_hip", "right_hip"),
}
