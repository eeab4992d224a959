"""A homography that most points agree on, with the covariance of its entries.

References
----------
.. [1] Hartley R, Zisserman A (2004). Multiple View Geometry in Computer Vision, 2nd ed., ch. 5
   (covariance of a homography; cited from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
FEWEST_CORNERS = 20
"""Fewer points that agree tell nothing: the background is too faint."""
_RANSAC_PX = 1.5


@dataclass(frozen=True)
class HomographyFit:
    """A homography and what it comes from.

    Attributes
    ----------
    matrix : ndarray, shape (3, 3)
        Last entry 1.
    covariance : ndarray, shape (8, 8)
        Of the first eight entries, row by row.
    scatter_px : float
        Of one coordinate of one point about it.
    n_corners : int
        How many points agreed.
    """

    matrix: FloatArray
    covariance: FloatArray
    scatter_px: float = 0.0
    n_corners: int = 0


def fitted(at_px: FloatArray, goal_px: FloatArray) -> HomographyFit | None:
    """Return the homography that most points agree on, with its covariance."""
    found: tuple[NDArray[Any] | None, NDArray[Any]] = cv2.findHomography(
        at_px, goal_px, cv2.RANSAC, _RANSAC_PX
    )
    rough, is_in = found
    if rough is None or is_in.sum() < FEWEST_CORNERS:
        return None
    agrees = is_in.ravel() == 1
    # what moves slowly before the background is within the wide limit, and far outside the scatter
    off_px = np.linalg.norm(mapped(rough.astype(np.float64), at_px)[0] - goal_px, axis=1)
    agrees &= off_px < max(3.5 * float(np.median(off_px[agrees])), 0.05)
    if agrees.sum() < FEWEST_CORNERS:
        return None
    fine: NDArray[Any] | None = cv2.findHomography(at_px[agrees], goal_px[agrees], 0)[0]
    if fine is None:
        return None
    matrix = fine.astype(np.float64)
    carried, by_entry = mapped(matrix, at_px[agrees])
    rows = by_entry.reshape(-1, 8)
    n_free = len(rows) - 8
    scatter_px = float(np.sqrt(np.sum((carried - goal_px[agrees]) ** 2) / n_free))
    # entries differ by 1e6 in size: the columns are brought to one length before they are inverted
    lengths = np.linalg.norm(rows, axis=0)
    inverse = np.linalg.pinv(rows / lengths)
    covariance = scatter_px**2 * (inverse @ inverse.T) / np.outer(lengths, lengths)
    return HomographyFit(matrix, covariance, scatter_px, int(agrees.sum()))


def mapped(matrix: FloatArray, xy_px: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Map points, and return the derivatives by the first eight entries, shape (m, 2, 8)."""
    ones = np.column_stack((xy_px, np.ones(len(xy_px))))
    mapped = ones @ matrix.T
    depth = mapped[:, 2:]
    to_px = mapped[:, :2] / depth
    by_entry = np.zeros((len(xy_px), 2, 8))
    by_entry[:, 0, 0:3] = by_entry[:, 1, 3:6] = ones / depth
    by_entry[:, :, 6:8] = -to_px[:, :, None] * (xy_px / depth)[:, None, :]
    return to_px, by_entry


def in_turn(first: HomographyFit, second: HomographyFit) -> HomographyFit:
    """Return the first homography and then the second as one, with the covariance of both."""
    product = second.matrix @ first.matrix
    matrix = product / product[2, 2]
    # of nine entries, to eight that are divided by the ninth
    scaled = (np.eye(9) - np.outer(matrix.ravel(), np.eye(9)[8])) / product[2, 2]
    by_first = (scaled @ np.kron(second.matrix, np.eye(3)))[:8, :8]
    by_second = (scaled @ np.kron(np.eye(3), first.matrix.T))[:8, :8]
    covariance = (
        by_first @ first.covariance @ by_first.T + by_second @ second.covariance @ by_second.T
    )
    return HomographyFit(matrix, covariance, first.scatter_px, first.n_corners)
