"""Body sizes of the drawn figure from standing height and sex."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

# Segment lengths in mm of a stature of 1741 mm (male) and 1735 mm (female), de Leva P (1996)
# J Biomech 29:1223-1230, table 4. The male head, trunk, thigh, shank and foot agree with
# published copies of that table; the other lengths are from memory.
_STATURE_MM = {"male": 1741.0, "female": 1735.0}
_LENGTHS_MM: dict[str, dict[str, float]] = {
    "male": {
        "head": 242.9,
        "neck": 603.3 - 515.5,
        "trunk": 515.5,
        "upper_arm": 281.7,
        "forearm": 268.9,
        "hand": 86.2,
        "thigh": 422.2,
        "shank": 434.0,
        "foot": 258.1,
    },
    "female": {
        "head": 243.7,
        "neck": 614.8 - 497.9,
        "trunk": 497.9,
        "upper_arm": 275.1,
        "forearm": 264.3,
        "hand": 78.0,
        "thigh": 368.5,
        "shank": 432.3,
        "foot": 228.3,
    },
}
# Fractions of height that table does not hold: invented for the figure, in the usual range.
_SHOULDER_WIDTH = 0.205
_HIP_WIDTH = 0.100
_ANKLE_AHEAD_OF_HEEL = 0.036
_ANKLE_ABOVE_HEEL = 0.032
_SOLE = 0.011
_BALL_AHEAD_OF_KNUCKLE = 0.040
BALL_RADIUS_M = 0.0369  # 9 1/8 in circumference, middle of the rule's 9 to 9 1/4 in


@dataclass(frozen=True, kw_only=True)
class Proportions:
    """Hold the lengths between joint centres and landmarks, all in metres.

    ``head`` is neck (C7) to head top, ``neck`` mid-shoulder to neck, ``trunk`` mid-hip to
    mid-shoulder, ``hand`` wrist to third knuckle, ``foot`` heel to toe tip, ``sole`` the height
    of heel and toe landmarks above the ground under a standing foot.
    """

    head: float
    neck: float
    trunk: float
    upper_arm: float
    forearm: float
    hand: float
    thigh: float
    shank: float
    foot: float
    shoulder_width: float
    hip_width: float
    ankle_ahead: float
    ankle_above: float
    sole: float
    ball_ahead: float


def proportions(height_m: float, sex: Literal["male", "female"]) -> Proportions:
    """Scale the published segment lengths to one athlete.

    Parameters
    ----------
    height_m : float, m
        Standing height.
    sex : {"male", "female"}

    Returns
    -------
    Proportions

    References
    ----------
    de Leva P (1996) J Biomech 29:1223-1230, table 4.
    """
    scale = height_m / _STATURE_MM[sex]
    lengths = {name: scale * mm for name, mm in _LENGTHS_MM[sex].items()}
    return Proportions(
        **lengths,
        shoulder_width=_SHOULDER_WIDTH * height_m,
        hip_width=_HIP_WIDTH * height_m,
        ankle_ahead=_ANKLE_AHEAD_OF_HEEL * height_m,
        ankle_above=_ANKLE_ABOVE_HEEL * height_m,
        sole=_SOLE * height_m,
        ball_ahead=_BALL_AHEAD_OF_KNUCKLE * height_m,
    )
