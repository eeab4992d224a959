"""How a single camera's pixels become metres: what the user clicked, typed and is sure of."""

from __future__ import annotations

from typing import NamedTuple

import msgspec
import numpy as np

from deliverylab.core.errors import InputValueError
from deliverylab.core.vocabulary.views import Direction


class Point(NamedTuple):
    """A place in the upright frame, px."""

    x_px: float
    y_px: float


class PlanarScale(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a single camera's pixels become metres in the plane of motion.

    Attributes
    ----------
    a, b : Point
        Two points with a known distance, in the plane of motion (at the athlete).
    length_m, u_length_m : float
        Their distance and its standard uncertainty.
    u_point_px : float
        Standard uncertainty of either coordinate of a scale point.
    vertical_deg, u_vertical_deg : float
        Lean of the true vertical from the picture's upward edge, clockwise positive.
    toward_plate : {"left", "right"} or None
        Side of the picture on which the plate lies; None takes it from view and hand.
    distance_m, u_distance_m : float or None
        Camera to the plane of motion; None when unknown (a near camera is then assumed for u).
    yaw_deg : float
        Turn of the camera's line of sight from square, anticlockwise seen from above positive.
    u_yaw_deg : float
        Its standard uncertainty.
    rubber : Point or None
        Middle of the rubber's front edge in the picture, where it is marked.
    is_solved : bool
        Whether it follows from points of the field; the next solve may replace it.
    """

    a: Point
    b: Point
    length_m: float
    u_length_m: float = 0.005
    u_point_px: float = 1.0
    vertical_deg: float = 0.0
    u_vertical_deg: float = 0.3
    toward_plate: Direction | None = None
    distance_m: float | None = None
    u_distance_m: float | None = None
    yaw_deg: float = 0.0
    u_yaw_deg: float = 3.0
    rubber: Point | None = None
    is_solved: bool = False

    def __post_init__(self) -> None:
        """Refuse a scale that cannot be one.

        Raises
        ------
        InputValueError
            Points together, a length, distance or yaw out of range.
        """
        separation_px = float(np.hypot(self.b.x_px - self.a.x_px, self.b.y_px - self.a.y_px))
        checks = (
            (
                separation_px >= 5.0,
                "the two scale points are too close together",
                f"{separation_px:.1f} px",
                "click points that lie far apart, 100 px or more",
            ),
            (
                0.02 <= self.length_m <= 30.0,
                "the scale length cannot be true",
                f"{self.length_m:g} m",
                "give the distance of the two points in metres",
            ),
            (
                self.distance_m is None or 1.0 <= self.distance_m <= 200.0,
                "the camera distance cannot be true",
                f"{self.distance_m} m",
                "give metres between 1 and 200",
            ),
            (
                abs(self.yaw_deg) <= 80.0,
                "the yaw cannot be true",
                f"{self.yaw_deg:g}°",
                "choose the view the camera is nearest to; the yaw from there is at most 45°",
            ),
            (
                abs(self.vertical_deg) <= 45.0,
                "the lean of the vertical is too large",
                f"{self.vertical_deg:g}°",
                "rotate the clip first; the lean is a few degrees",
            ),
            (
                all(
                    u >= 0.0
                    for u in (
                        self.u_length_m,
                        self.u_point_px,
                        self.u_vertical_deg,
                        self.u_yaw_deg,
                        self.u_distance_m or 0.0,
                    )
                ),
                "an uncertainty cannot be negative",
                "scale",
                "give zero or more",
            ),
        )
        for is_right, what, where, remedy in checks:
            if not is_right:
                raise InputValueError(what, where=where, remedy=remedy)
