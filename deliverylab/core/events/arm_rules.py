"""Hand break, full layback and release from the courses of the hands, and of the ball.

References
----------
.. [1] Kageyama M et al. (2015). J Sports Sci Med 14:246-255: maximal external rotation and release.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.events.body_courses import FORWARD, BodyCourses
from deliverylab.core.events.course import Course, Found, Outcome, fitted_extreme
from deliverylab.core.events.rules import (
    BALL_FLIGHT_S,
    BALL_GRIP_M,
    BALL_OUT_M,
    COCKING_BEFORE_RELEASE_S,
    HANDS_PART_M,
    LAST_PEAK_SHARE,
    LATEST_LAYBACK_S,
    LAYBACK_BEFORE_PEAK_S,
    LEAST_HAND_SPEED_M_S,
    LONGEST_COCKING_S,
    PEAK_DEGREE,
    PEAK_HALF_WIDTH_S,
    RELEASE_AFTER_PEAK_S,
    SLOWED_SHARE,
    SWING_NEAR_PEAK_S,
    THROWING_SPEED_M_S,
    TOGETHER_BEFORE_LIFT_S,
    U_BALL_GRIP_M,
    U_HANDS_PART_M,
)

FloatArray = NDArray[np.float64]


def fastest_hand(body: BodyCourses) -> Outcome:
    """Find when the throwing hand, or else the wrist, is fastest toward the plate."""
    if body.sight == "end":
        return Outcome.nothing("a rear or front view does not show the hand's forward motion")
    hand = body.first_of("throwing_hand", "throwing_wrist")
    if hand is None:
        return Outcome.nothing("track the throwing hand from cocking until after release")
    role, course = hand
    speed = course.velocity_m_s[:, FORWARD]
    if not np.isfinite(speed).any():
        return Outcome.nothing("track the throwing hand in every frame around release")
    highest = float(np.nanmax(speed))
    if highest < LEAST_HAND_SPEED_M_S:
        return Outcome.nothing(
            f"the throwing hand is seen no faster than {highest:.1f} m/s: track it through its throw, "
            "or check scale and capture rate"
        )
    inner = speed[1:-1]
    is_peak = (inner > speed[:-2]) & (inner >= speed[2:]) & (inner >= LAST_PEAK_SHARE * highest)
    peaks = np.flatnonzero(is_peak) + 1
    if not len(peaks):
        return Outcome.nothing("track the throwing hand beyond its fastest motion")
    if not _slows_down(course, speed, int(peaks[-1])):
        return Outcome.nothing("track the throwing hand in every frame until it has slowed down")
    found = _extreme(course, FORWARD, float(course.grid_s[peaks[-1]]), order=2)
    if found is None:
        return Outcome.nothing("track the throwing hand in every frame around release")
    rule = "release_by_wrist" if role == "throwing_wrist" else "release"
    return Outcome(found, rule, role.replace("_", " "))


def _slows_down(course: Course, speed: FloatArray, peak: int) -> bool:
    """Return whether a speed is seen to fall off after its peak, with nothing hidden that was faster."""
    after = speed[peak:]
    with np.errstate(invalid="ignore"):
        slow = np.flatnonzero(after < SLOWED_SHARE * speed[peak])
    if not len(slow):
        return False
    n_shown = int(slow[0])
    if speed[peak] < THROWING_SPEED_M_S:
        n_shown = int(COCKING_BEFORE_RELEASE_S / (course.grid_s[1] - course.grid_s[0]))
    return len(after) > n_shown and bool(np.isfinite(after[:n_shown]).all())


def _extreme(course: Course, column: int, near_s: float, *, order: int) -> Found | None:
    """Return the extreme of a column or of its speed, near where the smoothed course has it."""
    return _extreme_of(course, course.times_s, course.values[:, column], near_s, order=order)


def _extreme_of(
    course: Course, times_s: FloatArray, values: FloatArray, near_s: float, *, order: int
) -> Found | None:
    rows = np.abs(times_s - near_s) <= max(PEAK_HALF_WIDTH_S, course.half_width_s)
    return fitted_extreme(times_s[rows], values[rows], near_s, degree=PEAK_DEGREE, order=order)


def fastest_forearm(body: BodyCourses, peak: Outcome) -> Outcome:
    """Find when the hand is fastest toward the plate as seen from the elbow, near its own peak.

    The hand's own peak moves with what trunk and upper arm do; the forearm's swing is nearer to the
    ball's release.  Without the elbow, the hand's own peak comes back.
    """
    hand, elbow = body.courses.get("throwing_hand"), body.courses.get("throwing_elbow")
    if peak.found is None or hand is None or elbow is None:
        return peak
    grid_s = hand.grid_s
    with np.errstate(invalid="ignore"):
        speed = hand.velocity_m_s[:, FORWARD] - elbow.at(grid_s).slope[:, FORWARD]
        near = (np.abs(grid_s - peak.found.time_s) < SWING_NEAR_PEAK_S) & np.isfinite(speed)
    if not near.any():
        return peak
    top_s = float(grid_s[np.argmax(np.where(near, speed, -np.inf))])
    times_s, rows, elbow_rows = np.intersect1d(hand.times_s, elbow.times_s, return_indices=True)
    apart_m = hand.values[rows, FORWARD] - elbow.values[elbow_rows, FORWARD]
    found = _extreme_of(hand, times_s, apart_m, top_s, order=2)
    if found is None or abs(found.time_s - peak.found.time_s) > SWING_NEAR_PEAK_S:
        return peak
    return Outcome(found, "release_by_forearm", "throwing hand, seen from the elbow,")


def release(body: BodyCourses, peak: Outcome, swing: Outcome) -> Outcome:
    """Find when the ball leaves the hand: by its flight where it is seen, else by the arm's swing."""
    if peak.found is None or swing.found is None:
        return peak
    flown = _ball_leaves(body, peak.found)
    if flown is not None:
        return Outcome(flown, "release_by_ball", "the ball's flight begins at the hand")
    why = f"{1e3 * RELEASE_AFTER_PEAK_S:.0f} ms after the {swing.why} is fastest toward the plate"
    return Outcome(swing.found.later(RELEASE_AFTER_PEAK_S), swing.rule, why)


