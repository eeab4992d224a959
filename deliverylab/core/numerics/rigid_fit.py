"""The turn and shift that bring one set of points onto another.

References
----------
.. [1] Kabsch W (1976). Acta Crystallogr A 32:922-923.
.. [2] Söderkvist I, Wedin PÅ (1993). J Biomech 26:1473-1477.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError

FloatArray = NDArray[np.float64]
N_NEEDED = 3
LINE = 1e-9
"""Second singular value over the first below which points lie on one line, or in one place."""


@dataclass(frozen=True)
class RigidFit:
    """B ≈ rotation · A + shift.

    Attributes
    ----------
    rotation : ndarray, shape (3, 3)
        Determinant 1, also where a mirror would fit better.
    shift : ndarray, shape (3,)
    rms : float
        Root mean square distance that is left, in the unit of the points.
    """

    rotation: FloatArray
    shift: FloatArray
    rms: float


def fit_rigid(a: FloatArray, b: FloatArray) -> RigidFit:
    """Turn and shift points onto others by least squares.

    Parameters
    ----------
    a, b : ndarray, shape (n, 3)
        The same points in both; rows with a NaN in either are left out.

    Raises
    ------
    InputValueError
        Fewer than three points, or all on one line: the turn about it is free.
    """
    known = np.isfinite(a).all(axis=1) & np.isfinite(b).all(axis=1)
    a, b = a[known], b[known]
    if len(a) >= N_NEEDED:
        mid_a, mid_b = a.mean(axis=0), b.mean(axis=0)
        left, sizes, right = np.linalg.svd((b - mid_b).T @ (a - mid_a))
        if sizes[1] > LINE * max(sizes[0], np.finfo(float).tiny):
            # the last direction is turned round rather than mirrored
            sign = np.sign(np.linalg.det(left @ right))
            rotation = left @ np.diag([1.0, 1.0, sign]) @ right
            shift = mid_b - rotation @ mid_a
            rest = b - a @ rotation.T - shift
            return RigidFit(rotation, shift, float(np.sqrt(np.mean(np.sum(rest**2, axis=1)))))
    raise InputValueError(
        "a turn needs three points that do not lie on one line",
        where=f"{len(a)} points",
        remedy="add a point beside the line",
    )
