"""A delivery in space as it is drawn: the body at any instant, trails, and a model at the same phase."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.compare.align import Timeline
from deliverylab.core.metrics.measures import separation
from deliverylab.core.metrics.rates import BANDS, band_of
from deliverylab.core.metrics.space_places import SpacePlaces
from deliverylab.core.metrics.space_results import POSITION_BAND
from deliverylab.core.metrics.space_sight import SpaceSight, space_sight
from deliverylab.core.metrics.space_tracks import rising_frames
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.numerics.angles import wrapped_deg
from deliverylab.core.vocabulary.events import EVENT_KEYS, PHASE_ANCHORS
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, Hand, key_for_role

FloatArray = NDArray[np.float64]

TRAIL_STEP_S = 0.02
"""Time between two lines of a trail."""
TRAIL_S = 0.30
"""How far back the lines of hips and shoulders are drawn; the hand's trail goes back to leg lift."""
STEP_M = 1e-5
HIPS, SHOULDERS = ("left_hip", "right_hip"), ("left_shoulder", "right_shoulder")
_TWIST_ROLES = ("drive_hip", "lead_hip", "throwing_shoulder", "glove_shoulder")


class Angle(NamedTuple):
    """A value and its standard uncertainty, degrees; NaN where it cannot be told."""

    value_deg: float
    u_deg: float


@dataclass(frozen=True, kw_only=True)
class Trails:
    """Where parts of the body have come from.

    Attributes
    ----------
    hand : ndarray, shape (n, 3), m
        Throwing hand, up to the instant.
    hips, shoulders : ndarray, shape (n, 2, 3), m
        Left and right end of each line, every `TRAIL_STEP_S`, the latest last.
    """

    hand: FloatArray
    hips: FloatArray
    shoulders: FloatArray

    def scaled(self, factors: FloatArray) -> Trails:
        """Return them with X, Y and Z times these factors, shape (3,)."""
        return Trails(
            hand=self.hand * factors, hips=self.hips * factors, shoulders=self.shoulders * factors
        )


@dataclass(frozen=True, kw_only=True)
class SpaceFigure:
    """One delivery in space, worked out once and looked up while somebody scrubs.

    Attributes
    ----------
    delivery : str
    hand : str
        The throwing hand.
    height_m : float or None
        Of the athlete.
    times_s : ndarray, shape (n,), s
        Real seconds of the first camera's frames.
    points_m : ndarray, shape (n, n_landmarks, 3), m
        As filmed; NaN where fewer than two clips show a landmark.
    separation_deg, u_separation_deg : ndarray, shape (n,)
        Pelvis less shoulder line, and its standard uncertainty by placing, cameras and clocks.
    timeline : Timeline or None
        Phase over these times; None with fewer than two of its events.
    offsets_s : dict of str to float, s
        What is added to each clip's real time.
    """

    delivery: str
    hand: Hand
    height_m: float | None
    times_s: FloatArray
    points_m: FloatArray
    separation_deg: FloatArray
    u_separation_deg: FloatArray
    timeline: Timeline | None
    offsets_s: dict[str, float] = field(default_factory=dict)

    def points_at(self, time_s: float) -> FloatArray:
        """Return the landmarks at an instant, shape (n_landmarks, 3), m; NaN outside the clips.

        Between two frames where both show a landmark, else as the nearer one has it.
        """
        rows = self._rows(time_s)
        if rows is None:
            return np.full(self.points_m.shape[1:], np.nan)
        before, after, share = rows
        low, high = self.points_m[before], self.points_m[after]
        between = (1.0 - share) * low + share * high
        out: FloatArray = np.where(np.isfinite(between), between, high if share > 0.5 else low)
        return out

    def separation_at(self, time_s: float) -> Angle:
        """Return the separation at an instant."""
        rows = self._rows(time_s)
        if rows is None:
            return Angle(math.nan, math.nan)
        row = rows[1] if rows[2] > 0.5 else rows[0]
        return Angle(float(self.separation_deg[row]), float(self.u_separation_deg[row]))

    def trails(self, time_s: float) -> Trails:
        """Return the trails up to an instant, from leg lift where that is marked."""
        first_s = self.timeline.times_s[0] if self.timeline is not None else self.times_s[0]
        first, last = np.searchsorted(self.times_s, (first_s, time_s + 1e-9))
        hand = self.points_m[first:last, INDEX[key_for_role("throwing_hand", self.hand)]]
        wanted_s = time_s - TRAIL_STEP_S * np.arange(round(TRAIL_S / TRAIL_STEP_S), 0, -1)
        wanted_s = wanted_s[wanted_s >= max(first_s, self.times_s[0])]
        rows = np.searchsorted(self.times_s, wanted_s)
        hips, shoulders = (
            self.points_m[rows][:, [INDEX[key] for key in ends]] for ends in (HIPS, SHOULDERS)
        )
        return Trails(
            hand=hand[np.isfinite(hand).all(axis=-1)],
            hips=hips[np.isfinite(hips).all(axis=(-1, -2))],
            shoulders=shoulders[np.isfinite(shoulders).all(axis=(-1, -2))],
        )

    def _rows(self, time_s: float) -> tuple[int, int, float] | None:
        """Return the frames beside an instant and how far it lies from one to the other."""
        step_s = float(np.median(np.diff(self.times_s))) if len(self.times_s) > 1 else 0.0
        if not self.times_s[0] - step_s <= time_s <= self.times_s[-1] + step_s:
            return None
        after = int(np.clip(np.searchsorted(self.times_s, time_s), 1, len(self.times_s) - 1))
        before_s, after_s = self.times_s[after - 1], self.times_s[after]
        share = float(np.clip((time_s - before_s) / (after_s - before_s), 0.0, 1.0))
        return after - 1, after, share


