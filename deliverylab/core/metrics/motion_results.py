"""Results of times, of the body's forward speed, and of what was entered."""

from __future__ import annotations

import math

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.remedies import MARKING, SMOOTHING, TIMING, line
from deliverylab.core.metrics.sight import Motion, Sight, not_shown, shown
from deliverylab.core.metrics.spec import MetricSpec, Result
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.vocabulary.events import event as event_entry

NOT_ENOUGH_FRAMES = Absence(
    "the whole body is not placed in enough frames around its events",
    "place all body landmarks on frames up to 0.1 s before and after",
)
RADAR_U_M_S = 0.2235
"""Standard uncertainty of a radar reading, m/s: ± 1 mph at k = 2 (common practice)."""


def interval_result(spec: MetricSpec, event: str, sight: Sight) -> Result:
    """Evaluate a time between two marks: u of both, in real seconds."""
    camera = sight.camera
    absence = validity.not_marked(spec.events, camera) or validity.out_of_order(spec, camera)
    if absence is not None:
        return not_shown(spec, event, sight.delivery.name, camera, absence)
    start_s, end_s = camera.timing.real_s([camera.marks[each].time_s for each in spec.events])
    real = camera.timing.real_per_clip
    marks = [
        line(f"{MARKING}{event_entry(each).name}", real * camera.u_mark_s(each), "", each)
        for each in spec.events
    ]
    cautions: tuple[str, ...] = ()
    is_hidden = bool(camera.duplicate_frames) and camera.timing.repair is None
    if is_hidden and any(camera.marks[each].u_s is None for each in spec.events):
        cautions = (
            "the clip repeats frames, so an event may lie in a lost one: the ± of its mark is doubled",
        )
    return shown(spec, event, sight, float(end_s - start_s), {}, cautions, lines=marks)


def speed_result(spec: MetricSpec, event: str, motion: Motion) -> Result:
    """Evaluate the body's forward speed at an event, or its peak between two."""
    absence = motion.speed_absence(spec, event)
    speed = None if absence is not None else motion.speed(event)
    if speed is None or not math.isfinite(speed.value):
        where = event_entry(event).name if event else "leg lift to release"
        absence = absence or Absence(
            f"the whole body is not placed in enough frames around {where}",
            "place all body landmarks on frames up to 0.1 s before and after",
        )
        return not_shown(spec, event, motion.delivery.name, motion.camera, absence)
    change = abs(speed.acceleration_m_s2)
    parts = {
        "placing the landmarks": speed.u_placing,
        # what two windows tell of a peak, and what neither does
        SMOOTHING: math.hypot(speed.u_smoothing, motion.projection_u(spec, event)),
        "segment weights": speed.u_weights,
        "landmarks that others stand in for": speed.u_stand_ins,
        TIMING: (motion.u_mark_s(event) if event else 0.0)
        * (change if math.isfinite(change) else spec.typical_slope),
    }
    for source, share in motion.scale_u(speed.forward_m).items():
        parts[source] = abs(speed.value) * share
    return shown(spec, event, motion, speed.value, parts, motion.motion_cautions(spec, event))


def given_result(spec: MetricSpec, event: str, sight: Sight) -> Result:
    """Pass on the radar reading that was entered."""
    speed_m_s = sight.delivery.ball_speed_m_s
    if speed_m_s is None:
        absence = Absence("no radar reading entered", "enter the ball speed")
        return not_shown(spec, event, sight.delivery.name, sight.camera, absence)
    return shown(spec, event, sight, speed_m_s, {"radar gun": RADAR_U_M_S})
