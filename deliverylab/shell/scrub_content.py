"""What the scrub bar shows of a session: rows on one axis, curves, the phase scale, words."""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

import numpy as np

from deliverylab.core.metrics.angle_speeds import ANGLE_SPEEDS
from deliverylab.core.metrics.catalogue import BY_KEY as METRICS
from deliverylab.core.metrics.curves import CURVE_METRICS, Curve
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.units import Unit
from deliverylab.core.vocabulary.events import EVENTS, Event
from deliverylab.shell.drawing.scrub_scene import FloatArray, ScrubCurve, ScrubRow, ScrubScene
from deliverylab.shell.session import SIDES, Session, Side
from deliverylab.shell.suggest_content import doubts, ghosts


class Course(NamedTuple):
    """What can be drawn below the frames: a metric, or how fast an angle changes."""

    name: str
    unit: Unit
    decimals: int


COURSES: dict[str, Course] = {
    key: Course(METRICS[key].name, METRICS[key].unit, METRICS[key].decimals)
    for key in CURVE_METRICS
} | {key: Course(speed.name, "deg/s", 0) for key, speed in ANGLE_SPEEDS.items()}
"""By key, the most telling first."""
PHASE_TICKS = np.arange(-50.0, 276.0, 25.0)
GAP_FACTOR = 3.0
"""A curve is broken where its frames lie this many times farther apart than they mostly do."""


def is_aligned(session: Session) -> bool:
    """Return whether both deliveries can be laid on one phase scale."""
    return all(
        session.camera(side) is not None and session.timeline(side) is not None for side in SIDES
    )


def to_axis(session: Session, side: Side, times_s: FloatArray) -> FloatArray:
    """Return where times of a side's own clock lie on the bar's axis, s.

    The axis is the athlete's clock; the model's times are laid on it by phase, or, before both
    have their events, by the beginning of the clip.
    """
    athlete, model = session.camera("athlete"), session.camera("model")
    if side == "athlete" or athlete is None or model is None:
        return times_s
    by_clock = session.on_other_clock_s("model", times_s)
    if by_clock is not None:
        return by_clock
    own, base = session.timeline("model"), session.timeline("athlete")
    if own is not None and base is not None:
        return base.time_at(own.phase_at(times_s))
    shift_s = athlete.timing.times_s[athlete.first_frame] - model.timing.times_s[model.first_frame]
    return times_s + float(shift_s)


def scrub_row(session: Session, side: Side) -> ScrubRow | None:
    """Return the row of a side; None when nothing is on its stage."""
    delivery, camera = session.delivery(side), session.camera(side)
    if delivery is None or camera is None:
        return None
    keys = list(camera.marks)
    places = to_axis(session, side, np.array([camera.marks[key].time_s for key in keys]))
    return ScrubRow(
        side=side,
        name=camera.name if session.shows_both_clips else delivery.name,
        axis=to_axis(session, side, camera.timing.times_s),
        times_s=camera.timing.times_s,
        coverage=session.coverage(side),
        by_hand=session.coverage_by_hand(side),
        waiting_frames=session.waiting_frames(side),
        marks=dict(zip(keys, (float(place) for place in places), strict=True)),
        suggested=ghosts(session, side, partial(to_axis, session, side)),
        doubted=doubts(session, side, partial(to_axis, session, side)),
        first_frame=camera.first_frame,
        last_frame=camera.end_frame,
        has_movable_marks=side == "athlete" or not is_aligned(session),
    )


def broken(curve: Curve) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return times, values and u of a curve with a NaN in each gap of its frames."""
    steps = np.diff(curve.frames)
    if len(steps) == 0:
        return curve.times_s, curve.values, curve.u
    gaps = np.flatnonzero(steps > GAP_FACTOR * np.median(steps))
    times_s = np.insert(
        curve.times_s, gaps + 1, 0.5 * (curve.times_s[gaps] + curve.times_s[gaps + 1])
    )
    return times_s, np.insert(curve.values, gaps + 1, np.nan), np.insert(curve.u, gaps + 1, np.nan)


def scrub_scene(session: Session, metric: str) -> ScrubScene:
    """Return the bar's scene with one of the `COURSES`; empty: none."""
    rows = tuple(row for side in SIDES if (row := scrub_row(session, side)) is not None)
    curves, reason = [], ""
    for row in rows:
        side: Side = "model" if row.side == "model" else "athlete"
        curve = session.curve(side, metric) if metric else None
        if isinstance(curve, Absence):
            reason = reason or f"{curve.reason}: {curve.remedy}"
        elif curve is not None and len(curve.frames):
            times_s, values, u = broken(curve)
            curves.append(ScrubCurve(row.side, to_axis(session, side, times_s), values, u))
    course = COURSES.get(metric)
    phases: tuple[tuple[float, float], ...] = ()
    base = session.timeline("model" if rows[0].side == "model" else "athlete") if rows else None
    if base is not None:
        places = base.time_at(PHASE_TICKS)
        phases = tuple(
            (float(percent), float(place))
            for percent, place in zip(PHASE_TICKS, places, strict=True)
        )
    return ScrubScene(
        rows=rows,
        curves=tuple(curves),
        curve_name=course.name if course else "",
        reason=reason,
        unit=course.unit if course else "deg",
        decimals=course.decimals if course else 0,
        system=session.unit_system,
        phases=phases,
        is_aligned=is_aligned(session),
    )


def playhead_label(session: Session, side: Side) -> str:
    """Return phase, time and frame of a side, as far as there are any."""
    camera = session.camera(side)
    if camera is None:
        return ""
    phase = session.phase(side)
    parts = [] if phase is None else [f"{round(phase) + 0:d} %"]
    parts += [f"{session.time_s(side):.3f} s", f"frame {session.state(side).frame}"]
    return " · ".join(parts).replace("-", "\u2212")


def next_event_to_mark(session: Session, side: Side) -> Event | None:
    """Return the first event that no clip marks; the key instants before the others."""
    camera = session.camera(side)
    if camera is None:
        return None
    known = session.event_times_s(side)
    missing = [event for event in EVENTS if event.key not in known]
    return next((event for event in missing if event.key_instant), missing[0] if missing else None)
