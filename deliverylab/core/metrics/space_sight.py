"""Several solved cameras of a delivery as they are being evaluated: instants, points, postures."""

from __future__ import annotations

import math
from collections.abc import Collection, Hashable
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.metrics.inputs import STAND_IN_EVENTS
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.shutter import seen_track
from deliverylab.core.metrics.space_places import (
    Clip,
    LandmarkPlaces,
    SpacePlaces,
    landmark_places,
    pinhole,
)
from deliverylab.core.metrics.space_tracks import HIGHEST_SHARE_OF_RATE, placing_of
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.space import SpaceSolution
from deliverylab.core.vocabulary.events import EVENT_KEYS
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, ROLE_KEYS, key_for_role

SPACE_VIEW = "space"
"""Stands as the view of a result that several cameras made together."""
ONE_CAMERA = Absence(
    "one camera does not show it", "film with a second phone, and solve the two cameras"
)
NOT_SOLVED = Absence(
    "the cameras are not solved yet",
    "click the rubber's corners and the cones in both clips, and solve the cameras",
)
OTHER_CAMERAS = Absence(
    "the cameras were solved when the delivery had other ones", "solve the cameras again"
)
BEFORE, AT, AFTER = 0, 1, 2
"""Rows of `SpaceSight.at`."""
STEP_S = 0.002
"""Half the time over which a metric's own change at an event is read."""
MOST_APART = 2.0
"""Marks of one event in two clips that lie farther apart than this many u are not averaged."""


class Instant(NamedTuple):
    """An event on the clock of a delivery.

    Attributes
    ----------
    event : str
        The event whose mark was used.
    time_s, u_s : float
        Real seconds of the first camera, and standard uncertainty.
    apart_s : float
        How far marks in two clips lie apart where that is beyond their u; else 0.
    """

    event: str
    time_s: float
    u_s: float
    apart_s: float = 0.0


