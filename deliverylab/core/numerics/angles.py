"""Angles between points and lines, stable at 0° and 180°.

All functions take arrays with any leading shape and return NaN where an input is NaN or two points
coincide.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


def included_angle_deg(a: FloatArray, b: FloatArray, c: FloatArray) -> FloatArray:
    """Return the angle at `b` between the directions to `a` and `c`.

    Parameters
    ----------
    a, b, c : ndarray, shape (..., 2) or (..., 3)
        Points, any one unit of length.

    Returns
    -------
    ndarray, shape (...), degrees
        0 to 180; NaN where a side has no length.

    Notes
    -----
    θ = atan2(|u × v|, u · v), accurate also near 0° and 180° where an arc cosine is not.

    Examples
    --------
    >>> float(included_angle_deg(np.array([0.0, 1.0]), np.zeros(2), np.array([1.0, 0.0])))
    90.0
    """
    return angle_between_deg(a - b, c - b)


def flexion_deg(proximal: FloatArray, joint: FloatArray, distal: FloatArray) -> FloatArray:
    """Return joint flexion, 0 = straight: 180° less the included angle.

    Parameters
    ----------
    proximal, joint, distal : ndarray, shape (..., 2) or (..., 3)
        Joint centres above, at and below the joint.

    Returns
    -------
    ndarray, shape (...), degrees
        NaN where an input is missing.
    """
    return 180.0 - included_angle_deg(proximal, joint, distal)


def angle_between_deg(u: FloatArray, v: FloatArray) -> FloatArray:
    """Return the angle between two directions, shape (...), degrees, 0 to 180.

    Parameters
    ----------
    u, v : ndarray, shape (..., 2) or (..., 3)
        Directions; NaN is returned where one has no length.
    """
    # Component by component: several times faster on small batches than sums along an axis.
    ux, uy, vx, vy = u[..., 0], u[..., 1], v[..., 0], v[..., 1]
    dot, cross = ux * vx + uy * vy, np.abs(ux * vy - uy * vx)
    if u.shape[-1] == 3:
        uz, vz = u[..., 2], v[..., 2]
        dot = dot + uz * vz
        cross = np.sqrt((uy * vz - uz * vy) ** 2 + (uz * vx - ux * vz) ** 2 + cross**2)
    angle = np.degrees(np.arctan2(cross, dot))
    return np.where((cross == 0.0) & (dot == 0.0), np.nan, angle)


def cross_product(u: FloatArray, v: FloatArray) -> FloatArray:
    """Return u × v, shape (..., 3); several times faster on small batches than `numpy.cross`."""
    ux, uy, uz = u[..., 0], u[..., 1], u[..., 2]
    vx, vy, vz = v[..., 0], v[..., 1], v[..., 2]
    return np.stack((uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx), axis=-1)


def lean_deg(along: FloatArray, up: FloatArray) -> FloatArray:
    """Return the lean of a direction from the vertical, degrees, −180 to 180.

    Parameters
    ----------
    along, up : ndarray, shape (...)
        Horizontal and upward component; positive lean is toward positive `along`.
    """
    return np.degrees(np.arctan2(along, up))


def wrapped_deg(angle_deg: FloatArray, low_deg: float) -> FloatArray:
    """Return an angle brought into one turn from `low_deg`."""
    wrapped: FloatArray = (angle_deg - low_deg) % 360.0 + low_deg
    return wrapped
