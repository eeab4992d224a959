"""A posture: named points in the field frame, ready to be measured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.vocabulary.mass_tables import MassTableKey

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Pose:
    """Landmark places by role, in metres, at one instant or a batch of instants.

    X points to the plate, Y to the glove side (left-handed deliveries are mirrored before they get
    here), Z up.  A camera that shows one plane gives zero for the coordinate across it; a metric
    that would need that coordinate is never evaluated from such a pose.

    Attributes
    ----------
    points : mapping of str to ndarray, shape (..., 3), m
        Places by role; NaN where unknown.
    height_m : ndarray, shape (...) or scalar
        Standing height; NaN when unknown.
    female_share : float
        1 for a woman, 0 for a man, 0.5 where it is not known: mixes the tables of both.
    mass_table : {"de_leva", "dempster"}
        Whose segment masses make the centre of mass.
    """

    points: Mapping[str, FloatArray]
    height_m: FloatArray
    female_share: float = 0.5
    mass_table: MassTableKey = "de_leva"

    def __getitem__(self, role: str) -> FloatArray:
        """Return a landmark, shape (..., 3), m; ``mid_hip`` and ``mid_shoulder`` are midpoints."""
        if role == "mid_hip":
            return 0.5 * (self.points["drive_hip"] + self.points["lead_hip"])
        if role == "mid_shoulder":
            return 0.5 * (self.points["throwing_shoulder"] + self.points["glove_shoulder"])
        return self.points[role]

    def __contains__(self, role: str) -> bool:
        """Return whether a role is there."""
        return role in self.points