class SpaceSight:
    """Solved cameras, gathered when first asked for.

    Attributes
    ----------
    delivery : Delivery
    absence : Absence or None
        Why nothing can be told in space.
    solution : SpaceSolution or None
    views : tuple of Camera
        The clips, in the order of the solved cameras.
    cameras : tuple of PinholeCamera
    offsets_s : tuple of float
    covariance : ndarray, shape (n, n)
        Of seven numbers a camera, then the offsets of all but the first.
    """

    def __init__(self, delivery: Delivery) -> None:
        self.delivery = delivery
        self.solution = delivery.space
        self.absence = _absence(delivery)
        solved = () if self.absence or self.solution is None else self.solution.cameras
        self.views: tuple[Camera, ...] = tuple(delivery.camera(each.name) for each in solved)
        self.cameras: tuple[PinholeCamera, ...] = tuple(map(pinhole, solved))
        self.offsets_s = tuple(each.offset_s for each in solved)
        self.covariance: FloatArray = np.array(self.solution.covariance if self.solution else ())
        self._instants: dict[str, Instant | None] = {}
        self._clips: dict[str, tuple[Clip, ...]] = {}
        self._shared: tuple[Hashable, ...] = ()
        self._places: dict[tuple[bytes, float, frozenset[str]], SpacePlaces] = {}
        self._event_s: tuple[float, ...] = ()

    @property
    def camera(self) -> Camera:
        """The first clip, whose clock all instants are on."""
        return self.views[0] if self.views else self.delivery.cameras[0]

    def instant(self, event: str) -> Instant | None:
        """Return an event by its marks in any clip; None where it is marked in none."""
        if event not in self._instants:
            found = self._marked(event)
            stand_in = STAND_IN_EVENTS.get(event)
            self._instants[event] = (
                self._marked(stand_in) if found is None and stand_in is not None else found
            )
        return self._instants[event]

    def _marked(self, event: str) -> Instant | None:
        marks: list[tuple[float, float]] = []
        suggested: list[tuple[float, float]] = []
        for number, (camera, offset_s) in enumerate(zip(self.views, self.offsets_s, strict=True)):
            if event in camera.marks:
                time_s = float(camera.timing.real_s(camera.marks[event].time_s)) + offset_s
                u_s = camera.timing.real_per_clip * camera.u_mark_s(event)
                group = suggested if camera.marks[event].origin == "suggested" else marks
                group.append((time_s, math.hypot(u_s, self._u_offset_s(number))))
        if suggested:  # what one rule suggests in two clips misses the event in both alike
            marks.append(min(suggested, key=lambda each: each[1]))
        if not marks:
            return None
        (first_s, u_first_s), others = marks[0], marks[1:]
        for time_s, u_s in others:
            apart_s = abs(time_s - first_s)
            if apart_s > MOST_APART * math.hypot(u_s, u_first_s):
                return Instant(event, first_s, u_first_s, apart_s)
        weights = np.array([1.0 / max(u_s, 1e-6) ** 2 for _, u_s in marks])
        time_s = float(weights @ [time for time, _ in marks] / weights.sum())
        return Instant(event, time_s, float(weights.sum() ** -0.5))

    def _u_offset_s(self, number: int) -> float:
        row = len(self.covariance) - len(self.views) + number
        return 0.0 if number == 0 else math.sqrt(float(self.covariance[row, row]))

    def places(
        self, times_s: FloatArray, cutoff_hz: float, keys: Collection[str] = LANDMARK_KEYS
    ) -> SpacePlaces:
        """Return landmarks at instants of the first camera's clock.

        Parameters
        ----------
        times_s : ndarray, shape (n,), s
        cutoff_hz : float
            Of the low-pass; all clips are smoothed alike, so the slowest limits it.
        keys : collection of str
            Landmarks that are wanted; the others are NaN.

        Returns
        -------
        SpacePlaces
            NaN where fewer than two clips show a landmark.
        """
        cutoff_hz = self.carried_hz(cutoff_hz)
        asked = (times_s.tobytes(), cutoff_hz, frozenset(keys))
        if asked not in self._places:
            columns = [
                self._landmark(key, asked[0], cutoff_hz) if key in keys else None
                for key in LANDMARK_KEYS
            ]
            self._places[asked] = SpacePlaces.of(columns, len(times_s), len(self.covariance))
        return self._places[asked]

    def carried_hz(self, cutoff_hz: float) -> float:
        """Return a cut-off, or the highest that the slowest clip carries."""
        rates_hz = [camera.timing.true_rate_hz for camera in self.views]
        return min(cutoff_hz, *(HIGHEST_SHARE_OF_RATE * rate for rate in rates_hz))

    def _landmark(self, key: str, times: bytes, cutoff_hz: float) -> LandmarkPlaces | None:
        clips = () if key == "ball" else self.clips(key)
        return landmark_places(clips, times, cutoff_hz) if clips else None

    def clips(self, key: str) -> tuple[Clip, ...]:
        """Return a landmark in each clip, with all that its places in space are made of."""
        if key not in self._clips:
            solved = () if self.absence or self.solution is None else self.solution.cameras
            self._clips[key] = tuple(
                Clip(
                    seen_track(camera, key),
                    camera.timing,
                    placing_of(self.delivery, camera, key),
                    each,
                )
                for camera, each in zip(self.views, solved, strict=True)
            )
        return self._clips[key]

    def inputs(self, roles: Collection[str]) -> Hashable:
        """Return all that a result of these roles is made of, alike for deliveries in which it is."""
        if not self._shared:
            self._shared = (
                self.delivery.name, self.delivery.athlete, self.absence,
                None if self.solution is None else (self.solution.trust, self.solution.cameras),
                self.covariance.tobytes(),
                tuple(
                    (
                        view.name, view.timing, tuple(view.duplicate_frames),
                        tuple(view.marks.items()),
                    )
                    for view in self.views
                ),
            )  # fmt: skip
        hand = self.delivery.athlete.hand
        tracks = tuple(_token(self.clips(key_for_role(role, hand))) for role in roles)
        return _token(self._shared), tracks

    def at(
        self, instant: Instant, cutoff_hz: float, keys: Collection[str] = LANDMARK_KEYS
    ) -> SpacePlaces:
        """Return landmarks at an event in the middle row, and `STEP_S` before and after it.

        All events are asked for at once, so that a delivery takes one pass a cut-off.
        """
        if instant.time_s not in self._event_s:
            marked = [self.instant(event) for event in EVENT_KEYS]
            times_s = {instant.time_s, *(each.time_s for each in marked if each is not None)}
            self._event_s = tuple(sorted(times_s))
        row = 3 * self._event_s.index(instant.time_s)
        steps_s = STEP_S * np.array([-1.0, 0.0, 1.0])
        grid_s = (np.array(self._event_s)[:, None] + steps_s).ravel()
        return self.places(grid_s, cutoff_hz, keys).rows(slice(row, row + 3))

    def pose(self, points_m: FloatArray) -> Pose:
        """Name points by role; left-handers are mirrored.

        Parameters
        ----------
        points_m : ndarray, shape (..., n_landmarks, 3), m

        Returns
        -------
        Pose
            With the rubber's front edge, which is the origin.
        """
        athlete = self.delivery.athlete
        mirror = np.array([1.0, -1.0 if athlete.hand == "left" else 1.0, 1.0])
        named = {
            role: points_m[..., INDEX[key_for_role(role, athlete.hand)], :] * mirror
            for role in ROLE_KEYS
        }
        named["rubber"] = np.zeros((*points_m.shape[:-2], 3))
        height_m = math.nan if athlete.height_m is None else athlete.height_m
        return Pose(
            named,
            np.full(points_m.shape[:-2], height_m),
            athlete.female_share,
            athlete.mass_table,
        )


def _absence(delivery: Delivery) -> Absence | None:
    if len(delivery.cameras) < 2:
        return ONE_CAMERA
    if delivery.space is None:
        return NOT_SOLVED
    if not {each.name for each in delivery.space.cameras} <= {c.name for c in delivery.cameras}:
        return OTHER_CAMERAS
    if delivery.space.is_refused:
        return _refused(delivery.space)
    return None


def _refused(solution: SpaceSolution) -> Absence:
    found = next((each for each in solution.findings if each.severity == "refused"), None)
    if found is None:
        return Absence(
            "the cameras could not be solved", "add points of the field, and solve again"
        )
    where = f" ({found.where})" if found.where else ""
    return Absence(f"the cameras could not be solved: {found.what}{where}", found.remedy)


@lru_cache(maxsize=4096)
def _token(inputs: Hashable) -> object:  # noqa: ARG001 (what it is remembered by)
    """Return an object that stands for these inputs: comparing it is quick."""
    return object()


_LATEST: list[SpaceSight] = []
_N_LATEST = 4


def space_sight(delivery: Delivery) -> SpaceSight:
    """Return a delivery's cameras in space, remembered while the very delivery is asked for."""
    for known in tuple(_LATEST):
        if known.delivery is delivery:
            return known
    sight = SpaceSight(delivery)
    _LATEST.insert(0, sight)
    del _LATEST[_N_LATEST:]
    return sight