def _ball_leaves(body: BodyCourses, peak: Found) -> Found | None:
    """Return when the line of the ball's flight meets the hand."""
    ball, hand = body.courses.get("ball"), body.courses.get("throwing_hand")
    if ball is None or hand is None:
        return None
    hand_x = np.interp(ball.times_s, hand.grid_s, hand.on_grid.value[:, FORWARD])
    ahead_m = ball.values[:, FORWARD] - hand_x
    since_s = ball.times_s - peak.time_s
    is_out = (np.abs(since_s) < BALL_FLIGHT_S) & (ahead_m > BALL_OUT_M)
    if np.count_nonzero(is_out) < 3:
        return None
    times_s, places = ball.times_s[is_out], ball.values[is_out, FORWARD]
    (speed, start), covariance = np.polyfit(times_s - peak.time_s, places, 1, cov="unscaled")
    grid_s = hand.grid_s
    if speed < float(np.nanmax(hand.velocity_m_s[:, FORWARD])):
        return None  # no ball is slower than the hand that threw it: this is not its flight
    gap_m = start + speed * (grid_s - peak.time_s) - hand.on_grid.value[:, FORWARD] - BALL_GRIP_M
    before = grid_s < times_s[0]
    behind = np.flatnonzero(before & (gap_m <= 0.0))
    if not len(behind) or behind[-1] + 1 >= len(grid_s):
        return None
    row = int(behind[-1])
    faster_m_s = (gap_m[row + 1] - gap_m[row]) / (grid_s[row + 1] - grid_s[row])
    if not faster_m_s > 0.0:
        return None
    time_s = float(grid_s[row] - gap_m[row] / faster_m_s)
    back_s = np.array([time_s - peak.time_s, 1.0])
    u_line_m = hand.scatter * math.sqrt(float(back_s @ covariance @ back_s))
    return Found(time_s, math.hypot(u_line_m, hand.scatter, U_BALL_GRIP_M) / float(faster_m_s))


