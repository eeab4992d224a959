"""A camera stood by its view."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.errors import InputValueError
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.views import square_azimuth_deg, view

Array = NDArray[np.float64]


def camera_for_view(
    view_key: str,
    hand: Hand,
    *,
    distance_m: float,
    height_m: float = 1.1,
    yaw_deg: float = 0.0,
    target_m: tuple[float, float] = (0.9, 0.0),
    focal_px: float = 2000.0,
    size_px: tuple[int, int] = (1280, 720),
) -> PinholeCamera:
    """Stand a level camera by its view.

    Parameters
    ----------
    view_key : str
        ``open-side``, ``closed-side``, ``rear``, ``front`` or ``top``.
    hand : {"left", "right"}
    distance_m : float, m
        Level distance from the target; above the rubber's level for the top view.
    height_m : float, m
        Above the rubber's level; not used by the top view.
    yaw_deg : float, deg
        Turn of the line of sight from square, anticlockwise seen from above positive. The camera
        moves round the target, which stays in the middle of the picture.
    target_m : tuple of float, m
        X and Y of the point that the camera faces.
    focal_px : float, px
    size_px : tuple of int, px

    Returns
    -------
    PinholeCamera

    Raises
    ------
    NotFoundError
        No such view.
    InputValueError
        Distance or focal length not positive.
    """
    view(view_key)
    if distance_m <= 0.0 or focal_px <= 0.0:
        raise InputValueError(
            "distance and focal length must be positive",
            where="camera of the figure",
            remedy="give the distance in metres and the focal length in pixels",
        )
    x, y = target_m
    axes = _axes(view_key, hand, yaw_deg)
    position = np.array([x, y, 0.0]) - distance_m * axes[2]
    if view_key != "top":
        position[2] = height_m
    return PinholeCamera(position_m=position, axes=axes, focal_px=focal_px, size_px=size_px)


def _axes(view_key: str, hand: Hand, yaw_deg: float) -> Array:
    """Turn a level camera, or one that looks straight down, by its view."""
    if view_key == "top":
        turn = np.radians(yaw_deg)
        right = np.array([np.cos(turn), np.sin(turn), 0.0])
        sight = np.array([0.0, 0.0, -1.0])
    else:
        turn = np.radians(square_azimuth_deg(view_key, hand) + yaw_deg)
        sight = np.array([np.cos(turn), np.sin(turn), 0.0])
        right = np.array([np.sin(turn), -np.cos(turn), 0.0])
    return np.stack([right, np.cross(sight, right), sight])
