"""What is looked at for suggestions: the courses of a thrower's landmarks, named by role."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.events.course import Course, without_wild
from deliverylab.core.events.rules import ARM_HALF_WIDTH_S, LEG_HALF_WIDTH_S
from deliverylab.core.vocabulary.landmarks import ARM_PARTS

FloatArray = NDArray[np.float64]
Sight = Literal["side", "end", "space"]

UP = -1
"""Column of a place that counts upward: the last."""
FORWARD = 0
"""Column that counts toward the plate; a rear or front view shows none."""
SUGGESTION_ROLES: tuple[str, ...] = (
    "lead_knee",
    "lead_ankle",
    "lead_heel",
    "lead_toe",
    "throwing_hand",
    "throwing_wrist",
    "throwing_elbow",
    "glove_hand",
    "glove_wrist",
    "ball",
)
"""Landmarks that the rules look at."""


@dataclass(frozen=True)
class BodyCourses:
    """Courses by role, as one kind of sight shows them.

    Attributes
    ----------
    sight : {"side", "end", "space"}
        A side view shows (forward, up), a rear or front view (across, up), solved cameras
        (forward, to the glove side, up).
    courses : dict of str to Course
        Only roles that are known in frames enough.
    external_rotation_deg : Course or None
        The throwing shoulder's outward turn, where it is seen: in space.
    """

    sight: Sight
    courses: Mapping[str, Course] = field(default_factory=dict)
    external_rotation_deg: Course | None = None

    @classmethod
    def of(
        cls, sight: Sight, times_s: Mapping[str, FloatArray], places_m: Mapping[str, FloatArray]
    ) -> BodyCourses:
        """Gather courses from places by role.

        Parameters
        ----------
        sight : {"side", "end", "space"}
        times_s : mapping of str to ndarray, shape (n,), real seconds
            By role, rising.
        places_m : mapping of str to ndarray, shape (n, 2) or (n, 3), m
            By role; NaN is a gap.
        """
        found = {
            role: Course.of(
                times_s[role], without_wild(times_s[role], places_m[role]), _half_width_s(role)
            )
            for role in places_m
        }
        return cls(sight, {role: course for role, course in found.items() if course is not None})

    @classmethod
    def in_space(
        cls,
        times_s: FloatArray,
        points_m: Mapping[str, FloatArray],
        external_rotation_deg: FloatArray,
    ) -> BodyCourses:
        """Gather courses from places in space at the same instants, and the shoulder's turn."""
        body = cls.of("space", dict.fromkeys(points_m, times_s), points_m)
        turned = Course.of(times_s, external_rotation_deg[:, None], ARM_HALF_WIDTH_S)
        return replace(body, external_rotation_deg=turned)

    def first_of(self, *roles: str) -> tuple[str, Course] | None:
        """Return the first of these roles that is known."""
        return next(((role, self.courses[role]) for role in roles if role in self.courses), None)


def _half_width_s(role: str) -> float:
    is_arm = role.partition("_")[2] in ARM_PARTS or role == "ball"
    return ARM_HALF_WIDTH_S if is_arm else LEG_HALF_WIDTH_S
