"""Results that are the fastest change of a measure in space, and when that is."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.rates import band_of
from deliverylab.core.metrics.remedies import MARKING, SMOOTHING, line
from deliverylab.core.metrics.sight import not_shown, shown, unbelievable
from deliverylab.core.metrics.space_courses import Course, asked_for, course
from deliverylab.core.metrics.space_extremes import (
    NOT_KNOWN,
    U_RAISED_SHARE,
    calibration_parts,
    not_followed,
    placing_lines,
    span_cautions,
    span_of,
)
from deliverylab.core.metrics.space_results import in_space, instants_of, usual_hz
from deliverylab.core.metrics.space_sight import Instant, SpaceSight
from deliverylab.core.metrics.space_tops import Top, grid_s, top_of
from deliverylab.core.metrics.spec import PLACING, Contribution, MetricSpec, Result
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import key_for_role

TAKEN_SHARES = {"trunk": (0.35, 0.35), "knee": (0.35, 0.5), "arm": (0.7, 0.8)}
"""What the low-pass takes off a peak, of what half its cut-off takes off besides, and u of it, by band of
the landmarks: by our own simulation.  An elbow straightens in some 30 ms, so 20 Hz takes a twelfth."""
U_LATER_SHARE = 0.5
"""u of when a peak is, of how much later it is with half the cut-off."""
QUIET_PERIODS = 0.25
"""Part of the cut-off's period before foot contact within which a peak is not told: the low-pass mixes
in what the landing does to the leg."""


class Peak(NamedTuple):
    """The fastest change of a measure.

    Attributes
    ----------
    at : list of Instant
        First and last instant of the interval that was searched.
    course : Course
    top : Top
    """

    at: list[Instant]
    course: Course
    top: Top

    @property
    def u_time_s(self) -> float:
        """Standard uncertainty of the instant by itself, s: without the marks of any event."""
        parts = calibration_parts(self.course, self.top.time_changes_s)
        placing = self.top.time_changes_s[: self.course.n_placing]
        by_place = np.concatenate([placing, self.top.scatter_time_s])
        later_s = U_LATER_SHARE * self.top.later_s
        return math.hypot(later_s, float(np.linalg.norm(by_place)), *parts.values())


def peak_rate_result(spec: MetricSpec, event: str, sight: SpaceSight) -> Result:
    """Evaluate the fastest change of a measure between two events."""
    peak = peak_of(spec, sight)
    if isinstance(peak, Absence):
        return in_space(not_shown(spec, event, sight.delivery.name, sight.camera, peak))
    top = peak.top
    share, u_share = TAKEN_SHARES[_band(spec)]
    value = top.value + share * top.taken
    parts = calibration_parts(peak.course, top.changes)
    parts[SMOOTHING] = math.hypot(u_share * abs(top.taken), spec.projection_u_at(event))
    lines = placing_lines(spec, peak.course, top.changes, top.scatter)
    lines.append(line(PLACING, U_RAISED_SHARE * top.raised))
    cautions = span_cautions(spec, sight, peak.at) + unbelievable(spec, value)
    return in_space(shown(spec, event, sight, value, parts, cautions, "", lines))


def peak_rate_time_result(spec: MetricSpec, event: str, sight: SpaceSight) -> Result:
    """Evaluate when a peak is: seconds before the last event, or % of the time between both."""
    absence, marks = instants_of(spec, event, sight)
    peak = absence or peak_of(BY_KEY[spec.peak_of], sight)
    if isinstance(peak, Absence):
        return in_space(not_shown(spec, event, sight.delivery.name, sight.camera, peak))
    start_s, end_s = marks[0].time_s, marks[-1].time_s
    per_s = 1.0 if spec.unit == "s" else 100.0 / (end_s - start_s)
    time_s = peak.top.time_s
    value = end_s - time_s if spec.unit == "s" else per_s * (time_s - start_s)
    parts = calibration_parts(peak.course, per_s * peak.top.time_changes_s)
    later = U_LATER_SHARE * per_s * abs(peak.top.later_s)
    parts[SMOOTHING] = math.hypot(later, spec.projection_u_at(event))
    lines = placing_lines(
        spec, peak.course, per_s * peak.top.time_changes_s, per_s * peak.top.scatter_time_s
    )
    lines += _mark_lines(spec, marks, per_s, value)
    cautions = span_cautions(spec, sight, marks) + unbelievable(spec, value)
    return in_space(shown(spec, event, sight, value, parts, cautions, "", lines))


def peak_of(spec: MetricSpec, sight: SpaceSight) -> Peak | Absence:
    """Return a measure's fastest change, or its largest value, between two events, or why not."""
    absence, at = span_of(spec, sight)
    slow = (validity.too_slow(spec, camera) for camera in sight.views)
    absence = absence or next((each for each in slow if each is not None), None)
    if absence is not None:
        return absence
    times_s = grid_s(at[0].time_s, at[-1].time_s)
    cutoff_hz = spec.cutoff_hz or usual_hz(spec.landmarks)
    asked = asked_for(spec, sight, times_s, cutoff_hz)
    seen = course(asked)
    top = top_of(asked, int(spec.kind == "peak_rate"), -1.0 if spec.is_falling else 1.0)
    absence = not_followed(spec, asked, top, at)
    if absence is not None or top is None:
        return absence or NOT_KNOWN
    return _beyond(spec, top, at, cutoff_hz) or Peak(at, seen, top)


def _band(spec: MetricSpec) -> str:
    """Return the key of the band of a metric's landmarks: that of the fastest among them."""
    bands = [band_of(key_for_role(role, "right")) for role in spec.landmarks]
    return max(bands, key=lambda band: band.cutoff_hz).key


def _beyond(spec: MetricSpec, top: Top, at: list[Instant], cutoff_hz: float) -> Absence | None:
    """Return the absence of a peak that lies beyond the events."""
    left_s = at[-1].time_s - top.time_s
    is_landing = at[-1].event == "foot_contact" and left_s < QUIET_PERIODS / cutoff_hz
    if not top.slope_per_s and not is_landing:
        return None
    name = event_entry((at[0] if top.is_first else at[-1]).event).name
    side = "before" if top.is_first else "after"
    return Absence(
        f"still {'faster' if spec.kind == 'peak_rate' else 'larger'} {side} {name}: no peak between its events",
        f"check the mark of {name}",
    )


def _mark_lines(
    spec: MetricSpec, marks: list[Instant], per_s: float, value: float
) -> list[Contribution]:
    """Return what u of the two marks makes of the time of a peak."""
    if spec.unit == "s":
        slopes = (0.0, 1.0)
    else:
        slopes = (per_s * (1.0 - value / 100.0), per_s * value / 100.0)
    return [
        line(f"{MARKING}{event_entry(each.event).name}", abs(slope) * each.u_s, "", each.event)
        for each, slope in zip(marks, slopes, strict=True)
    ]
