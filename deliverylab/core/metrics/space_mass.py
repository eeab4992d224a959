"""The body's centre of mass in space over time, and its speed by several cameras together."""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.metrics import validity
from deliverylab.core.metrics.body_mass import COM_STAND_INS
from deliverylab.core.metrics.mass_track import (
    SPEED_EVENTS,
    MassTrack,
    Speed,
    forward_speeds,
    weighted_ways,
)
from deliverylab.core.metrics.momentum_results import kept_result, peak_time_result, support_result
from deliverylab.core.metrics.motion_results import speed_result
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.remedies import CAMERAS
from deliverylab.core.metrics.space_cautions import camera_cautions, mark_cautions
from deliverylab.core.metrics.space_places import SpacePlaces
from deliverylab.core.metrics.space_results import in_space, instants_of
from deliverylab.core.metrics.space_sight import SpaceSight
from deliverylab.core.metrics.space_tracks import rising_frames
from deliverylab.core.metrics.spec import Kind, MetricSpec, Result
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import key_for_role
from deliverylab.core.vocabulary.mass_tables import STAND_INS

HARDLY_SMOOTHED_HZ = 1e3
"""Beyond what any clip carries: the local fit of the speed smooths by itself."""
AROUND_S = 0.15
"""Frames so long before leg lift and after release are looked at: more than the fit's wider window."""
FORWARD_AND_UP = (0, 2)
USUAL_U_LEVEL_DEG = 1.0
SMOOTHING_OF_PROJECTION = 0.7
"""Of what one plane and smoothing cost a speed (`MetricSpec.projection_u`), what smoothing costs: own
simulation of solved cameras, in which U then holds."""


