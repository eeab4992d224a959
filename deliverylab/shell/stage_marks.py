"""What is drawn on a stage besides the body: the scale, the ball's path, and what is measured."""

from __future__ import annotations

from deliverylab.core.metrics.figure_marks import measure_marks
from deliverylab.core.model.changes import replace
from deliverylab.core.model.delivery import Mark
from deliverylab.shell import stage_content
from deliverylab.shell.drawing.annotations import Annotation
from deliverylab.shell.drawing.measure_marks import MeasureMarks
from deliverylab.shell.session import Session, Side

NEAR_S = 0.0125
NEAR_FRAMES = 3
"""An event's measurements are drawn up to this far from its frame, real seconds and frames."""


def stage_annotations(
    session: Session, side: Side, *, is_scale_seen: bool
) -> tuple[Annotation, ...]:
    """Return what is drawn on a stage's shown frame besides the body."""
    delivery, camera = session.delivery(side), session.camera(side)
    if delivery is None or camera is None or session.hides_places(side):
        return ()
    frame = session.state(side).frame
    # solved cameras do without the two points of known distance
    is_in_space = delivery.space is not None and not delivery.space.is_refused
    is_drawn = is_scale_seen and not is_in_space
    drawn = stage_content.scale_line(camera, frame, session.unit_system) if is_drawn else ()
    return (*drawn, *stage_content.ball_trail(camera, frame), *measured(session, side))


def measured(session: Session, side: Side) -> tuple[MeasureMarks, ...]:
    """Return the measurements of the event at or next to the shown frame; none while it plays."""
    delivery, camera = session.delivery(side), session.camera(side)
    if delivery is None or camera is None or session.is_playing or not session.has_measures:
        return ()
    times_s = session.event_times_s(side)
    event, n_away = _nearest(session, side, times_s)
    if not event:
        return ()
    # what is marked in one clip of a solved delivery is known in all
    known = {key: Mark(time_s=time_s) for key, time_s in times_s.items()}
    seen = replace(camera, marks=known | camera.marks)
    marks = measure_marks(delivery, seen, event, session.results(side), session.unit_system)
    if not marks:
        return ()
    points = stage_content.frame_points(camera, session.state(side).frame)
    body = tuple((x, y) for x, y, state in points.values() if state != "hidden")
    return (MeasureMarks(marks=marks, body=body, is_own_frame=n_away == 0, event=event),)


def _nearest(session: Session, side: Side, times_s: dict[str, float]) -> tuple[str, int]:
    """Return the event nearest to the shown frame and how many frames away; empty when too far."""
    camera = session.camera(side)
    if camera is None or not times_s:
        return "", 0
    shown, timing = session.state(side).frame, camera.timing
    away = {key: abs(timing.frame_at(time_s) - shown) for key, time_s in times_s.items()}
    event = min(away, key=lambda key: away[key])
    near = min(NEAR_FRAMES, int(NEAR_S * timing.true_rate_hz))
    return (event, away[event]) if away[event] <= near else ("", 0)
