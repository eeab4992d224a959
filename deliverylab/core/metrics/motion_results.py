"""Results of times, of the body's forward speed, and of what was entered."""

from __future__ import annotations

import math

import numpy as np

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.mass_track import MassTrack, forward_speed, peak_forward_speed
from deliverylab.core.metrics.sight import Sight, cautions_of, not_shown, shown
from deliverylab.core.metrics.spec import MetricSpec, Result
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.vocabulary.events import event as event_entry

RADAR_U_M_S = 0.2235
"""Standard uncertainty of a radar reading, m/s: ± 1 mph at k = 2 (common practice)."""


def interval_result(spec: MetricSpec, event: str, sight: Sight) -> Result:
    """Evaluate a time between two marks: u of both, in real seconds."""
    camera = sight.camera
    absence = validity.not_marked(spec.events, camera)
    if absence is not None:
        return not_shown(spec, event, sight.delivery, camera, absence)
    start, end = (camera.marks[each].time_s for each in spec.events)
    real = camera.timing.real_per_clip
    parts = {
        f"marking {event_entry(each).name}": real * camera.u_mark_s(each) for each in spec.events
    }
    cautions: tuple[str, ...] = ()
    if camera.duplicate_frames and camera.timing.capture_rate_hz is None:
        cautions = ("the clip repeats frames: an event may hide in a lost one, u is doubled",)
    return shown(spec, event, sight, real * (end - start), parts, cautions)


def speed_result(spec: MetricSpec, event: str, sight: Sight) -> Result:
    """Evaluate the body's forward speed at an event, or its peak between two."""
    events = (event,) if spec.kind == "speed" else spec.events
    delivery, camera = sight.delivery, sight.camera
    absence = (
        validity.not_scaled(spec, delivery, camera)
        or validity.off_square(spec, camera)
        or validity.too_slow(spec, camera)
        or validity.not_marked(events, camera)
    )
    scale = sight.scale
    if absence is not None or scale is None:
        return not_shown(spec, event, delivery, camera, absence or validity.NO_SCALE)
    track = sight.mass_track(scale)
    real = camera.timing.real_per_clip
    at_s = [camera.marks[each].time_s * real for each in events]
    if spec.kind == "speed":
        speed = forward_speed(track, np.array(at_s))
        value, u_placing = float(speed.value[0]), float(speed.u_placing[0])
        u_timing = _acceleration(track, at_s[0]) * real * camera.u_mark_s(event)
    else:
        value, u_placing, _ = peak_forward_speed(track, *at_s)
        u_timing = 0.0
    if not math.isfinite(value):
        where = event_entry(event).name if event else "leg lift to release"
        absence = Absence(
            f"the whole body is not placed in enough frames around {where}",
            "place all body landmarks on frames up to 0.1 s before and after",
        )
        return not_shown(spec, event, delivery, camera, absence)
    parts = {
        "placing the landmarks": u_placing,
        "scale length": value * _relative_scale_u(scale),
        "yaw of the camera": abs(value) * (1.0 - math.cos(math.radians(scale.u_yaw_deg))),
        "timing of the event": u_timing,
        "seen in one plane": spec.projection_u_at(event),
    }
    return shown(spec, event, sight, value, parts, cautions_of(spec, sight, []))


def _acceleration(track: MassTrack, at_s: float) -> float:
    """Return the magnitude of the forward acceleration, m/s², from speeds a window apart."""
    speed = forward_speed(track, np.array([at_s - 0.02, at_s + 0.02])).value
    change = abs(float(speed[1] - speed[0])) / 0.04
    return change if math.isfinite(change) else 0.0


def _relative_scale_u(scale: PlanarScale) -> float:
    length_px = math.hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px)
    return math.hypot(
        scale.u_length_m / scale.length_m, math.sqrt(2.0) * scale.u_point_px / length_px
    )


def given_result(spec: MetricSpec, event: str, sight: Sight) -> Result:
    """Pass on the radar reading that was entered."""
    speed_m_s = sight.delivery.ball_speed_m_s
    if speed_m_s is None:
        absence = Absence("no radar reading entered", "enter the ball speed")
        return not_shown(spec, event, sight.delivery, sight.camera, absence)
    return shown(spec, event, sight, speed_m_s, {"radar gun": RADAR_U_M_S})