class SpaceMotion:
    """The body's speed by several solved cameras.

    Attributes
    ----------
    weight_shares : tuple of float
        Share of the difference to each other way of weighting segments that is its u.
    """

    def __init__(self, sight: SpaceSight) -> None:
        self._sight = sight
        self.weight_shares: tuple[float, ...] = weighted_ways(sight.delivery.athlete)[2]

    @property
    def delivery(self) -> Delivery:
        """The delivery."""
        return self._sight.delivery

    @property
    def camera(self) -> Camera:
        """The first clip, whose clock all instants are on."""
        return self._sight.camera

    def speed_absence(self, spec: MetricSpec, event: str) -> Absence | None:
        """Return why a speed, or what is made of speeds, cannot be told; None where nothing forbids it."""
        absence, at = instants_of(spec, event, self._sight)
        slow = (validity.too_slow(spec, camera) for camera in self._sight.views)
        absence = absence or next((each for each in slow if each is not None), None)
        if absence is None and len(at) > 1 and at[0].time_s >= at[-1].time_s:
            first, last = (event_entry(each.event).name for each in (at[0], at[-1]))
            absence = Absence(f"{last} is not marked after {first}", "check both marks")
        return absence

    def speed(self, name: str) -> Speed | None:
        """Return the speed at a marked event, or a peak by its name."""
        return self._speeds.get(name)

    def projection_u(self, spec: MetricSpec, event: str) -> float:
        """Return what smoothing costs besides: no plane is in it."""
        return SMOOTHING_OF_PROJECTION * spec.projection_u_at(event)

    def u_mark_s(self, event: str) -> float:
        """Return u of a marked event, real seconds."""
        instant = self._sight.instant(event)
        return math.nan if instant is None else instant.u_s

    def scale_u(self, forward_m: float) -> dict[str, float]:
        """Return the relative u of a forward speed by the cameras: that of the way from lift to release."""
        del forward_m
        return {CAMERAS: self._u_scale}

    def u_level_deg(self) -> float:
        """Return u of the vertical: what the cameras leave unsure of directions."""
        solution = self._sight.solution
        return USUAL_U_LEVEL_DEG if solution is None else solution.worst_deg or USUAL_U_LEVEL_DEG

    def motion_cautions(self, spec: MetricSpec, event: str) -> tuple[str, ...]:
        """Return what else a reader of a speed should know."""
        cautions = list(camera_cautions(self._sight))
        for each in spec.instants(event):
            instant = self._sight.instant(each)
            cautions += () if instant is None else mark_cautions(self._sight, each, instant)
        return tuple(cautions)

    @cached_property
    def _speeds(self) -> dict[str, Speed]:
        marked = {key: self._sight.instant(key) for key in SPEED_EVENTS}
        at_s = {key: instant.time_s for key, instant in marked.items() if instant is not None}
        is_spanned = {"leg_lift", "release"} <= at_s.keys()
        between_s = (at_s["leg_lift"], at_s["release"]) if is_spanned else None
        return forward_speeds(self._track, at_s, between_s) if at_s else {}

    @cached_property
    def _times_s(self) -> FloatArray:
        _, times_s = rising_frames(self.camera.timing)
        marks = [self._sight.instant(key) for key in SPEED_EVENTS]
        at_s = [instant.time_s for instant in marks if instant is not None]
        if not at_s:
            return times_s
        near = (times_s >= min(at_s) - AROUND_S) & (times_s <= max(at_s) + AROUND_S)
        return times_s[near]

    @cached_property
    def _keys(self) -> dict[str, str]:
        """Return the landmark of each role; one that is placed nowhere gives way to its stand-in."""
        hand = self.delivery.athlete.hand
        keys = {}
        for role in weighted_ways(self.delivery.athlete)[0]:
            key = key_for_role(role, hand)
            if role in COM_STAND_INS and not all(key in c.tracks for c in self._sight.views):
                key = key_for_role(COM_STAND_INS[role], hand)
            keys[role] = key
        return keys

    @cached_property
    def _places(self) -> SpacePlaces:
        return self._sight.places(self._times_s, HARDLY_SMOOTHED_HZ, set(self._keys.values()))

    @cached_property
    def _track(self) -> MassTrack:
        used, weights, shares = weighted_ways(self.delivery.athlete)
        points = self._places.points
        columns = [INDEX[self._keys[role]] for role in used]
        by_role = np.moveaxis(points.points_m[:, columns][..., FORWARD_AND_UP], 1, 0)
        rows = np.flatnonzero(np.isfinite(by_role[..., 0]).all(axis=0))
        by_way = np.einsum("wr,rnd->nwd", weights, by_role[:, rows])
        variance, missing = 0.0, 0.0
        for role, column in zip(used if len(rows) else (), columns, strict=False):
            spread = points.covariance_m2[rows, column][:, FORWARD_AND_UP, FORWARD_AND_UP]
            variance += used[role] ** 2 * self._scatter_share(role) * float(np.mean(spread))
            if key_for_role(role, self.delivery.athlete.hand) != self._keys[role]:
                missing += (used[role] * STAND_INS[role.partition("_")[2]].u_m_s) ** 2
        return MassTrack(
            rows, self._times_s[rows], by_way, shares, math.sqrt(variance), math.sqrt(missing)
        )

    def _scatter_share(self, role: str) -> float:
        """Return what of a landmark's variance changes from frame to frame, over its clips."""
        placings = [clip.placing for clip in self._sight.clips(self._keys[role])]
        return float(np.mean([(each.scatter_px / each.u_px) ** 2 for each in placings]))

    @cached_property
    def _u_scale(self) -> float:
        track, points = self._track, self._places.points
        if len(track.real_s) < 2:
            return 0.0
        used = weighted_ways(self.delivery.athlete)[0]
        ends = [int(track.frames[0]), int(track.frames[-1])]
        slopes = np.zeros((2, len(self._sight.covariance)))
        for role, weight in used.items():
            slopes += weight * points.by_calibration[ends, INDEX[self._keys[role]], 0]
        way = slopes[1] - slopes[0]
        u_m = math.sqrt(float(way @ self._sight.covariance @ way))
        return u_m / abs(float(track.forward_m[-1] - track.forward_m[0]))


_LATEST: list[tuple[SpaceSight, SpaceMotion]] = []
_N_LATEST = 4
_RESULTS = {
    "speed": speed_result,
    "peak_speed": speed_result,
    "peak_time": peak_time_result,
    "kept_speed": kept_result,
    "support_force": support_result,
}
MOTION_KINDS: frozenset[Kind] = frozenset(
    {"speed", "peak_speed", "peak_time", "kept_speed", "support_force"}
)


def space_motion_result(spec: MetricSpec, event: str, sight: SpaceSight) -> Result:
    """Evaluate a metric of the body's speed in space."""
    motion = next((known for at, known in _LATEST if at is sight), None)
    if motion is None:
        motion = SpaceMotion(sight)
        _LATEST.insert(0, (sight, motion))
        del _LATEST[_N_LATEST:]
    return in_space(_RESULTS[spec.kind](spec, event, motion))