def space_figure(delivery: Delivery) -> SpaceFigure | None:
    """Work a delivery out in space over its first clip; None where nothing can be told in space."""
    sight = space_sight(delivery)
    if sight.absence is not None:
        return None
    _, times_s = rising_frames(sight.camera.timing)
    if len(times_s) < 2:
        return None
    points, trunk = _landmarks(sight, times_s)
    value, u = _separation(sight, trunk)
    return SpaceFigure(
        delivery=delivery.name,
        hand=delivery.athlete.hand,
        height_m=delivery.athlete.height_m,
        times_s=times_s,
        points_m=points,
        separation_deg=value,
        u_separation_deg=u,
        timeline=_timeline(sight),
        offsets_s={
            view.name: each for view, each in zip(sight.views, sight.offsets_s, strict=True)
        },
    )


def clock_s(figure: SpaceFigure, delivery: Delivery, camera: str, frame: int) -> float | None:
    """Return when a clip's frame was taken on the first camera's clock; None for an unsolved clip."""
    if camera not in figure.offsets_s:
        return None
    timing = delivery.camera(camera).timing
    return float(timing.real_s(timing.times_s[frame])) + figure.offsets_s[camera]


def clip_event_times_s(delivery: Delivery, camera: str) -> dict[str, float]:
    """Return when events are on a clip's own clock, by the marks of all clips; empty without a solve.

    Events that only another event stands in for are left out.
    """
    sight = space_sight(delivery)
    names = [view.name for view in sight.views]
    if sight.absence is not None or camera not in names:
        return {}
    number = names.index(camera)
    found = {event: sight.instant(event) for event in EVENT_KEYS}
    timing = sight.views[number].timing
    return {
        event: float(timing.clip_s(instant.time_s - sight.offsets_s[number]))
        for event, instant in found.items()
        if instant is not None and instant.event == event
    }


def same_phase_s(figure: SpaceFigure, model: SpaceFigure, time_s: float) -> float | None:
    """Return when a model is at the phase of an instant; None where either has no phase scale."""
    if figure.timeline is None or model.timeline is None:
        return None
    return float(model.timeline.time_at(figure.timeline.phase_at(time_s)))


def laid_over(figure: SpaceFigure, model: SpaceFigure) -> FloatArray:
    """Return the factors of X, Y and Z that bring a model's points over another body, shape (3,).

    Both stay where the rubber is; sizes come to one height where both are known, and a delivery by
    the other hand is mirrored.
    """
    size = 1.0
    if figure.height_m and model.height_m:
        size = figure.height_m / model.height_m
    return size * np.array([1.0, 1.0 if model.hand == figure.hand else -1.0, 1.0])


def _landmarks(sight: SpaceSight, times_s: FloatArray) -> tuple[FloatArray, SpacePlaces]:
    """Return all landmarks, each at the cut-off that postures are read at, and those of the trunk."""
    points = np.full((len(times_s), len(LANDMARK_KEYS), 3), np.nan)
    found: dict[str, SpacePlaces] = {}
    for band in BANDS:
        keys = tuple(key for key in LANDMARK_KEYS if band_of(key) is band)
        if keys:
            places = sight.places(times_s, POSITION_BAND * band.cutoff_hz, keys)
            columns = [INDEX[key] for key in keys]
            points[:, columns] = places.points.points_m[:, columns]
            found |= dict.fromkeys(keys, places)
    return points, found[HIPS[0]]


def _separation(sight: SpaceSight, places: SpacePlaces) -> tuple[FloatArray, FloatArray]:
    """Return the separation over time and its u, degrees."""
    points = places.points.points_m
    hand = sight.delivery.athlete.hand
    gradient = np.zeros(points.shape)
    for column in (INDEX[key_for_role(role, hand)] for role in _TWIST_ROLES):
        for axis in range(2):  # height plays no part in a turn about the vertical
            step = np.zeros(points.shape[1:])
            step[column, axis] = STEP_M
            ends = [separation(sight.pose(points + sign * step)) for sign in (1.0, -1.0)]
            gradient[:, column, axis] = wrapped_deg(ends[0] - ends[1], -180.0) / (2.0 * STEP_M)
    value = separation(sight.pose(points))
    variance = places.points.variance_of(np.nan_to_num(gradient), sight.covariance)
    return value, np.where(np.isfinite(value), np.sqrt(np.maximum(variance, 0.0)), np.nan)


def _timeline(sight: SpaceSight) -> Timeline | None:
    """Return the phase scale on the first camera's clock; None where the marks give none."""
    anchors = [
        (instant.time_s, phase)
        for event, phase in PHASE_ANCHORS
        if (instant := sight.instant(event)) is not None and instant.event == event
    ]
    if len(anchors) < 2:
        return None
    times_s, phases = zip(*anchors, strict=True)
    if any(later <= earlier for earlier, later in pairwise(times_s)):
        return None
    return Timeline(times_s, phases)
