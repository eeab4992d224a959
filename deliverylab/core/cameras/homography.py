"""A plane seen by a camera: the map between places on it and places in the picture.

References
----------
.. [1] Hartley R, Zisserman A (2004). Multiple View Geometry, 2nd ed, algorithm 4.2 (normalised DLT).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.dlt import FLAT, normaliser
from deliverylab.core.errors import InputValueError

Array = NDArray[np.float64]

N_NEEDED = 4


def fit_homography(plane: Array, picture: Array) -> Array:
    """Find the map from a plane to its picture.

    Parameters
    ----------
    plane, picture : ndarray, shape (n, 2)
        At least four points, no three of four on a line.

    Returns
    -------
    ndarray, shape (3, 3)
        Lower right element 1.

    Raises
    ------
    InputValueError
        Fewer than four points, or too many of them on one line.
    """
    if len(plane) < N_NEEDED:
        raise InputValueError(
            "a plane needs four points", where=f"{len(plane)} points", remedy="add a point"
        )
    from_plane, from_picture = normaliser(plane), normaliser(picture)
    one = np.ones((len(plane), 1))
    x = np.concatenate([plane, one], axis=1) @ from_plane.T
    u = np.concatenate([picture, one], axis=1) @ from_picture.T
    zero = np.zeros_like(x)
    rows = np.concatenate(
        [
            np.concatenate([x, zero, -u[:, :1] * x], axis=1),
            np.concatenate([zero, x, -u[:, 1:2] * x], axis=1),
        ]
    )
    _, sizes, vectors = np.linalg.svd(rows)
    if sizes[7] < FLAT * sizes[0]:
        raise InputValueError(
            "three of these points lie on one line", remedy="choose a point beside that line"
        )
    matrix = np.linalg.solve(from_picture, vectors[-1].reshape(3, 3) @ from_plane)
    out: Array = matrix / matrix[2, 2]
    return out


def map_plane(homography: Array, points: Array) -> Array:
    """Map points, shape (n, 2), by a homography or its inverse."""
    seen = np.concatenate([points, np.ones((len(points), 1))], axis=1) @ homography.T
    out: Array = seen[:, :2] / seen[:, 2:]
    return out
