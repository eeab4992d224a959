"""The landmarks of a delivery in space over time, to be handed on as trajectories or as a table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.cameras.triangulate import SpacePoints
from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.rates import BANDS, band_of
from deliverylab.core.metrics.space_sight import SpaceSight, space_sight
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.store.trajectories import NamedInstant, Trajectories
from deliverylab.core.vocabulary.events import BY_KEY as EVENT_BY_KEY
from deliverylab.core.vocabulary.landmarks import BY_KEY as LANDMARK_BY_KEY
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

FloatArray = NDArray[np.float64]

AXES = (
    "Origin: middle of the front edge of the rubber",
    "X: to the plate",
    "Y: to the left of a pitcher who faces the plate",
    "Z: up",
    "Places are as filmed: left-handed deliveries are not mirrored",
)
"""The frame of reference of all that is handed on."""


@dataclass(frozen=True, kw_only=True)
class SpaceTracks:
    """Landmarks in space on an even grid of real time; NaN where fewer than two clips show one.

    Attributes
    ----------
    delivery : str
    rate_hz : float
        The first camera's true rate.
    times_s : ndarray, shape (n,)
        Real seconds on the first camera's clock, whole multiples of 1 / `rate_hz`.
    landmarks : tuple of str
        Keys of those that are known at any instant, in the order of the vocabulary.
    points_m : ndarray, shape (n, n_landmarks, 3), m
        As filmed, see `AXES`; each landmark smoothed at the cut-off of its part of the body.
    u_m : ndarray, shape (n, n_landmarks, 3), m
        Standard uncertainty of each coordinate by placing, cameras and clocks.
    residuals_px, residuals_m : ndarray, shape (n, n_landmarks)
        Root mean square, over the clips in use, of how far the smoothed position lies from the
        projected point: in the picture, and at the point's distance.
    n_views : ndarray of int, shape (n, n_landmarks)
        Clips in use.
    events : dict of str to float, s
        Marked events on the same clock.
    """

    delivery: str
    rate_hz: float
    times_s: FloatArray
    landmarks: tuple[str, ...]
    points_m: FloatArray
    u_m: FloatArray
    residuals_px: FloatArray
    residuals_m: FloatArray
    n_views: NDArray[np.intp]
    events: dict[str, float]

    def trajectories(self) -> Trajectories:
        """Return them as they go into a file of trajectories."""
        return Trajectories(
            labels=self.landmarks,
            rate_hz=self.rate_hz,
            points_m=self.points_m,
            residuals_m=self.residuals_m,
            start_s=float(self.times_s[0]),
            descriptions=tuple(_described(key) for key in self.landmarks),
            events=tuple(
                NamedInstant(key, time_s, EVENT_BY_KEY[key].definition)
                for key, time_s in self.events.items()
            ),
            axes=AXES,
        )

    def columns(self) -> dict[str, Any]:
        """Return a table's columns: one row an instant and landmark that is known there.

        ``event`` names the events to which no other instant is nearer, and is empty elsewhere.
        """
        frame, column = np.nonzero(np.isfinite(self.points_m[..., 0]))
        points, u = self.points_m[frame, column], self.u_m[frame, column]
        axes = ("x", "y", "z")
        return {
            "delivery": np.full(len(frame), self.delivery, dtype=object),
            "time_s": self.times_s[frame],
            "landmark": np.array(self.landmarks, dtype=object)[column],
            **{f"{axis}_m": points[:, row] for row, axis in enumerate(axes)},
            **{f"u_{axis}_m": u[:, row] for row, axis in enumerate(axes)},
            "residual_px": self.residuals_px[frame, column],
            "residual_m": self.residuals_m[frame, column],
            "n_views": self.n_views[frame, column],
            "event": self._nearest_events()[frame],
        }

    def _nearest_events(self) -> NDArray[np.object_]:
        """Return the events of each instant, shape (n,), apart by a space."""
        names = np.full(len(self.times_s), "", dtype=object)
        for key, time_s in self.events.items():
            row = round((time_s - self.times_s[0]) * self.rate_hz)
            if 0 <= row < len(names):
                names[row] = f"{names[row]} {key}".strip()
        return names


def _described(key: str) -> str:
    """Return a landmark in words: which side, what, where it is placed."""
    landmark = LANDMARK_BY_KEY[key]
    return f"{landmark.side} {landmark.name}: {landmark.hint}".strip()


def tracks_in_space(delivery: Delivery) -> SpaceTracks:
    """Put a delivery's landmarks in space from the first to the last instant that tells of any.

    Parameters
    ----------
    delivery : Delivery
        With solved cameras.

    Raises
    ------
    InputValueError
        Its cameras are not solved, or no two clips show a landmark at the same time.
    """
    sight = space_sight(delivery)
    if sight.absence is not None:
        raise InputValueError(
            f"there is nothing in space: {sight.absence.reason}",
            where=delivery.name,
            remedy=sight.absence.remedy,
        )
    rate_hz = sight.camera.timing.true_rate_hz
    times_s = _grid_s(sight, rate_hz)
    found = _by_landmark(sight, times_s) if len(times_s) else {}
    is_known = np.isfinite(found["points_m"][..., 0]) if found else np.zeros((0, 0), dtype=bool)
    if not is_known.any():
        raise InputValueError(
            "no two clips show a landmark at the same time",
            where=delivery.name,
            remedy="place landmarks in both clips, at the same instants",
        )
    frames, columns = np.flatnonzero(is_known.any(axis=1)), np.flatnonzero(is_known.any(axis=0))
    span = slice(frames[0], frames[-1] + 1)
    return SpaceTracks(
        delivery=delivery.name,
        rate_hz=rate_hz,
        times_s=times_s[span],
        landmarks=tuple(LANDMARK_KEYS[column] for column in columns),
        events=_events(sight),
        **{name: values[span][:, columns] for name, values in found.items()},
    )


def _grid_s(sight: SpaceSight, rate_hz: float) -> FloatArray:
    """Return even instants between the second earliest clip's first position and the like at the end.

    Outside of these at most one clip shows anything.
    """
    spans = []
    for camera, offset_s in zip(sight.views, sight.offsets_s, strict=True):
        frames = [track.frames for track in camera.tracks.values() if len(track)]
        if frames:
            real_s = camera.timing.real_s(camera.timing.times_s) + offset_s
            spans.append((real_s[min(f[0] for f in frames)], real_s[max(f[-1] for f in frames)]))
    if len(spans) < 2:
        return np.zeros(0)
    first_s, last_s = sorted(s for s, _ in spans)[1], sorted(e for _, e in spans)[-2]
    # a position that stands alone holds to half a frame around it
    return np.arange(np.floor(first_s * rate_hz), np.ceil(last_s * rate_hz) + 1.0) / rate_hz


def _by_landmark(sight: SpaceSight, times_s: FloatArray) -> dict[str, Any]:
    """Return what is known of all landmarks at instants, each at the cut-off of its band."""
    out: dict[str, Any] = {}
    for band in BANDS:
        keys = tuple(key for key in LANDMARK_KEYS if band_of(key) is band)
        if keys:
            columns = [INDEX[key] for key in keys]
            space = sight.places(times_s, band.cutoff_hz, keys).points
            for name, values in _parts(sight, space).items():
                out.setdefault(name, np.zeros_like(values))[:, columns] = values[:, columns]
    return out


def _parts(sight: SpaceSight, space: SpacePoints) -> dict[str, Any]:
    """Return the arrays of `SpaceTracks` for landmarks in space."""
    variance = np.diagonal(space.total_covariance_m2(sight.covariance), axis1=-2, axis2=-1)
    is_known = np.isfinite(space.points_m[..., 0])
    # squared, and by how many metres a pixel spans at the point
    squares = np.where(space.is_used, np.sum(space.residuals_px**2, axis=-1), 0.0)
    spans_m = [each.to_camera(space.points_m)[..., 2] / each.focal_px for each in sight.cameras]
    n_views = np.where(is_known, space.is_used.sum(axis=0), 0)
    n = np.where(is_known, n_views, np.nan)
    return {
        "points_m": space.points_m,
        "u_m": np.sqrt(variance),
        "residuals_px": np.sqrt(squares.sum(axis=0) / n),
        "residuals_m": np.sqrt((squares * np.square(spans_m)).sum(axis=0) / n),
        "n_views": n_views,
    }


def _events(sight: SpaceSight) -> dict[str, float]:
    """Return the marked events in their order, s."""
    found = {key: sight.instant(key) for key in EVENT_BY_KEY}
    # a stand-in is no mark of the event itself
    return {key: at.time_s for key, at in found.items() if at is not None and at.event == key}
