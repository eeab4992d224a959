"""A camera by central perspective: the field in the picture, and lines of sight back.

Seven numbers place a camera: azimuth, pitch and roll (rad), its place (m), and the logarithm of its
focal length.  They are what a calibration finds, with one covariance (`N_PARAMETERS`, in this order).
The line of sight meets the picture in its middle; one radial term can be given, and is not solved for.

References
----------
.. [1] Hartley R, Zisserman A (2004). Multiple View Geometry in Computer Vision, 2nd ed, ch. 6 and 7.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from deliverylab.core.numerics.angles import cross_product, wrapped_deg
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.views import square_azimuth_deg

Array = NDArray[np.float64]

N_PARAMETERS = 7
AZIMUTH, PITCH, ROLL, PLACE, LOG_FOCAL = 0, 1, 2, slice(3, 6), 6
NEAREST_M = 1e-6
N_RADIAL_ROUNDS = 20
"""Rounds of undoing the radial term; each takes it nearer by its own size (phones: below 0.1)."""


@dataclass(frozen=True, kw_only=True)
class PinholeCamera:
    """Project by central perspective.

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
    radial : float
        k of r(1 + k r²), r in focal lengths from the middle; 0 without distortion.
    """

    position_m: Array
    axes: Array
    focal_px: float
    size_px: tuple[int, int]
    radial: float = 0.0

    @property
    def centre_px(self) -> Array:
        """Where the line of sight meets the picture, shape (2,), px."""
        return 0.5 * (np.array(self.size_px, dtype=float) - 1.0)

    @property
    def parameters(self) -> Array:
        """The seven numbers of its place, turn and focal length, shape (7,)."""
        sight, right, down = self.axes[2], self.axes[0], self.axes[1]
        azimuth = np.arctan2(sight[1], sight[0])
        pitch = np.arctan2(sight[2], np.hypot(sight[0], sight[1]))
        level = np.array([np.sin(azimuth), -np.cos(azimuth), 0.0])
        roll = np.arctan2(-down @ level, right @ level)
        return np.array([azimuth, pitch, roll, *self.position_m, np.log(self.focal_px)])

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
        depth = np.where(inside[..., 2:] > NEAREST_M, inside[..., 2:], np.nan)
        slopes = inside[..., :2] / depth
        if self.radial:
            slopes = slopes * (1.0 + self.radial * np.sum(slopes**2, axis=-1, keepdims=True))
        out: Array = self.centre_px + self.focal_px * slopes
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
        places = np.stack([np.asarray(x_px, dtype=float), np.asarray(y_px, dtype=float)], axis=-1)
        slopes = straight_slopes((places - self.centre_px) / self.focal_px, self.radial)
        out: Array = slopes @ self.axes[:2] + self.axes[2]
        return out


def straight_slopes(slopes: Array, radial: float) -> Array:
    """Undo the radial term: slopes as seen, shape (..., 2), to slopes of straight rays."""
    straight = slopes
    for _ in range(N_RADIAL_ROUNDS if radial else 0):
        straight = slopes / (1.0 + radial * np.sum(straight**2, axis=-1, keepdims=True))
    return straight


def axes_of(azimuth: ArrayLike, pitch: ArrayLike, roll: ArrayLike) -> Array:
    """Return a camera's axes, shape (..., 3, 3), from its turns.

    Parameters
    ----------
    azimuth : array_like, rad
        Of the line of sight about the vertical, 0 to the plate, anticlockwise from above.
    pitch : array_like, rad
        Of the line of sight above level.
    roll : array_like, rad
        Of the camera about its line of sight, clockwise as the photographer sees it: the picture's
        right side goes down.
    """
    a, p, r = (
        np.asarray(azimuth, dtype=float),
        np.asarray(pitch, dtype=float),
        np.asarray(roll, dtype=float),
    )
    sight = np.stack([np.cos(p) * np.cos(a), np.cos(p) * np.sin(a), np.sin(p)], axis=-1)
    level = np.stack([np.sin(a), -np.cos(a), np.zeros_like(a)], axis=-1)
    under = cross_product(sight, level)
    cos, sin = np.cos(r)[..., None], np.sin(r)[..., None]
    return np.stack([cos * level + sin * under, cos * under - sin * level, sight], axis=-2)


def camera_from(parameters: Array, size_px: tuple[int, int], radial: float = 0.0) -> PinholeCamera:
    """Return the camera of seven numbers, shape (7,)."""
    return PinholeCamera(
        position_m=np.array(parameters[PLACE]),
        axes=axes_of(parameters[AZIMUTH], parameters[PITCH], parameters[ROLL]),
        focal_px=float(np.exp(parameters[LOG_FOCAL])),
        size_px=size_px,
        radial=radial,
    )


def projection_jacobian(camera: PinholeCamera, points_m: Array) -> tuple[Array, Array, Array]:
    """Project points, with the slopes of where they fall.

    Parameters
    ----------
    camera : PinholeCamera
    points_m : ndarray, shape (..., 3), m

    Returns
    -------
    places_px : ndarray, shape (..., 2)
    by_camera : ndarray, shape (..., 2, 7)
        Change for each of the camera's seven numbers.
    by_point : ndarray, shape (..., 2, 3), px/m
        Change for each coordinate of the point.
    """
    places, by_inside, by_point = _by_point(camera, points_m)
    turns = np.einsum("kij,...j->k...i", _axes_slopes(camera), points_m - camera.position_m)
    by_camera = np.empty((*places.shape, N_PARAMETERS))
    for row in (AZIMUTH, PITCH, ROLL):
        by_camera[..., row] = (by_inside @ turns[row][..., None])[..., 0]
    by_camera[..., PLACE] = -by_point
    by_camera[..., LOG_FOCAL] = places - camera.centre_px
    return places, by_camera, by_point


def point_jacobian(camera: PinholeCamera, points_m: Array) -> tuple[Array, Array]:
    """Project points, with the slopes by each coordinate of the point: two of the three above."""
    places, _, by_point = _by_point(camera, points_m)
    return places, by_point


def _by_point(camera: PinholeCamera, points_m: Array) -> tuple[Array, Array, Array]:
    """Return places, their slopes by the point in the camera's own axes, and in the field's."""
    inside = (points_m - camera.position_m) @ camera.axes.T
    depth = np.where(inside[..., 2] > NEAREST_M, inside[..., 2], np.nan)
    slopes = inside[..., :2] / depth[..., None]
    bend = 1.0 + camera.radial * np.sum(slopes**2, axis=-1)
    places = camera.centre_px + camera.focal_px * slopes * bend[..., None]
    by_slope = camera.focal_px * (
        bend[..., None, None] * np.eye(2)
        + 2.0 * camera.radial * slopes[..., :, None] * slopes[..., None, :]
    )
    one = np.broadcast_to(np.eye(2), (*slopes.shape[:-1], 2, 2))
    by_inside = by_slope @ (
        np.concatenate([one, -slopes[..., :, None]], axis=-1) / depth[..., None, None]
    )
    return places, by_inside, by_inside @ camera.axes


def _axes_slopes(camera: PinholeCamera) -> Array:
    """Return the change of the axes by azimuth, pitch and roll, shape (3, 3, 3)."""
    right, down, sight = camera.axes
    roll = camera.parameters[ROLL]
    up = np.broadcast_to([0.0, 0.0, 1.0], (3, 3))
    by_azimuth = cross_product(up, camera.axes)
    under = np.sin(roll) * right + np.cos(roll) * down
    by_pitch = np.stack([np.sin(roll) * sight, np.cos(roll) * sight, -under])
    by_roll = np.stack([down, -right, np.zeros(3)])
    return np.stack([by_azimuth, by_pitch, by_roll])


@dataclass(frozen=True, kw_only=True)
class CameraFacts:
    """Where a camera stood, as a person says it.

    Attributes
    ----------
    distance_m : float
        Level distance from where the figure throws.
    height_m : float
        Of the lens above the rubber.
    yaw_deg : float
        Turn of the line of sight from the stated view, anticlockwise from above positive.
    pitch_deg, roll_deg : float
        Upward tilt, and clockwise roll as the photographer sees it.
    focal_px : float
    """

    distance_m: float
    height_m: float
    yaw_deg: float
    pitch_deg: float
    roll_deg: float
    focal_px: float


def camera_facts(
    camera: PinholeCamera, view_key: str, hand: Hand, target_m: tuple[float, float]
) -> CameraFacts:
    """Say where a camera stood against the view it was meant to show.

    Parameters
    ----------
    camera : PinholeCamera
    view_key : str
        Any view but from the top.
    hand : {"left", "right"}
    target_m : tuple of float, m
        X and Y of the place whose distance counts.
    """
    azimuth, pitch, roll = np.degrees(camera.parameters[:3])
    square_deg = square_azimuth_deg(view_key, hand)
    return CameraFacts(
        distance_m=float(np.hypot(*(camera.position_m[:2] - target_m))),
        height_m=float(camera.position_m[2]),
        yaw_deg=float(wrapped_deg(np.array(azimuth - square_deg), -180.0)),
        pitch_deg=float(pitch),
        roll_deg=float(roll),
        focal_px=camera.focal_px,
    )
