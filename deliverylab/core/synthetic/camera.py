"""A simple camera of known place: where each point of the field falls in the picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from deliverylab.core.errors import InputValueError
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.views import view

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class PinholeCamera:
    """Project by central perspective, without distortion.

    Attributes
    ----------
    position_m : Array, shape (3,), m
        Centre of projection in the field frame.
    axes : Array, shape (3, 3)
        Rows: to the picture's right, down, and along the line of sight, in the field frame.
    focal_px : float, px
    size_px : tuple of int, px
        Width and height. The line of sight meets the picture in its middle,
        ((width - 1) / 2, (height - 1) / 2), as pixel centres are at integers.
    """

    position_m: Array
    axes: Array
    focal_px: float
    size_px: tuple[int, int]

    @property
    def centre_px(self) -> Array:
        """Where the line of sight meets the picture, shape (2,), px."""
        return 0.5 * (np.array(self.size_px, dtype=float) - 1.0)

    def to_camera(self, points_m: ArrayLike) -> Array:
        """Turn points into the camera's frame.

        Parameters
        ----------
        points_m : array_like, shape (..., 3), m

        Returns
        -------
        Array, shape (..., 3), m
            To the right, down, and the depth along the line of sight.
        """
        out: Array = (np.asarray(points_m, dtype=float) - self.position_m) @ self.axes.T
        return out

    def project(self, points_m: ArrayLike) -> Array:
        """Place points of the field in the picture.

        Parameters
        ----------
        points_m : array_like, shape (..., 3), m

        Returns
        -------
        Array, shape (..., 2), px
            x right, y down, pixel centres at integers. NaN for NaN and behind the camera.
        """
        inside = self.to_camera(points_m)
        depth = np.where(inside[..., 2:] > 1e-6, inside[..., 2:], np.nan)
        out: Array = self.centre_px + self.focal_px * inside[..., :2] / depth
        return out

    def rays(self, x_px: ArrayLike, y_px: ArrayLike) -> Array:
        """Give the direction of sight through points of the picture.

        Parameters
        ----------
        x_px, y_px : array_like, px
            Of one shape.

        Returns
        -------
        Array, shape (..., 3)
            In the field frame, of depth 1 m along the line of sight (not unit length).
        """
        centre = self.centre_px
        right = (np.asarray(x_px, dtype=float) - centre[0]) / self.focal_px
        down = (np.asarray(y_px, dtype=float) - centre[1]) / self.focal_px
        out: Array = right[..., None] * self.axes[0] + down[..., None] * self.axes[1] + self.axes[2]
        return out


# Line of sight of a square camera about the vertical, 0 = toward the plate, anticlockwise seen
# from above; a right-hander's, the side views turn round for a left-hander.
_SIGHT_DEG = {"open-side": 90.0, "closed-side": -90.0, "rear": 0.0, "front": 180.0}


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
        square = _SIGHT_DEG[view_key]
        if hand == "left" and view_key in {"open-side", "closed-side"}:
            square = -square
        turn = np.radians(square + yaw_deg)
        sight = np.array([np.cos(turn), np.sin(turn), 0.0])
        right = np.array([np.sin(turn), -np.cos(turn), 0.0])
    return np.stack([right, np.cross(sight, right), sight])
