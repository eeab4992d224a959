"""Points in space from two views or more, with what they owe to placing, cameras and clocks.

References
----------
.. [1] Hartley R, Zisserman A (2004). Multiple View Geometry, 2nd ed, ch. 12.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras import pinhole
from deliverylab.core.cameras.body_tracks import SmoothTracks
from deliverylab.core.cameras.joint_solve import Solution
from deliverylab.core.cameras.pinhole import N_PARAMETERS, PinholeCamera

Array = NDArray[np.float64]

N_ROUNDS = 4
SETTLED_M = 1e-6  # a round that moves no point farther is the last
MOST_GROWTH = 9.0
"""A view is not left out if that makes the variance of the place grow by more than this."""
SUSPECT = {1: 10.83, 3: 16.27, 5: 20.52, 7: 24.32}
"""Sum of squares by degrees of freedom that chance passes once in a thousand (chi-square)."""


@dataclass(frozen=True, kw_only=True)
class SpacePoints:
    """Points in the field frame; leading shape (...) is that of what was asked.

    Attributes
    ----------
    points_m : Array, shape (..., 3), m
        NaN where fewer than two views see a point.
    covariance_m2 : Array, shape (..., 3, 3), m²
        By placing alone.
    by_calibration : Array, shape (..., 3, n)
        Slopes by the calibration vector: seven numbers a camera, then the offsets where clocks
        were given.
    residuals_px : Array, shape (n_views, ..., 2), px
        Placed less projected; NaN where a view has nothing.
    is_used : ndarray of bool, shape (n_views, ...)
        False also where one view of three or more was left out as wrong.
    chi_square : Array, shape (...)
        Squared residuals in units of u, of the views that are used.
    misfit : Array, shape (...)
        The same of all views, also of one that was left out.
    """

    points_m: Array
    covariance_m2: Array
    by_calibration: Array
    residuals_px: Array
    is_used: NDArray[np.bool_]
    chi_square: Array
    misfit: Array

    @property
    def is_suspect(self) -> NDArray[np.bool_]:
        """Whether the views of a point contradict each other beyond chance (1 in 1000)."""
        limits = _limits(self.is_used.sum(axis=0))
        return np.nan_to_num(self.chi_square) > limits

    def as_one_set(self) -> SpacePoints:
        """Return all points in one row, for a quantity that takes several instants together."""
        n_views = len(self.is_used)
        return SpacePoints(
            points_m=self.points_m.reshape(-1, 3),
            covariance_m2=self.covariance_m2.reshape(-1, 3, 3),
            by_calibration=self.by_calibration.reshape(-1, 3, self.by_calibration.shape[-1]),
            residuals_px=self.residuals_px.reshape(n_views, -1, 2),
            is_used=self.is_used.reshape(n_views, -1),
            chi_square=self.chi_square.ravel(),
            misfit=self.misfit.ravel(),
        )

    def total_covariance_m2(self, calibration_covariance: Array) -> Array:
        """Return the covariance by placing, cameras and clocks, shape (..., 3, 3), m²."""
        slopes = self.by_calibration
        out: Array = self.covariance_m2 + slopes @ calibration_covariance @ np.swapaxes(
            slopes, -1, -2
        )
        return out

    def variance_of(self, gradient: Array, calibration_covariance: Array) -> Array:
        """Return the variance of a quantity measured from several of the points.

        Parameters
        ----------
        gradient : ndarray, shape (..., n_points, 3)
            Change of the quantity for each coordinate of each point, 0 where it is not used.
        calibration_covariance : ndarray, shape (n, n)

        Returns
        -------
        ndarray, shape (...)
            Placing adds up point by point; cameras and clocks move all points together.
        """
        used = gradient[..., None, :] != 0.0
        placing = np.einsum(
            "...pi,...pij,...pj->...", gradient, np.where(used, self.covariance_m2, 0.0), gradient
        )
        slopes = np.where(np.swapaxes(used, -1, -2), self.by_calibration, 0.0)
        together = np.einsum("...pi,...pic->...c", gradient, slopes)
        out: Array = placing + np.einsum(
            "...c,cd,...d->...", together, calibration_covariance, together
        )
        return out


def triangulate(
    cameras: tuple[PinholeCamera, ...],
    places_px: Array,
    u_px: Array,
    speeds_px_s: Array | None = None,
) -> SpacePoints:
    """Find points from their places in all views that see them.

    Parameters
    ----------
    cameras : tuple of PinholeCamera
    places_px : ndarray, shape (n_views, ..., 2), px
        NaN where a view does not see a point.
    u_px : ndarray, broadcastable to (n_views, ...), px
        Standard uncertainty of each place, constant part included.
    speeds_px_s : ndarray, shape (n_views, ..., 2), px/s, optional
        How fast each place moves: slopes by the offsets of all cameras but the first.

    Notes
    -----
    Where three views or more contradict each other, the one without which the rest agrees best is
    left out.
    """
    shape = places_px.shape[1:-1]
    flat = places_px.reshape(len(cameras), -1, 2)
    u = np.broadcast_to(u_px, places_px.shape[:-1]).reshape(len(cameras), -1)
    is_seen: NDArray[np.bool_] = np.all(np.isfinite(flat), axis=-1)
    found = _fitted(cameras, flat, u, is_seen)
    found = _without_wrong_view(cameras, flat, u, found)
    speeds = None if speeds_px_s is None else speeds_px_s.reshape(flat.shape)
    slopes = _by_calibration(cameras, found, u, speeds)
    return SpacePoints(
        points_m=found.points_m.reshape(*shape, 3),
        covariance_m2=found.covariance_m2.reshape(*shape, 3, 3),
        by_calibration=slopes.reshape(*shape, 3, slopes.shape[-1]),
        residuals_px=found.residuals_px.reshape(places_px.shape),
        is_used=found.is_used.reshape(len(cameras), *shape),
        chi_square=found.chi_square.reshape(shape),
        misfit=_misfit(found.residuals_px, u).reshape(shape),
    )


def in_space(
    solution: Solution, number: int, tracks: tuple[SmoothTracks, ...], times_s: Array
) -> SpacePoints:
    """Place a delivery's landmarks in space at instants of the first camera's clock.

    Parameters
    ----------
    solution : Solution
    number : int
        Which delivery of the solution.
    tracks : tuple of SmoothTracks
        One a camera, smoothed alike.
    times_s : ndarray, shape (n,), s

    Returns
    -------
    SpacePoints
        Of shape (n, n_landmarks); goes with ``solution.delivery_covariance(number)``.
    """
    on_clock = [times_s - offset for offset in solution.offsets_s[number]]
    places = np.stack([each.at(t) for each, t in zip(tracks, on_clock, strict=True)])
    speeds = np.stack([each.speed_at(t) for each, t in zip(tracks, on_clock, strict=True)])
    u = np.stack([np.hypot(each.u_px, each.bias_px) for each in tracks])
    return triangulate(solution.cameras, places, u[:, None], speeds)


@dataclass(frozen=True)
class _Found:
    points_m: Array
    covariance_m2: Array
    residuals_px: Array
    is_used: NDArray[np.bool_]
    chi_square: Array


def _fitted(
    cameras: tuple[PinholeCamera, ...], places: Array, u: Array, is_used: NDArray[np.bool_]
) -> _Found:
    """Start where lines of sight come nearest, then settle on the weighted least squares."""
    is_known = is_used.sum(axis=0) >= 2
    weights = np.where(is_used & is_known, 1.0 / u**2, 0.0)
    points = _nearest(cameras, places, is_used & is_known)
    inverse = np.full((*points.shape, 3), np.nan)
    gaps = np.full(places.shape, np.nan)
    for _ in range(N_ROUNDS):
        normal, slope = np.zeros((*points.shape, 3)), np.zeros(points.shape)
        for view, camera in enumerate(cameras):
            seen, by_point = pinhole.point_jacobian(camera, points)
            gaps[view] = places[view] - seen
            by_point = np.nan_to_num(by_point)
            weighted = weights[view][:, None, None] * by_point
            normal += np.swapaxes(weighted, -1, -2) @ by_point
            slope += np.einsum("nki,nk->ni", weighted, np.nan_to_num(gaps[view]))
        normal[~is_known] = np.eye(3)
        inverse = np.linalg.inv(normal)
        step = (inverse @ slope[..., None])[..., 0]
        points += step
        if np.max(np.abs(step), initial=0.0) < SETTLED_M:
            break
    for view, camera in enumerate(cameras):
        gaps[view] = places[view] - camera.project(points)
    chi_square = np.sum(weights * np.nan_to_num(np.sum(gaps**2, axis=-1)), axis=0)
    inverse[~is_known], points[~is_known] = np.nan, np.nan
    return _Found(points, inverse, gaps, is_used, np.where(is_known, chi_square, np.nan))


def _nearest(
    cameras: tuple[PinholeCamera, ...], places: Array, is_used: NDArray[np.bool_]
) -> Array:
    """Return the points nearest to all lines of sight, shape (n, 3); 0 where there are none."""
    total: Array = np.zeros((places.shape[1], 3, 3))
    values: Array = np.zeros((places.shape[1], 3))
    for view, camera in enumerate(cameras):
        rays = np.nan_to_num(camera.rays(places[view, :, 0], places[view, :, 1]))
        size = np.maximum(np.sum(rays**2, axis=-1), 1.0)[:, None, None]
        across: Array = np.where(
            is_used[view][:, None, None], np.eye(3) - rays[:, :, None] * rays[:, None] / size, 0.0
        )
        total += across
        values += np.einsum("nij,j->ni", across, camera.position_m)
    total[~is_used.any(axis=0)] = np.eye(3)
    points: Array = np.asarray(np.linalg.solve(total, values[..., None])[..., 0], dtype=np.float64)
    return points


def _without_wrong_view(
    cameras: tuple[PinholeCamera, ...], places: Array, u: Array, found: _Found
) -> _Found:
    """Leave out, of three views or more, the one without which the others agree."""
    n_views = found.is_used.sum(axis=0)
    wrong = (n_views >= 3) & (np.nan_to_num(found.chi_square) > _limits(n_views))
    if not wrong.any():
        return found
    rows = np.flatnonzero(wrong)
    size = np.einsum("nii->n", found.covariance_m2[rows])
    trials = []
    for view in range(len(cameras)):
        is_used = found.is_used[:, rows].copy()
        has_view = is_used[view].copy()
        is_used[view] = False
        trial = _fitted(cameras, places[:, rows], u[:, rows], is_used)
        growth = np.einsum("nii->n", trial.covariance_m2) / size
        is_held = has_view & (np.nan_to_num(growth, nan=np.inf) < MOST_GROWTH)
        trials.append(replace(trial, chi_square=np.where(is_held, trial.chi_square, np.inf)))
    best = np.argmin([trial.chi_square for trial in trials], axis=0)
    for column, row in enumerate(rows):
        trial = trials[best[column]]
        if not np.isfinite(trial.chi_square[column]):
            continue
        found.points_m[row] = trial.points_m[column]
        found.covariance_m2[row] = trial.covariance_m2[column]
        found.residuals_px[:, row] = trial.residuals_px[:, column]
        found.is_used[:, row] = trial.is_used[:, column]
        found.chi_square[row] = trial.chi_square[column]
    return found


def _misfit(residuals_px: Array, u: Array) -> Array:
    """Return squared residuals of all views in units of u, shape (n,)."""
    return np.asarray(np.sum(np.nan_to_num(np.sum(residuals_px**2, axis=-1)) / u**2, axis=0))


def _by_calibration(
    cameras: tuple[PinholeCamera, ...], found: _Found, u: Array, speeds: Array | None
) -> Array:
    """Return how points move with the cameras' numbers and the clocks: the fit stays a fit."""
    n_cameras = len(cameras)
    n_offsets = 0 if speeds is None else n_cameras - 1
    slopes = np.zeros((len(found.points_m), 3, N_PARAMETERS * n_cameras + n_offsets))
    for view, camera in enumerate(cameras):
        _, by_camera, by_point = pinhole.projection_jacobian(camera, found.points_m)
        weight = np.where(found.is_used[view], 1.0 / u[view] ** 2, 0.0)[:, None, None]
        to_point = found.covariance_m2 @ np.swapaxes(weight * np.nan_to_num(by_point), -1, -2)
        columns = slice(N_PARAMETERS * view, N_PARAMETERS * (view + 1))
        slopes[..., columns] = -to_point @ np.nan_to_num(by_camera)
        if speeds is not None and view:
            moved = (to_point @ np.nan_to_num(speeds[view])[..., None])[..., 0]
            slopes[..., N_PARAMETERS * n_cameras + view - 1] = -moved
    return slopes


def _limits(n_views: NDArray[np.intp]) -> Array:
    """Return the limit of the sum of squares for each number of views."""
    freedom = np.clip(2 * n_views - 3, 1, 7)
    return np.interp(freedom, list(SUSPECT), list(SUSPECT.values()))
