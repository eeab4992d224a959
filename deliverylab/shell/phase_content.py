"""What the curves over phase show: both deliveries on one axis of per cents between the events."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from deliverylab.core.metrics.curves import Curve
from deliverylab.core.metrics.validity import Absence
from deliverylab.shell.drawing.scrub_scene import ScrubCurve, ScrubRow, ScrubScene
from deliverylab.shell.scrub_content import COURSES, PHASE_TICKS, broken, scrub_row
from deliverylab.shell.session import SIDES, Session, Side

if TYPE_CHECKING:
    from deliverylab.core.compare.align import Timeline

FIRST_PERCENT, LAST_PERCENT = -25.0, 225.0
"""The part of the phase that is shown at first."""
NO_PHASE = "without two of leg lift, foot contact and release there is no phase: mark them"


def phase_scene(session: Session, metric: str) -> ScrubScene:
    """Return one of the `COURSES` of both deliveries over the phase, with the band of either."""
    rows, curves, reasons = [], [], []
    for side in SIDES:
        row, timeline = scrub_row(session, side), session.timeline(side)
        if row is None:
            continue
        if timeline is None:
            reasons.append(NO_PHASE)
            continue
        rows.append(_over_phase(session, side, row, timeline))
        curve = session.curve(side, metric)
        if isinstance(curve, Absence):
            reasons.append(f"{curve.reason}: {curve.remedy}")
        elif isinstance(curve, Curve) and len(curve.frames):
            times_s, values, u = broken(curve)
            curves.append(ScrubCurve(side, timeline.phase_at(times_s), values, u))
    course = COURSES[metric]
    return ScrubScene(
        rows=tuple(rows),
        curves=tuple(curves),
        curve_name=course.name,
        reason=reasons[0] if reasons else "",
        unit=course.unit,
        decimals=course.decimals,
        system=session.unit_system,
        phases=tuple((float(percent), float(percent)) for percent in PHASE_TICKS),
        is_aligned=True,
        has_all_bands=True,
    )


def _over_phase(session: Session, side: Side, row: ScrubRow, timeline: Timeline) -> ScrubRow:
    """Return a side's row with the phase as its axis; neither its marks nor its ends can be moved."""
    axis = timeline.phase_at(row.times_s)
    inside = np.flatnonzero((axis >= FIRST_PERCENT) & (axis <= LAST_PERCENT))
    inside = inside[(inside >= row.first_frame) & (inside <= row.last_frame)]
    first, last = (inside[0], inside[-1]) if len(inside) else (row.first_frame, row.last_frame)
    times_s = session.event_times_s(side)
    return replace(
        row,
        axis=axis,
        marks={key: float(timeline.phase_at(time_s)) for key, time_s in times_s.items()},
        suggested={},
        doubted={},
        waiting_frames=(),
        first_frame=int(first),
        last_frame=int(last),
        has_movable_marks=False,
        is_trimmable=False,
    )
