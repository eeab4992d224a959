"""Results of postures in space: value, and u by placing in all clips, cameras, clocks and instant."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import msgspec
import numpy as np

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.metrics.body_mass import COM_LANDMARKS, mass_parts
from deliverylab.core.metrics.catalogue import METRICS
from deliverylab.core.metrics.inputs import STAND_IN_EVENTS
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.rates import band_of
from deliverylab.core.metrics.remedies import CAMERAS, CLOCKS, HEIGHT, SMOOTHING, TIMING, line
from deliverylab.core.metrics.sight import not_shown, shown, unbelievable
from deliverylab.core.metrics.space_cautions import posture_cautions
from deliverylab.core.metrics.space_places import SpacePlaces
from deliverylab.core.metrics.space_sight import (
    AFTER,
    AT,
    BEFORE,
    SPACE_VIEW,
    STEP_S,
    Instant,
    SpaceSight,
)
from deliverylab.core.metrics.spec import PLACING, Contribution, MetricSpec, Result
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.space import N_NUMBERS
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import Hand, key_for_role, role_name

POSITION_BAND = 1.4
"""Positions at an instant are read from courses of this many times the usual cut-off, which is meant for
speeds: at the usual one the hand at release lags by a centimetre (own simulation, 40 deliveries as in
bench_space.py: release ahead of the front foot 2.6 against 1.7 cm, with 3 to 5 % more u elsewhere)."""
SMOOTHING_SHARE = 0.5
"""What the low-pass takes away, of the difference that the usual cut-off makes: 0.35 where it grows with
the fourth power of the cut-off's period, 1 with the second."""
STEP_M = 1e-5


def usual_hz(roles: Sequence[str]) -> float:
    """Return the usual cut-off for a quantity of these roles: that of the fastest among them."""
    return max(band_of(key_for_role(role, "right")).cutoff_hz for role in roles)


@lru_cache(maxsize=8)
def _keys_beside(cutoff_hz: float, hand: Hand) -> frozenset[str]:
    """Return all landmarks that metrics of postures with this usual cut-off need."""
    return frozenset(
        key_for_role(role, hand)
        for spec in METRICS
        if spec.kind in {"at_event", "between_events"} and usual_hz(spec.landmarks) == cutoff_hz
        for role in (*spec.landmarks, *spec.optional)
    )


def space_pose_result(spec: MetricSpec, event: str, sight: SpaceSight) -> Result:
    """Evaluate a metric of one posture or of two in space."""
    absence, at = instants_of(spec, event, sight)
    needed = [spec.landmarks_at(number) for number in range(len(at))]
    band_hz = POSITION_BAND * usual_hz(spec.landmarks)
    keys = _keys_beside(usual_hz(spec.landmarks), sight.delivery.athlete.hand)
    seen = [sight.at(instant, band_hz, keys) for instant in at]
    for roles, each, instant in zip(needed, seen, at, strict=True):
        absence = absence or not_in_space(roles, each, instant, sight.delivery)
    if absence is not None:
        return in_space(not_shown(spec, event, sight.delivery.name, sight.camera, absence))
    used = [(*roles, *spec.optional) for roles in needed]
    reading = _Reading(spec, sight, at, seen, used)
    cautions = posture_cautions(spec, event, sight, at, seen, needed) + unbelievable(
        spec, reading.value
    )
    basis = _basis(spec, event, at)
    parts = reading.parts() | {SMOOTHING: reading.by_smoothing(band_hz)}
    lines = reading.lines()
    return in_space(shown(spec, event, sight, reading.value, parts, cautions, basis, lines))


def instants_of(
    spec: MetricSpec, event: str, sight: SpaceSight
) -> tuple[Absence | None, list[Instant]]:
    """Return a metric's instants, and why it cannot be told at them; None where nothing forbids it."""
    if sight.absence is not None:
        return sight.absence, []
    found = {each: sight.instant(each) for each in spec.instants(event)}
    unmarked = [event_entry(each).name for each, instant in found.items() if instant is None]
    absence = without_height(spec, sight.delivery)
    if unmarked:
        names = " and ".join(unmarked)
        absence = absence or Absence(f"{names} not marked", f"mark {names}")
    return absence, [instant for instant in found.values() if instant is not None]


