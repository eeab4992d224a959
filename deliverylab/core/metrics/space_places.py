"""Landmarks in space, each by itself, so that after one moved point only that one is found anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.pinhole import PinholeCamera, camera_from
from deliverylab.core.cameras.triangulate import SpacePoints, triangulate
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.space_tracks import Placing, places_at
from deliverylab.core.model.space import SolvedCamera
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Track

VIEWS_FIRST = frozenset({"residuals_px", "is_used"})
"""Parts of `SpacePoints` whose first axis is that of the views."""


class Clip(NamedTuple):
    """One landmark in one clip: its positions, the clip's time, their u, and the solved camera."""

    track: Track
    timing: Timing
    placing: Placing
    camera: SolvedCamera


@dataclass(frozen=True)
class LandmarkPlaces:
    """One landmark at n instants.

    Attributes
    ----------
    points : SpacePoints
        Shape (n,).
    n_views : ndarray of int, shape (n,)
    is_speed_known : ndarray of bool, shape (n,)
    u_px : ndarray, shape (n_clips, n)
        Of its place in each clip, after smoothing, constant part included.
    """

    points: SpacePoints
    n_views: NDArray[np.intp]
    is_speed_known: NDArray[np.bool_]
    u_px: FloatArray


@dataclass(frozen=True)
class SpacePlaces:
    """All landmarks at n instants, with how they were seen.

    Attributes
    ----------
    points : SpacePoints
        Shape (n, n_landmarks).
    n_views : ndarray of int, shape (n, n_landmarks)
        In how many clips a landmark is placed there.
    is_speed_known : ndarray of bool, shape (n, n_landmarks)
        Whether each clip that shows a landmark tells how fast it moves there.
    """

    points: SpacePoints
    n_views: NDArray[np.intp]
    is_speed_known: NDArray[np.bool_]

    @classmethod
    def of(
        cls, columns: Sequence[LandmarkPlaces | None], n_instants: int, n_calibration: int
    ) -> SpacePlaces:
        """Put landmarks side by side; None is one that is not seen."""
        n_views = next((len(each.points.is_used) for each in columns if each is not None), 2)
        absent = _absent(n_views, n_instants, n_calibration)
        found = [each or absent for each in columns]
        parts = {}
        for part in fields(SpacePoints):
            axis = 2 if part.name in VIEWS_FIRST else 1
            parts[part.name] = np.stack([getattr(e.points, part.name) for e in found], axis=axis)
        return cls(
            SpacePoints(**parts),
            np.stack([each.n_views for each in found], axis=1),
            np.stack([each.is_speed_known for each in found], axis=1),
        )

    def rows(self, rows: slice) -> SpacePlaces:
        """Return some of the instants."""
        parts = {}
        for part in fields(SpacePoints):
            values = getattr(self.points, part.name)
            parts[part.name] = values[:, rows] if part.name in VIEWS_FIRST else values[rows]
        return SpacePlaces(SpacePoints(**parts), self.n_views[rows], self.is_speed_known[rows])


@lru_cache(maxsize=16)
def _absent(n_views: int, n_instants: int, n_calibration: int) -> LandmarkPlaces:
    nothing = np.full((n_views, n_instants), False)
    return LandmarkPlaces(
        SpacePoints(
            points_m=np.full((n_instants, 3), np.nan),
            covariance_m2=np.full((n_instants, 3, 3), np.nan),
            by_calibration=np.full((n_instants, 3, n_calibration), np.nan),
            residuals_px=np.full((n_views, n_instants, 2), np.nan),
            is_used=nothing,
            chi_square=np.full(n_instants, np.nan),
            misfit=np.zeros(n_instants),
        ),
        np.zeros(n_instants, dtype=np.intp),
        np.full(n_instants, True),
        np.ones((n_views, n_instants)),
    )


@lru_cache(maxsize=32)
def pinhole(solved: SolvedCamera) -> PinholeCamera:
    """Return a solved camera as one that projects."""
    size_px = (solved.width_px, solved.height_px)
    return camera_from(np.array(solved.numbers), size_px, solved.radial)


@lru_cache(maxsize=1024)
def landmark_places(clips: tuple[Clip, ...], times: bytes, cutoff_hz: float) -> LandmarkPlaces:
    """Return one landmark at instants of the first camera's clock.

    Parameters
    ----------
    clips : tuple of Clip
    times : bytes
        Of an array of seconds.
    cutoff_hz : float
    """
    times_s: FloatArray = np.frombuffer(times)
    seen = [
        places_at(clip.track, clip.timing, clip.placing, times_s - clip.camera.offset_s, cutoff_hz)
        for clip in clips
    ]
    places = np.stack([each.places_px for each in seen])
    speeds = np.stack([each.speeds_px_s for each in seen])
    u_px = np.stack([each.u_px for each in seen])
    is_seen = np.isfinite(places).all(axis=-1)
    is_told: NDArray[np.bool_] = np.all(~is_seen | np.isfinite(speeds).all(axis=-1), axis=0)
    cameras = tuple(pinhole(clip.camera) for clip in clips)
    points = triangulate(cameras, places, u_px, speeds)
    return LandmarkPlaces(points, is_seen.sum(axis=0), is_told, u_px)
