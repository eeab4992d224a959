"""Landmarks that the clips contradict each other about, worst first; and limbs that keep their length."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.body_facts import LIMBS
from deliverylab.core.cameras.consistency import LimbLength, limb_constancy
from deliverylab.core.cameras.triangulate import triangulate
from deliverylab.core.metrics.rates import BANDS
from deliverylab.core.metrics.shutter import seen_track
from deliverylab.core.metrics.space_sight import SpaceSight, space_sight
from deliverylab.core.metrics.space_tracks import (
    camera_tracks,
    places_at,
    placing_of,
    rising_frames,
)
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

Array = NDArray[np.float64]

LEAST_MISFIT = 4.0
"""In u: chance alone passes it in one place of some fifteen thousand."""
CUTOFF_HZ = max(band.cutoff_hz for band in BANDS)
LIMB_ENDS = tuple(LANDMARK_KEYS[end] for end in sorted({end for limb in LIMBS for end in limb}))
SAME_S = 0.050
"""One wrong point spoils its smoothed neighbours for this long on both sides."""


@dataclass(frozen=True, kw_only=True)
class WorstPlace:
    """A place that does not go with what the other clips show.

    Attributes
    ----------
    landmark : str
    camera : str
        The clip whose position leaves the others' line of sight farthest; with two clips the
        other one's may be wrong.
    frame : int
        In that clip.
    frames : dict of str to int
        The nearest frame of each clip at that instant.
    time_s : float
        Real seconds on the first camera's clock.
    misfit : float
        In units of u.
    """

    landmark: str
    camera: str
    frame: int
    frames: dict[str, int]
    time_s: float
    misfit: float


def worst_places(delivery: Delivery) -> tuple[WorstPlace, ...]:
    """List the positions that the clips contradict each other about, worst first.

    Each clip's own positions, frame by frame, are held against the smoothed course in the others;
    of neighbours in time only the worst is listed.  Empty where nothing is solved.

    Notes
    -----
    Two clips see a mistake only across the plane of their two lines of sight: with both phones at
    one height, one that is off sideways shows in the limbs' lengths alone (`limb_lengths`).
    """
    sight = space_sight(delivery)
    if sight.absence is not None:
        return ()
    found = [place for number in range(len(sight.views)) for place in _of_view(sight, number)]
    kept: list[WorstPlace] = []
    for place in sorted(found, key=lambda each: -each.misfit):
        if not any(
            place.landmark == other.landmark and abs(place.time_s - other.time_s) <= SAME_S
            for other in kept
        ):
            kept.append(place)
    return tuple(kept)


def limb_lengths(delivery: Delivery) -> tuple[LimbLength, ...]:
    """Return how constant the limbs are over a delivery; empty where nothing is solved."""
    sight = space_sight(delivery)
    if sight.absence is not None:
        return ()
    _, times_s = rising_frames(sight.camera.timing)
    return limb_constancy(sight.places(times_s, CUTOFF_HZ, LIMB_ENDS).points)


def _of_view(sight: SpaceSight, number: int) -> list[WorstPlace]:
    """Hold one clip's positions against the others."""
    frames, real_s = rising_frames(sight.views[number].timing)
    times_s = real_s + sight.offsets_s[number]
    misfit = _misfits(sight, number, times_s)
    found = []
    for row, column in np.argwhere(misfit > LEAST_MISFIT):
        time_s = float(times_s[row])
        found.append(
            WorstPlace(
                landmark=LANDMARK_KEYS[column],
                camera=sight.views[number].name,
                frame=int(frames[row]),
                frames={
                    view.name: _frame_at(sight, each, time_s)
                    for each, view in enumerate(sight.views)
                },
                time_s=time_s,
                misfit=float(misfit[row, column]),
            )
        )
    return found


def _misfits(sight: SpaceSight, number: int, times_s: Array) -> Array:
    """Return the misfit of a clip's positions, shape (n_frames, n_landmarks), in u; NaN without."""
    shape = (len(sight.views), len(times_s), len(LANDMARK_KEYS))
    places, u_px = np.full((*shape, 2), np.nan), np.ones(shape)
    own = camera_tracks(sight.delivery, sight.views[number])
    places[number], u_px[number] = own.places_px, np.hypot(own.u_px, own.bias_px)
    for other, camera in enumerate(sight.views):
        for column, key in enumerate(LANDMARK_KEYS):
            if other == number or key == "ball" or key not in camera.tracks:
                continue
            there = places_at(
                seen_track(camera, key),
                camera.timing,
                placing_of(sight.delivery, camera, key),
                times_s - sight.offsets_s[other],
                CUTOFF_HZ,
            )
            places[other, :, column], u_px[other, :, column] = there.places_px, there.u_px
    found = triangulate(sight.cameras, places, u_px)
    return np.where(np.isfinite(found.chi_square), np.sqrt(found.misfit), np.nan)


def _frame_at(sight: SpaceSight, number: int, time_s: float) -> int:
    frames, real_s = rising_frames(sight.views[number].timing)
    return int(frames[np.argmin(np.abs(real_s + sight.offsets_s[number] - time_s))])
