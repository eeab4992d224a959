"""Lines of sight of two cameras: how far they miss each other, and where they come nearest.

Everything runs over batches: the first axis holds variants of the cameras, so that slopes by all of
their numbers come from one pass.

References
----------
.. [1] Sampson PD (1982). Comput Graph Image Process 18:97-108 (first-order distance).
.. [2] Hartley R, Zisserman A (2004). Multiple View Geometry, 2nd ed, 9.6 and 11.4.3.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.pinhole import (
    AZIMUTH,
    LOG_FOCAL,
    PITCH,
    PLACE,
    ROLL,
    PinholeCamera,
    axes_of,
    straight_slopes,
)
from deliverylab.core.numerics.angles import cross_product

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Sight:
    """Lines of sight of one camera, for a batch of its numbers.

    Attributes
    ----------
    origin_m : ndarray, shape (batch, 3)
    rays : ndarray, shape (batch, n, n_landmarks, 3)
        Of depth 1 m.
    steps : ndarray, shape (batch, 2, 3), 1/px
        Change of a ray for one pixel to the right and down.
    """

    origin_m: Array
    rays: Array
    steps: Array


def lines_of_sight(
    numbers: Array, size_px: tuple[int, int], radial: float, places_px: Array
) -> Sight:
    """Return lines of sight.

    Parameters
    ----------
    numbers : ndarray, shape (batch, 7)
    size_px, radial :
        Of the camera.
    places_px : ndarray, shape (batch or 1, n, n_landmarks, 2)
    """
    axes = axes_of(numbers[:, AZIMUTH], numbers[:, PITCH], numbers[:, ROLL])
    focal = np.exp(numbers[:, LOG_FOCAL])
    centre = 0.5 * (np.array(size_px, dtype=float) - 1.0)
    slopes = straight_slopes((places_px - centre) / focal[:, None, None, None], radial)
    rays = slopes @ axes[:, None, :2] + axes[:, None, None, 2]
    return Sight(numbers[:, PLACE], rays, axes[:, :2] / focal[:, None, None])


def missing_distance(
    a: Sight, b: Sight, u_a: tuple[Array, Array], u_b: tuple[Array, Array]
) -> tuple[Array, Array]:
    """Return by how much two lines of sight miss each other, to first order [1]_.

    Parameters
    ----------
    a, b : Sight
    u_a, u_b : pair of ndarray, each shape (n_landmarks,), px
        Scatter and constant part of the places.

    Returns
    -------
    distance : ndarray, shape (batch, n, n_landmarks)
        In units of the scatter; signed; NaN where a place is missing.
    bias_ratio : ndarray, shape (batch, n, n_landmarks)
        Variance of the constant part over that of the scatter.
    """
    gap, by_a, by_b = _gap(a, b)
    scatter = u_a[0] ** 2 * _square(by_a) + u_b[0] ** 2 * _square(by_b)
    constant = u_a[1] ** 2 * _square(by_a) + u_b[1] ** 2 * _square(by_b)
    return gap / np.sqrt(scatter), constant / scatter


def _gap(a: Sight, b: Sight) -> tuple[Array, Array, Array]:
    """Return the product of three vectors that is 0 where lines meet, and its slopes by places."""
    base = (b.origin_m - a.origin_m)[:, None, None]
    across_b = cross_product(b.rays, base)
    gap = np.einsum("bnli,bnli->bnl", a.rays, across_b)
    by_a = np.einsum("bki,bnli->bnlk", a.steps, across_b)
    by_b = np.einsum("bki,bnli->bnlk", b.steps, cross_product(base, a.rays))
    return gap, by_a, by_b


def shift_slopes(
    a: Sight,
    b: Sight,
    u_a: tuple[Array, Array],
    u_b: tuple[Array, Array],
    by_point: tuple[Array, Array],
) -> Array:
    """Return how the distance grows when a landmark is seen beside the joint, shape (n, n_l, 6).

    Parameters
    ----------
    a, b : Sight
        Of a batch of one.
    u_a, u_b : pair of ndarray
        As in `missing_distance`.
    by_point : pair of ndarray, each shape (n, n_landmarks, 2, 3)
        Change of a place for a shift of the point, relative: about 1 where the shift is across the
        line of sight.

    Returns
    -------
    ndarray
        For a shift of one u of the constant part along X, Y and Z, in one camera and in the other.
    """
    _, by_a, by_b = _gap(a, b)
    scatter = u_a[0] ** 2 * _square(by_a) + u_b[0] ** 2 * _square(by_b)
    sides = [
        np.einsum("nlk,nlki->nli", slope[0], part) * u[1][:, None]
        for slope, part, u in ((by_a, by_point[0], u_a), (by_b, by_point[1], u_b))
    ]
    out: Array = np.concatenate(sides, axis=-1) / np.sqrt(scatter[0])[..., None]
    return out


def shift_whitener(slopes: Array) -> Array:
    """Return what makes residuals of a landmark uncorrelated that share such shifts.

    Parameters
    ----------
    slopes : ndarray, shape (n, n_landmarks, 6)
        0 where a place does not take part.

    Returns
    -------
    ndarray, shape (n_landmarks, n, n)
        Inverse of the lower Cholesky factor of I + S Sᵀ.
    """
    each = np.moveaxis(slopes, 1, 0)
    covariance = np.eye(len(slopes)) + each @ np.swapaxes(each, -1, -2)
    out: Array = np.linalg.inv(np.linalg.cholesky(covariance))
    return out


def nearest_points(a: Sight, b: Sight) -> Array:
    """Return the middle of where two lines of sight come nearest, (batch, n, n_landmarks, 3), m."""
    base = (b.origin_m - a.origin_m)[:, None, None]
    normal = cross_product(a.rays, b.rays)
    size = _square(normal)
    along_a = np.sum(cross_product(base, b.rays) * normal, axis=-1) / size
    along_b = np.sum(cross_product(base, a.rays) * normal, axis=-1) / size
    on_a = a.origin_m[:, None, None] + along_a[..., None] * a.rays
    on_b = b.origin_m[:, None, None] + along_b[..., None] * b.rays
    out: Array = 0.5 * (on_a + on_b)
    return out


def without_constant(distance: Array, bias_ratio: Array, is_used: NDArray[np.bool_]) -> Array:
    """Whiten residuals that share a constant of known variance within each landmark.

    Parameters
    ----------
    distance, bias_ratio : ndarray, shape (batch, n, n_landmarks)
    is_used : ndarray of bool, shape (n, n_landmarks)

    Returns
    -------
    ndarray, shape (batch, n, n_landmarks)
        Uncorrelated, of variance 1; 0 where not used.

    Notes
    -----
    The inverse root of I + κ²11ᵀ over n residuals takes 1 − 1/√(1 + nκ²) of their mean away.
    """
    used = np.where(is_used, distance, 0.0)
    n = np.maximum(is_used.sum(axis=0), 1)
    mean = used.sum(axis=1) / n
    ratio = np.where(is_used, bias_ratio, 0.0).sum(axis=1) / n
    share = 1.0 - 1.0 / np.sqrt(1.0 + n * ratio)
    out: Array = np.where(is_used, used - (share * mean)[:, None], 0.0)
    return out


def _square(vectors: Array) -> Array:
    out: Array = np.einsum("...i,...i->...", vectors, vectors)
    return out


def line_in_other_view(
    first: PinholeCamera, other: PinholeCamera, place_px: Array, depths_m: tuple[float, float]
) -> Array:
    """Draw where in another picture a point must lie that one picture shows.

    Parameters
    ----------
    first, other : PinholeCamera
        Where the point was placed, and where it is looked for.
    place_px : ndarray, shape (2,), px
    depths_m : pair of float, m
        Nearest and farthest depth from the first camera that come into question.

    Returns
    -------
    ndarray, shape (2, 2), px
        Ends of the line; NaN where an end lies behind the other camera.
    """
    ray = first.rays(place_px[0], place_px[1])
    ends = first.position_m + np.array(depths_m)[:, None] * ray
    return other.project(ends)
