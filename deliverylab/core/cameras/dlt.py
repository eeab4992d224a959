"""Direct linear transformation: a camera as eleven coefficients, from points of known place.

It needs six points that do not lie in one plane, knows nothing of what cameras can be, and weighs no
clicks: a start and an outside check for the solve, not the solve.

References
----------
.. [1] Abdel-Aziz YI, Karara HM (1971). Proc ASP/UI Symposium on Close-Range Photogrammetry, 1-18.
.. [2] Hartley R, Zisserman A (2004). Multiple View Geometry, 2nd ed, 4.4 (normalising), 7.1, 12.2.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError

Array = NDArray[np.float64]

N_NEEDED = 6
FLAT = 1e-6
"""The second smallest singular value over the largest below which points give no camera."""


def fit_dlt(points: Array, places_px: Array) -> Array:
    """Find the eleven coefficients.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Places, any unit of length.
    places_px : ndarray, shape (n, 2), px

    Returns
    -------
    ndarray, shape (11,)
        L1 to L11 in the order of [1]_.

    Raises
    ------
    InputValueError
        Fewer than six points, or all in one plane.
    """
    if len(points) < N_NEEDED:
        raise InputValueError(
            "a camera by coefficients needs six points",
            where=f"{len(points)} points",
            remedy="add points of known place, not all in one plane",
        )
    to_unit, from_px = normaliser(points), normaliser(places_px)
    x = _with_one(points) @ to_unit.T
    u = _with_one(places_px) @ from_px.T
    zero = np.zeros_like(x)
    rows = np.concatenate(
        [
            np.concatenate([x, zero, -u[:, :1] * x], axis=1),
            np.concatenate([zero, x, -u[:, 1:2] * x], axis=1),
        ]
    )
    _, sizes, vectors = np.linalg.svd(rows)
    if sizes[-2] < FLAT * sizes[0]:
        raise InputValueError(
            "these points give no camera by coefficients",
            remedy="add a point outside the plane of the others",
        )
    matrix = np.linalg.solve(from_px, vectors[-1].reshape(3, 4) @ to_unit)
    out: Array = (matrix / matrix[2, 3]).ravel()[:11]
    return out


def project_dlt(coefficients: Array, points: Array) -> Array:
    """Place points, shape (n, 3), in the picture of these coefficients, shape (n, 2), px."""
    seen = _with_one(points) @ np.append(coefficients, 1.0).reshape(3, 4).T
    out: Array = seen[:, :2] / seen[:, 2:]
    return out


def intersect_dlt(coefficients: Array, places_px: Array) -> Array:
    """Find one point from its places in two pictures or more.

    Parameters
    ----------
    coefficients : ndarray, shape (n_views, 11)
    places_px : ndarray, shape (n_views, 2), px

    Returns
    -------
    ndarray, shape (3,)
        In the unit of the points that gave the coefficients; unweighted least squares.
    """
    matrices = np.concatenate([coefficients, np.ones((len(coefficients), 1))], axis=1)
    top, bottom = matrices.reshape(-1, 3, 4)[:, :2], matrices.reshape(-1, 3, 4)[:, 2:]
    rows = (top - places_px[..., None] * bottom).reshape(-1, 4)
    out: Array = np.linalg.lstsq(rows[:, :3], -rows[:, 3])[0]
    return out


def normaliser(points: Array) -> Array:
    """Return the matrix that moves points to their centroid, √dimension away on average [2]_."""
    n_axes = points.shape[1]
    middle = points.mean(axis=0)
    scale = np.sqrt(n_axes) / np.mean(np.linalg.norm(points - middle, axis=1))
    matrix = np.diag(np.append(np.full(n_axes, scale), 1.0))
    matrix[:n_axes, n_axes] = -scale * middle
    return matrix


def _with_one(points: Array) -> Array:
    return np.concatenate([points, np.ones((len(points), 1))], axis=1)
