"""The planar scale of a solved camera: its true yaw, distance and lean for results of one camera."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.pinhole import PinholeCamera, camera_facts
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.views import view
from deliverylab.core.workflow.space_facts import TARGET_M, u_of

Array = NDArray[np.float64]

RULERS_M = {
    "sagittal": np.array([[0.0, 0.0, 0.8], [1.6, 0.0, 0.8]]),
    "frontal": np.array([[0.0, -0.5, 0.8], [0.0, 0.5, 0.8]]),
}
"""Where the two scale points are put: at the height of the hips, along the way of the body, in the
plane that a view shows (through the rubber)."""
PLUMB_M = {
    "sagittal": np.array([[0.8, 0.0, 0.2], [0.8, 0.0, 1.6]]),
    "frontal": np.array([[0.0, 0.0, 0.2], [0.0, 0.0, 1.6]]),
}
"""The vertical whose lean in the picture is taken, where the body is."""
ALONG = 0.01
"""Sine of the angle to the plane below which a camera looks along it."""
NORMAL = {"sagittal": 1, "frontal": 0}
"""Axis of the field across each plane."""


def solved_scale(
    camera: PinholeCamera, covariance: Array, view_key: str, hand: Hand
) -> PlanarScale | None:
    """Return the planar scale that a solved camera stands for.

    Parameters
    ----------
    camera : PinholeCamera
    covariance : ndarray, shape (7, 7)
        Of its seven numbers.
    view_key : str
        The view it is meant to show.
    hand : {"left", "right"}

    Returns
    -------
    PlanarScale or None
        Its length's u holds all that the solve leaves unsure of the scale; None where the camera
        does not see that plane, or looks along it.
    """
    plane = view(view_key).plane
    if plane not in NORMAL:
        return None

    def numbers(each: PinholeCamera) -> Array:
        ruler_px = each.project(RULERS_M[plane])
        return np.array(
            [
                np.log(np.hypot(*(ruler_px[1] - ruler_px[0]))),
                _lean_deg(each, plane),
                camera_facts(each, view_key, hand, TARGET_M).yaw_deg,
                _depth_m(each, plane),
            ]
        )

    _, vertical_deg, yaw_deg, distance_m = numbers(camera)
    u_share, u_vertical, u_yaw, u_distance = u_of(numbers, camera, covariance)
    a, b = camera.project(RULERS_M[plane])
    length_m = float(np.hypot(*(RULERS_M[plane][1] - RULERS_M[plane][0])[:2]))
    rubber = camera.project(np.zeros(3))
    try:
        return PlanarScale(
            a=Point(*map(float, a)),
            b=Point(*map(float, b)),
            length_m=length_m,
            u_length_m=float(u_share * length_m),
            u_point_px=0.0,
            vertical_deg=float(vertical_deg),
            u_vertical_deg=float(u_vertical),
            distance_m=float(distance_m),
            u_distance_m=float(u_distance),
            yaw_deg=float(yaw_deg),
            u_yaw_deg=float(u_yaw),
            rubber=Point(*map(float, rubber)),
            is_solved=True,
        )
    except InputValueError:
        return None


def _lean_deg(camera: PinholeCamera, plane: str) -> float:
    """Return how a vertical leans in the picture, clockwise positive."""
    foot, top = camera.project(PLUMB_M[plane])
    return float(np.degrees(np.arctan2(top[0] - foot[0], foot[1] - top[1])))


def _depth_m(camera: PinholeCamera, plane: str) -> float:
    """Return how far along the level line of sight the plane is; NaN where it never meets it."""
    axis = NORMAL[plane]
    sight = camera.axes[2, :2] / np.hypot(*camera.axes[2, :2])
    if abs(sight[axis]) < ALONG:
        return float("nan")
    return float(-camera.position_m[axis] / sight[axis])