def in_space(result: Result) -> Result:
    """Return the result as one that several cameras made together."""
    return msgspec.structs.replace(result, view=SPACE_VIEW)


class _Reading:
    """A metric at its instants, with how it changes with every coordinate that it uses."""

    def __init__(
        self,
        spec: MetricSpec,
        sight: SpaceSight,
        at: list[Instant],
        seen: list[SpacePlaces],
        used: list[tuple[str, ...]],
    ) -> None:
        self._spec, self._sight, self._at, self._seen = spec, sight, at, seen
        self._points = np.stack([each.points.points_m[AT] for each in seen])
        hand = sight.delivery.athlete.hand
        self._used = [
            [(role, INDEX[key_for_role(role, hand)]) for role in dict.fromkeys(roles)]
            for roles in used
        ]
        self.value = float(self._measured(self._points[None])[0])
        self._gradient = self._slopes()

    def _measured(self, points: FloatArray) -> FloatArray:
        """Measure batches of postures, shape (n, n_instants, n_landmarks, 3)."""
        return measured(self._spec, self._sight, points)

    def _slopes(self) -> FloatArray:
        """Return the change for each coordinate, shape (n_instants, n_landmarks, 3)."""
        places = [
            (row, column, axis)
            for row, roles in enumerate(self._used)
            for _, column in roles
            for axis in range(3)
            if np.isfinite(self._points[row, column, 0])
        ]
        steps = np.zeros((len(places), *self._points.shape))
        for number, place in enumerate(places):
            steps[(number, *place)] = STEP_M
        moved = self._points + np.concatenate([steps, -steps])
        at = self._measured(moved)
        slopes = (at[: len(places)] - at[len(places) :]) / (2.0 * STEP_M)
        gradient = np.zeros(self._points.shape)
        for place, slope in zip(places, np.nan_to_num(slopes), strict=True):
            gradient[place] = slope
        return gradient

    def parts(self) -> dict[str, float]:
        """Return the parts of u that belong to no landmark: cameras, clocks, height, masses."""
        together = np.zeros(len(self._sight.covariance))
        unknown_speed = 0.0
        for row, each in enumerate(self._seen):
            used = self._gradient[row] != 0.0
            slopes = np.where(used[..., None], each.points.by_calibration[AT], 0.0)
            together += np.einsum("li,lic->c", self._gradient[row], slopes)
            if not each.is_speed_known[AT, used.any(axis=-1)].all():
                unknown_speed = self._spec.typical_slope
        n_cameras = N_NUMBERS * len(self._sight.cameras)
        covariance = self._sight.covariance
        whole = float(together @ covariance @ together)
        clocks = together[n_cameras:]
        by_clock = float(clocks @ covariance[n_cameras:, n_cameras:] @ clocks)
        u_offset_s = math.sqrt(float(np.max(np.diag(covariance)[n_cameras:], initial=0.0)))
        parts = {
            CAMERAS: math.sqrt(max(whole - by_clock, 0.0)),
            CLOCKS: math.hypot(math.sqrt(max(by_clock, 0.0)), unknown_speed * u_offset_s),
            HEIGHT: self._by_height(),
        }
        measure = self._spec.measure
        is_of_mass = set(COM_LANDMARKS) <= set(self._spec.landmarks) and len(self._at) == 1
        if is_of_mass and measure is not None:
            parts |= mass_parts(measure, _placed(self._sight, self._points), self.value)
        return parts

    def _by_height(self) -> float:
        athlete = self._sight.delivery.athlete
        if athlete.height_m is None or not self._spec.needs_height:
            return 0.0
        # all such metrics are shares of height
        return abs(self.value) * athlete.u_height_m / athlete.height_m

    def by_smoothing(self, band_hz: float) -> float:
        """Return the part of what the low-pass takes away: what the usual cut-off changes."""
        usual_band_hz = band_hz / POSITION_BAND
        keys = _keys_beside(usual_hz(self._spec.landmarks), self._sight.delivery.athlete.hand)
        usual = [
            self._sight.at(instant, usual_band_hz, keys).points.points_m[AT] for instant in self._at
        ]
        change = float(self._measured(np.stack(usual)[None])[0]) - self.value
        return SMOOTHING_SHARE * abs(change) if math.isfinite(change) else 0.0

    def lines(self) -> list[Contribution]:
        """Return the lines of landmarks and of instants."""
        lines = []
        for row, (each, instant) in enumerate(zip(self._seen, self._at, strict=True)):
            covariance = each.points.covariance_m2[AT]
            for role, column in self._used[row]:
                slope = self._gradient[row, column]
                if slope.any():
                    u = math.sqrt(float(slope @ covariance[column] @ slope))
                    lines.append(line(PLACING, u, role, instant.event))
            u = abs(self._slope_per_s(row)) * instant.u_s
            lines.append(line(TIMING, u, "", instant.event))
        return lines

    def _slope_per_s(self, row: int) -> float:
        """Return how fast the metric changes at an instant, the other one held still."""
        moved = np.repeat(self._points[None], 2, axis=0)
        moved[:, row] = self._seen[row].points.points_m[[BEFORE, AFTER]]
        low, high = (float(value) for value in self._measured(moved))
        slope = (high - low) / (2.0 * STEP_S)
        if math.isfinite(slope):
            return slope
        is_standing = row == 0 and bool(self._spec.start_landmarks)
        return 0.0 if is_standing else self._spec.typical_slope