def full_layback(body: BodyCourses, peak: Outcome, swing: Outcome) -> Outcome:
    """Find when the throwing shoulder is turned outward farthest; without space by the arm's swing."""
    if peak.found is None or swing.found is None:
        return peak
    turned = body.external_rotation_deg
    if turned is not None:
        found = _farthest_turn(turned, peak.found)
        if found is not None:
            return Outcome(found, "full_layback_in_space", "the forearm is turned outward farthest")
    why = f"{1e3 * LAYBACK_BEFORE_PEAK_S:.0f} ms before the {swing.why} is fastest toward the plate"
    rule = "full_layback_by_forearm" if swing.rule == "release_by_forearm" else "full_layback"
    return Outcome(swing.found.later(-LAYBACK_BEFORE_PEAK_S), rule, why)


def _farthest_turn(turned: Course, peak: Found) -> Found | None:
    since_s = turned.grid_s - peak.time_s
    angle = turned.on_grid.value[:, 0]
    inside = (since_s > -LONGEST_COCKING_S) & (since_s < LATEST_LAYBACK_S) & np.isfinite(angle)
    if not inside.any():
        return None
    top = int(np.argmax(np.where(inside, angle, -np.inf)))
    return _extreme(turned, 0, float(turned.grid_s[top]), order=1)


def hand_break(body: BodyCourses, lift_s: float | None, rest_s: float | None) -> Outcome:
    """Find when the hands are apart for the first time after they were together."""
    if body.sight == "end":
        return Outcome.nothing("from here the hands part along the line of sight: mark it by eye")
    pair = next(
        (
            (body.courses[f"throwing_{part}"], body.courses[f"glove_{part}"])
            for part in ("hand", "wrist")
            if {f"throwing_{part}", f"glove_{part}"} <= body.courses.keys()
        ),
        None,
    )
    if pair is None or lift_s is None or rest_s is None:
        return Outcome.nothing("track both hands from leg lift to foot contact, and the lead leg")
    throwing, glove = pair
    grid_s = throwing.grid_s
    apart = throwing.on_grid.value - glove.at(grid_s).value
    apart_m = np.linalg.norm(apart, axis=1)
    inside = (grid_s > lift_s - TOGETHER_BEFORE_LIFT_S) & (grid_s < rest_s)
    inside &= np.isfinite(apart_m)
    if not inside.any():
        return Outcome.nothing("track both hands from leg lift to foot contact")
    together = int(np.argmin(np.where(inside, apart_m, np.inf)))
    level_m = float(apart_m[together]) + HANDS_PART_M
    far = np.flatnonzero(inside & (np.arange(len(grid_s)) > together) & (apart_m > level_m))
    if not len(far):
        return Outcome.nothing("the hands are not seen to part before the front foot lands")
    row = int(far[0])
    # over a stretch as long as the smoothing: the slope at one instant is itself noisy
    wide = int(throwing.half_width_s / (grid_s[1] - grid_s[0]))
    low, high = max(row - wide, together), min(row + wide, len(grid_s) - 1)
    rate_m_s = (apart_m[high] - apart_m[low]) / (grid_s[high] - grid_s[low])
    noise_m = math.hypot(throwing.scatter, glove.scatter) * float(throwing.on_grid.value_gain[row])
    u_s = math.hypot(noise_m, U_HANDS_PART_M) / float(rate_m_s)
    why = f"the hands are {100 * HANDS_PART_M:.0f} cm farther apart than when together"
    if not 0.0 < u_s < math.inf:
        return Outcome.nothing("the hands are not seen to part before the front foot lands")
    return Outcome(Found(float(grid_s[row]), u_s), "hand_break", why)
