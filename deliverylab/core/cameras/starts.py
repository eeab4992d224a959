"""Where a camera may have stood, before the solve: from its part in the set-up, or from points alone.

References
----------
.. [1] Terzakis G, Lourakis M (2020). ECCV 2020, 478-494 (perspective-n-point as a quadratic program;
   OpenCV's implementation is used).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.cameras.pinhole import PinholeCamera, axes_of
from deliverylab.core.errors import InputValueError

Array = NDArray[np.float64]

N_FOR_POINTS_ALONE = 6
FOCAL_GRID = (0.75, 0.87, 1.0, 1.15, 1.33)
"""Shares of the stated focal length that are tried where points alone give the start."""
U_CLICK_M, U_DISTANCE_SHARE = 0.01, 0.2
"""How a start weighs clicked points against the distance that the body's size gives."""
BODY_MIDDLE_M = np.array([0.3, 0.0, 0.9])


def nominal_camera(
    set_up: CameraSetUp, places_m: Mapping[str, Array], distance_m: float | None = None
) -> PinholeCamera:
    """Stand a camera by its part: turned and levelled as meant, its place from what was clicked.

    Parameters
    ----------
    set_up : CameraSetUp
    places_m : mapping of str to ndarray, shape (3,)
        Places of control points; those that were not clicked are not used.
    distance_m : float, optional
        From the middle of the body, where its size in the picture tells it.

    Raises
    ------
    InputValueError
        No point of known place was clicked, or one alone without a distance.
    """
    axes = axes_of(*np.radians([set_up.azimuth_deg, set_up.pitch_deg, set_up.roll_deg]))
    camera = PinholeCamera(
        position_m=np.zeros(3),
        axes=axes,
        focal_px=set_up.focal_px,
        size_px=set_up.size_px,
        radial=set_up.radial,
    )
    keys = [key for key in set_up.clicks_px if key in places_m]
    if len(keys) + (distance_m is not None) < 2:
        raise InputValueError(
            "too few points of known place are clicked to tell where the camera stood",
            where=set_up.name,
            remedy="click the four corners of the rubber",
        )
    clicks = np.array([set_up.clicks_px[key] for key in keys]).reshape(-1, 2)
    rays = camera.rays(clicks[:, 0], clicks[:, 1])
    rays = rays / np.linalg.norm(rays, axis=1, keepdims=True)
    # a line of sight through a point: nothing is left across it
    across = (np.eye(3) - rays[:, :, None] * rays[:, None, :]) / U_CLICK_M
    points = np.array([places_m[key] for key in keys]).reshape(-1, 3)
    rows = across.reshape(-1, 3)
    values = (across @ points[:, :, None]).ravel()
    if distance_m is not None:
        weight = 1.0 / (U_DISTANCE_SHARE * distance_m)
        rows = np.vstack([rows, weight * axes[2]])
        values = np.append(values, weight * (axes[2] @ BODY_MIDDLE_M - distance_m))
    position = np.linalg.lstsq(rows, values)[0]
    return PinholeCamera(
        position_m=position,
        axes=axes,
        focal_px=set_up.focal_px,
        size_px=set_up.size_px,
        radial=set_up.radial,
    )


def camera_from_points(set_up: CameraSetUp, places_m: Mapping[str, Array]) -> PinholeCamera | None:
    """Stand a camera by points alone, over a grid of focal lengths [1]_.

    Returns
    -------
    PinholeCamera or None
        The one whose points fall nearest to the clicks; None with fewer than six points, or where
        no camera sees them in front of it.
    """
    import cv2  # slow to load: only where a camera is solved

    keys = [key for key in set_up.clicks_px if key in places_m]
    if len(keys) < N_FOR_POINTS_ALONE:
        return None
    points = np.array([places_m[key] for key in keys])
    clicks = np.array([set_up.clicks_px[key] for key in keys])
    best, least = None, np.inf
    for share in FOCAL_GRID:
        focal = share * set_up.focal_px
        centre = 0.5 * (np.array(set_up.size_px) - 1.0)
        matrix = np.array([[focal, 0.0, centre[0]], [0.0, focal, centre[1]], [0.0, 0.0, 1.0]])
        radial = np.array([set_up.radial, 0.0, 0.0, 0.0])
        is_found, turn, shift = cv2.solvePnP(
            points, clicks, matrix, radial, flags=cv2.SOLVEPNP_SQPNP
        )
        if not is_found:
            continue
        axes = np.asarray(cv2.Rodrigues(turn)[0], dtype=np.float64)
        camera = PinholeCamera(
            position_m=-axes.T @ np.asarray(shift, dtype=np.float64).ravel(),
            axes=axes,
            focal_px=focal,
            size_px=set_up.size_px,
            radial=set_up.radial,
        )
        error = float(np.sum((camera.project(points) - clicks) ** 2))
        if error < least:
            best, least = camera, error
    return best