def measured(spec: MetricSpec, sight: SpaceSight, points: FloatArray) -> FloatArray:
    """Measure batches of one posture or two, shape (n, n_instants, n_landmarks, 3)."""
    if spec.measure is None:
        return np.full(len(points), np.nan)
    poses = [_placed(sight, points[:, row]) for row in range(points.shape[1])]
    out: FloatArray = spec.measure(*poses)
    return out


def _placed(sight: SpaceSight, points: FloatArray) -> Pose:
    """Return a posture without the roles that are missing, as the missing-segment rule wants it."""
    pose = sight.pose(points)
    kept = {role: at for role, at in pose.points.items() if np.isfinite(at).any()}
    return replace(pose, points=kept)


def without_height(spec: MetricSpec, delivery: Delivery) -> Absence | None:
    """Return the absence of the athlete's height where a metric is a share of it."""
    if spec.needs_height and delivery.athlete.height_m is None:
        return Absence("height of the athlete not entered", "enter the athlete's height")
    return None


def not_in_space(
    roles: Sequence[str], seen: SpacePlaces, instant: Instant, delivery: Delivery
) -> Absence | None:
    """Return the absence of landmarks that fewer than two clips show at an instant."""
    keys = {role: key_for_role(role, delivery.athlete.hand) for role in roles}
    missing = [
        role for role, key in keys.items() if np.isnan(seen.points.points_m[AT, INDEX[key], 0])
    ]
    if not missing:
        return None
    event = event_entry(instant.event).name
    names = ", ".join(role_name(role) for role in missing[:3])
    more = f" and {len(missing) - 3} more" if len(missing) > 3 else ""
    is_half = any(seen.n_views[AT, INDEX[keys[role]]] == 1 for role in missing)
    where = "in one clip only" if is_half else "in neither clip"
    return Absence(f"{names}{more} placed {where} at {event}", f"place it at {event} in both clips")


def _basis(spec: MetricSpec, event: str, at: list[Instant]) -> str:
    """Return which way a result is measured where its definition leaves two; else nothing."""
    ways = [
        f"at {event_entry(instant.event).name}"
        for asked, instant in zip(spec.instants(event), at, strict=True)
        if asked in STAND_IN_EVENTS
    ]
    if spec.is_from_rubber:
        ways.append("from the rubber")
    return " ".join(ways)
