"""What stands on the field: rubber, plate, and what is laid to click on: a stick, two low cones."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.ground import ground_height_m
from deliverylab.core.units import INCH_M
from deliverylab.core.vocabulary.field import BY_KEY

Array = NDArray[np.float64]

_FIELD = BY_KEY["baseball"]
STICK_RADIUS_M = 0.013
CONE_HEIGHT_M = 0.11
CONE_RADIUS_M = 0.085
PLATE_WIDTH_M = 17 * INCH_M
_PLATE_SIDE_M = 8.5 * INCH_M


@dataclass(frozen=True, kw_only=True)
class ScaleStick:
    """Hold the two ends of a straight stick, m in the field frame."""

    start_m: tuple[float, float, float]
    end_m: tuple[float, float, float]

    @property
    def ends_m(self) -> Array:
        """Both ends, shape (2, 3), m."""
        return np.array([self.start_m, self.end_m])

    @property
    def length_m(self) -> float:
        """Length, m."""
        return float(np.linalg.norm(np.subtract(self.end_m, self.start_m)))


def lying_stick(
    from_m: tuple[float, float], toward_m: tuple[float, float], length_m: float = 1.0
) -> ScaleStick:
    """Lay a stick on the ground.

    Parameters
    ----------
    from_m : tuple of float, m
        X and Y of one end.
    toward_m : tuple of float
        Level direction in which it points; any length.
    length_m : float, m

    Returns
    -------
    ScaleStick
        Of exactly this length, its ends one radius above the ground where the ground between
        them is even.
    """
    start = np.array([*from_m, float(ground_height_m(*from_m)) + STICK_RADIUS_M])
    level = np.array(toward_m) / np.hypot(*toward_m)
    far = np.array(from_m) + length_m * level
    rise = float(ground_height_m(*far)) + STICK_RADIUS_M - start[2]
    direction = np.array([*level, rise / length_m])
    end = start + length_m * direction / np.linalg.norm(direction)
    return ScaleStick(
        start_m=(float(start[0]), float(start[1]), float(start[2])),
        end_m=(float(end[0]), float(end[1]), float(end[2])),
    )


@dataclass(frozen=True, kw_only=True)
class LaidCone:
    """Hold where one low cone of the field really stands.

    What is clicked is the middle of its foot, on the ground: half way between the two lower corners
    of its outline, which is where the control points of a field have their height.

    Attributes
    ----------
    key : str
        Of its control point.
    x_m, y_m : float, m
        A tape is read to some millimetres, so it never stands just where the field says.
    """

    key: str
    x_m: float
    y_m: float

    @property
    def foot_m(self) -> Array:
        """Middle of its foot, shape (3,), m."""
        return np.array([self.x_m, self.y_m, float(ground_height_m(self.x_m, self.y_m))])


def rubber_corners_m() -> Array:
    """Give the corners of the rubber's top, shape (4, 3), m.

    Returns
    -------
    Array
        Front left, front right, rear right, rear left as the pitcher stands (left = +Y).
    """
    half, depth = 0.5 * _FIELD.rubber_width_m, _FIELD.rubber_depth_m
    return np.array([[0, half, 0], [0, -half, 0], [-depth, -half, 0], [-depth, half, 0.0]])


def plate_corners_m() -> Array:
    """Give the corners of home plate, shape (5, 3), m.

    Returns
    -------
    Array
        Front left and right as the pitcher sees them, right side, rear point, left side.
    """
    rear = _FIELD.pitching_distance_m
    front, side, half = (
        rear - PLATE_WIDTH_M,
        rear - PLATE_WIDTH_M + _PLATE_SIDE_M,
        PLATE_WIDTH_M / 2,
    )
    z = -_FIELD.rubber_height_m
    return np.array(
        [[front, half, z], [front, -half, z], [side, -half, z], [rear, 0.0, z], [side, half, z]]
    )
