"""Leg lift, foot contact and foot plant from the courses of the lead leg.

References
----------
.. [1] Kageyama M et al. (2015). J Sports Sci Med 14:246-255: maximal knee height begins, contact of
   the stride foot ends the stride.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.events.body_courses import UP, BodyCourses
from deliverylab.core.events.course import Course, Found, Outcome, fitted_extreme, settling
from deliverylab.core.events.rules import (
    ANKLE_AT_REST_M,
    KNEE_DROP_M,
    LATEST_LANDING_S,
    LEAST_FOOT_SPEED_M_S,
    LEAST_KNEE_DROP_M,
    LONGEST_LANDING_S,
    LONGEST_SLIDE_M,
    MOST_DRIFT_M,
    REST_AFTER_PEAK_S,
    REST_HALF_WIDTH_S,
    SOLE_DOWN_M,
    SOLE_FLAT_M,
)
from deliverylab.core.numerics.local_fit import local_fit

FloatArray = NDArray[np.float64]
_LIFT_DEGREE = 4
_REST_EVERY_ROWS = 10
"""Of the grid: a rest lasts far longer than ten milliseconds."""


def leg_lift(body: BodyCourses) -> Outcome:
    """Find when the lead knee is highest."""
    knee = body.courses.get("lead_knee")
    if knee is None:
        return Outcome.nothing("track the lead knee around its highest point")
    # twice as wide: the top is flat, and noise would make many of it
    height = local_fit(
        knee.times_s, knee.values[:, UP], knee.grid_s, half_width_s=2.0 * knee.half_width_s
    ).value
    if not np.isfinite(height).any():
        return Outcome.nothing("track the lead knee in a run of frames around its highest point")
    top = int(np.nanargmax(height))
    lower = ~(height > height[top] - KNEE_DROP_M)
    before, after = np.flatnonzero(lower[:top]), np.flatnonzero(lower[top:])
    start = int(before[-1]) + 1 if len(before) else 0
    stop = top + int(after[0]) - 1 if len(after) else len(height) - 1
    lowest = (np.nanmin(height[start : top + 1]), np.nanmin(height[top : stop + 1]))
    if height[top] - max(lowest) < LEAST_KNEE_DROP_M:
        return Outcome.nothing("track the lead knee on its way up and down again")
    rows = (knee.times_s >= knee.grid_s[start]) & (knee.times_s <= knee.grid_s[stop])
    found = fitted_extreme(
        knee.times_s[rows],
        knee.values[rows, UP],
        float(knee.grid_s[top]),
        degree=_LIFT_DEGREE,
        order=1,
    )
    if found is None:
        return Outcome.nothing("track the lead knee in more frames around its highest point")
    return Outcome(found, "leg_lift", "the lead knee is highest")


class Landing(NamedTuple):
    """Between which instants the front foot comes down to rest, s."""

    after_s: float
    rest_s: float


def landing(body: BodyCourses, lift_s: float | None, peak_s: float | None) -> Landing | str:
    """Return when the front foot is on its way and when it rests; a sentence where it is not seen.

    Parameters
    ----------
    body : BodyCourses
    lift_s : float or None
        Leg lift, where it is known.
    peak_s : float or None
        The hand's fastest forward motion, where it is known.
    """
    lead = body.first_of("lead_ankle", "lead_heel", "lead_toe")
    if lead is None:
        return "track the lead ankle, heel and toe from the stride until the foot rests"
    _, course = lead
    speed = course.speed_m_s
    allowed = np.isfinite(speed)
    if lift_s is not None:
        allowed &= course.grid_s > lift_s
    if peak_s is not None:
        allowed &= course.grid_s < peak_s
    if not allowed.any():
        return "track the lead foot between leg lift and release"
    fastest = int(np.argmax(np.where(allowed, speed, -1.0)))
    if speed[fastest] < LEAST_FOOT_SPEED_M_S:
        return "track the lead foot while it strides"
    after_s = float(course.grid_s[fastest])
    last_s = after_s + LONGEST_LANDING_S if peak_s is None else peak_s + REST_AFTER_PEAK_S
    if body.sight == "end":
        # from behind the stride goes into the picture: what is fastest may be the leg coming down
        if lift_s is None:
            return "a rear or front view tells the landing only after leg lift"
        last_s = lift_s + LATEST_LANDING_S
    rest_s = _stillest_s(course, after_s, last_s)
    rest = None if rest_s is None else _resting_place(course, rest_s)
    if rest_s is None or rest is None or _drift_m(course, rest_s) > MOST_DRIFT_M:
        return "track the lead foot until it rests"
    away_m = np.linalg.norm(course.on_grid.value - rest, axis=1)
    away = np.flatnonzero((course.grid_s < rest_s) & (away_m > LONGEST_SLIDE_M))
    return Landing(max(after_s, float(course.grid_s[away[-1]])) if len(away) else after_s, rest_s)


def _stillest_s(course: Course, after_s: float, before_s: float) -> float | None:
    """Return the middle of the stretch in which a landmark moves least."""
    speed = course.speed_m_s
    squares = np.where(np.isfinite(speed), speed**2, np.inf)
    inside = (course.grid_s > after_s) & (course.grid_s < before_s)
    best_s, best = None, np.inf
    for middle_s in course.grid_s[inside][::_REST_EVERY_ROWS]:
        rows = np.abs(course.grid_s - middle_s) <= REST_HALF_WIDTH_S
        mean = float(np.mean(squares[rows]))
        if mean < best:
            best_s, best = float(middle_s), mean
    return best_s


def _drift_m(course: Course, rest_s: float) -> float:
    """Return how far a landmark moves on from the first to the second half of its rest, m."""
    since_s = course.times_s - rest_s
    halves = (
        course.values[(since_s >= -REST_HALF_WIDTH_S) & (since_s < 0.0)],
        course.values[(since_s >= 0.0) & (since_s <= REST_HALF_WIDTH_S)],
    )
    if not all(map(len, halves)):
        return math.inf
    before, after = (np.mean(half, axis=0) for half in halves)
    return float(np.linalg.norm(after - before))


def foot_contact(body: BodyCourses, when: Landing) -> Outcome:
    """Find the first touch of the front foot."""
    if body.sight == "end":
        return Outcome.nothing("a foot that skims the ground looks from here like one that lands")
    touches = _touches(body, when, SOLE_DOWN_M)
    # a part that was low before it was seen, or skims the ground, has no instant: it may be the first
    if touches and len(touches) == sum(f"lead_{part}" in body.courses for part in ("heel", "toe")):
        part, found = min(touches.items(), key=lambda each: each[1].time_s)
        why = (
            f"the lead {part} has come down to within {100 * SOLE_DOWN_M:.1f} cm of where it rests"
        )
        return Outcome(found, "foot_contact", why)
    carried = _ankle_at_rest(body, when)
    if carried is None:
        return Outcome.nothing("track the lead ankle, heel and toe until the foot rests")
    why = f"the lead ankle is within {100 * ANKLE_AT_REST_M:.0f} cm of its resting place"
    return Outcome(carried, "foot_contact_by_ankle", why)


def foot_plant(body: BodyCourses, when: Landing) -> Outcome:
    """Find when the front foot lies flat and the ankle is about where it will rest."""
    flat = _touches(body, when, SOLE_FLAT_M)
    if not flat or not {"lead_heel", "lead_toe"} <= body.courses.keys():
        return Outcome.nothing("track the lead heel and toe until the foot rests")
    instants = list(flat.values())
    carried = _ankle_at_rest(body, when)
    if carried is not None:
        instants.append(carried)
    # the one that skimmed the ground before has no instant of its own
    why = f"heel and toe are within {100 * SOLE_FLAT_M:.1f} cm of where they rest"
    return Outcome(max(instants, key=lambda each: each.time_s), "foot_plant", why)


def _touches(body: BodyCourses, when: Landing, level_m: float) -> dict[str, Found]:
    """Return when heel and toe have come down to a level above where they rest."""
    found = {}
    for part in ("heel", "toe"):
        course = body.courses.get(f"lead_{part}")
        rest = None if course is None else _resting_place(course, when.rest_s)
        if course is None or rest is None:
            continue
        heights = course.on_grid.value[:, UP] - rest[UP]
        instant = _settled(course, heights, level_m, when)
        if instant is not None:
            found[part] = instant
    return found


def _ankle_at_rest(body: BodyCourses, when: Landing) -> Found | None:
    """Return when the ankle comes near its resting place."""
    ankle = body.courses.get("lead_ankle")
    rest = None if ankle is None else _resting_place(ankle, when.rest_s)
    if ankle is None or rest is None:
        return None
    distances = np.linalg.norm(ankle.on_grid.value - rest, axis=1)
    return _settled(ankle, distances, ANKLE_AT_REST_M, when)


def _resting_place(course: Course, rest_s: float) -> FloatArray | None:
    """Return the median place around an instant, shape (k,), m."""
    rows = np.abs(course.times_s - rest_s) <= REST_HALF_WIDTH_S
    if np.count_nonzero(rows) < 3:
        return None
    return np.asarray(np.median(course.values[rows], axis=0))


def _settled(course: Course, heights: FloatArray, level_m: float, when: Landing) -> Found | None:
    """Return when heights on the grid come down to a level, with u from the scatter of positions."""
    time_s = settling(course.grid_s, heights, level_m, after_s=when.after_s, before_s=when.rest_s)
    if time_s is None:
        return None
    row = int(np.searchsorted(course.grid_s, time_s))
    # over a stretch as long as the smoothing: the slope at one instant is itself noisy
    half = max(1, int(0.5 * course.half_width_s / (course.grid_s[1] - course.grid_s[0])))
    low, high = max(0, row - half), min(len(heights) - 1, row + half)
    slope = (heights[high] - heights[low]) / (course.grid_s[high] - course.grid_s[low])
    n_rest = 2.0 * REST_HALF_WIDTH_S / float(np.median(np.diff(course.times_s)))
    # π/2: what a median loses against a mean
    noise_m = course.scatter * math.hypot(
        float(course.on_grid.value_gain[row]), math.sqrt(0.5 * math.pi / n_rest)
    )
    if not slope or not noise_m < level_m:
        return None  # a level within the noise is crossed at any time
    return Found(time_s, noise_m / abs(float(slope)))
