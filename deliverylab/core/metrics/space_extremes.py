"""Results that are the largest value of a measure in space: no event decides them."""

from __future__ import annotations

import math

import numpy as np

from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.remedies import CAMERAS, CLOCKS, SMOOTHING, TIMING, line
from deliverylab.core.metrics.sight import not_shown, shown, unbelievable
from deliverylab.core.metrics.space_cautions import camera_cautions, mark_cautions
from deliverylab.core.metrics.space_courses import (
    Asked,
    Course,
    asked_for,
    course,
    known_shares,
    plain_course,
)
from deliverylab.core.metrics.space_results import (
    POSITION_BAND,
    in_space,
    instants_of,
    usual_hz,
)
from deliverylab.core.metrics.space_sight import Instant, SpaceSight
from deliverylab.core.metrics.space_tops import Top, grid_s, inner, top_of
from deliverylab.core.metrics.spec import PLACING, Contribution, MetricSpec, Result
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import role_name

LEAST_KNOWN_SHARE = 0.95
"""Of the instants between the events, how many must be known: the top may lie in a gap.  One frame that
is missing takes the smoothing of a tenth of a second."""
NOT_KNOWN = Absence(
    "nothing of it is known between its events", "place its landmarks in both clips"
)
TAKEN_SHARE = 0.1
U_TAKEN_SHARE = 0.25
"""What the low-pass takes off a top, of what half its cut-off takes off besides, and u of it: by our own
simulation."""
U_RAISED_SHARE = 0.5
"""u of what scatter adds to the highest of a course, of that itself: by our own simulation."""


def extreme_result(spec: MetricSpec, event: str, sight: SpaceSight) -> Result:
    """Evaluate the largest value of a measure between two events."""
    absence, at = span_of(spec, sight)
    if absence is not None:
        return in_space(not_shown(spec, event, sight.delivery.name, sight.camera, absence))
    times_s = grid_s(at[0].time_s, at[-1].time_s)
    band_hz = POSITION_BAND * usual_hz(spec.landmarks)
    asked = asked_for(spec, sight, times_s, band_hz)
    seen, top = course(asked), top_of(asked)
    absence = not_followed(spec, asked, top, at)
    if absence is not None or top is None:
        absence = absence or NOT_KNOWN
        return in_space(not_shown(spec, event, sight.delivery.name, sight.camera, absence))
    value = top.value + TAKEN_SHARE * top.taken
    parts = calibration_parts(seen, top.changes)
    parts[SMOOTHING] = math.hypot(U_TAKEN_SHARE * abs(top.taken), spec.projection_u_at(event))
    lines = placing_lines(spec, seen, top.changes, top.scatter) + edge_lines(top, at)
    lines.append(line(PLACING, U_RAISED_SHARE * top.raised))
    cautions = span_cautions(spec, sight, at) + unbelievable(spec, value)
    return in_space(shown(spec, event, sight, value, parts, cautions, "", lines))


def span_of(spec: MetricSpec, sight: SpaceSight) -> tuple[Absence | None, list[Instant]]:
    """Return the first and last instant of an interval, and why there is none; None where there is."""
    absence, at = instants_of(spec, "", sight)
    if absence is None and at[0].time_s >= at[-1].time_s:
        first, second = (event_entry(each.event).name for each in (at[0], at[-1]))
        absence = Absence(f"{second} is not marked after {first}", "check both marks")
    return absence, at


def not_followed(
    spec: MetricSpec, asked: Asked, top: Top | None, at: list[Instant]
) -> Absence | None:
    """Return the absence of landmarks that are not placed all the way between the events."""
    shares = known_shares(asked)
    whole = top is not None and not top.is_beside_gap
    if whole and np.mean(np.isfinite(inner(plain_course(asked)))) >= LEAST_KNOWN_SHARE:
        return None
    limit = max(LEAST_KNOWN_SHARE, min(shares))
    missing = [role for role, share in zip(spec.landmarks, shares, strict=True) if share <= limit]
    names = ", ".join(role_name(role) for role in missing[:3])
    more = f" and {len(missing) - 3} more" if len(missing) > 3 else ""
    start, end = (event_entry(each.event).name for each in (at[0], at[-1]))
    return Absence(
        f"{names}{more} not placed all the way from {start} to {end} in both clips",
        f"place or track them in every frame from {start} to {end} and a few beyond",
    )


def calibration_parts(seen: Course, changes: FloatArray) -> dict[str, float]:
    """Return the parts of u by cameras and by clocks."""
    n, n_clocks = seen.n_placing, seen.n_clocks
    together = changes[n : len(changes) - n_clocks]
    by_clock = float(np.sum(changes[len(changes) - n_clocks :] ** 2))
    return {
        CAMERAS: math.sqrt(max(float(np.sum(together**2)) - by_clock, 0.0)),
        CLOCKS: math.sqrt(by_clock),
    }


def placing_lines(
    spec: MetricSpec, seen: Course, changes: FloatArray, scatter: FloatArray
) -> list[Contribution]:
    """Return a line for each landmark: what it does as a constant, and what its scatter does."""
    squares = changes[: seen.n_placing] ** 2 + scatter**2
    by_role = np.sqrt(squares.reshape(len(spec.landmarks), -1).sum(axis=1))
    return [
        line(PLACING, u, role) for role, u in zip(spec.landmarks, by_role.tolist(), strict=True)
    ]


def edge_lines(top: Top, at: list[Instant]) -> list[Contribution]:
    """Return the line of the mark that cuts the course off where it is highest."""
    instant = at[0] if top.is_first else at[-1]
    return [line(TIMING, top.slope_per_s * instant.u_s, "", instant.event)]


def span_cautions(spec: MetricSpec, sight: SpaceSight, at: list[Instant]) -> tuple[str, ...]:
    """Return what a reader of a result over an interval should know besides."""
    by_marks = [
        caution
        for asked, instant in zip(spec.instants(""), at, strict=True)
        for caution in mark_cautions(sight, asked, instant)
    ]
    return (*camera_cautions(sight), *by_marks)
