"""Results of the body's momentum: when it is fastest, what it keeps, and what pushed it."""

from __future__ import annotations

import math
from collections.abc import Callable

import msgspec
import numpy as np

from deliverylab.core.metrics.mass_track import STRIDE_TOP, Speed
from deliverylab.core.metrics.motion_results import NOT_ENOUGH_FRAMES
from deliverylab.core.metrics.sight import Motion, not_shown, shown, unbelievable
from deliverylab.core.metrics.spec import MetricSpec, Result
from deliverylab.core.metrics.support import Support, mean_support
from deliverylab.core.metrics.validity import Absence

MIN_SPEED_M_S = 0.5
"""A share of a speed below this says nothing."""


def peak_time_result(spec: MetricSpec, event: str, motion: Motion) -> Result:
    """Evaluate how long before foot contact the body is fastest."""
    speeds, absence = _speeds_of(spec, motion, (STRIDE_TOP, "foot_contact"))
    if absence is not None:
        return not_shown(spec, event, motion.delivery.name, motion.camera, absence)
    peak, contact = speeds
    parts = {
        "placing the landmarks": peak.u_time_s,
        "timing of the event": motion.u_mark_s("foot_contact"),
        "smoothing": motion.projection_u(spec, event),
    }
    value = contact.time_s - peak.time_s
    return shown(spec, event, motion, value, parts, motion.motion_cautions(spec, event))


def kept_result(spec: MetricSpec, event: str, motion: Motion) -> Result:
    """Evaluate the share of a forward speed, its top or that at contact, kept until release."""
    start = STRIDE_TOP if spec.key == "com_forward_speed_kept_from_top" else spec.events[0]
    speeds, absence = _speeds_of(spec, motion, (start, "release"))
    if absence is None and speeds[0].value < MIN_SPEED_M_S:
        absence = Absence(
            f"the body moves at less than {MIN_SPEED_M_S:g} m/s: no share of it tells anything",
            "check the scale and on which side of the picture the plate is",
        )
    if absence is not None:
        return not_shown(spec, event, motion.delivery.name, motion.camera, absence)
    before, after = speeds
    share = after.value / before.value
    per_cent = 100.0 / before.value

    def joined(part: Callable[[Speed], float]) -> float:
        return per_cent * math.hypot(part(after), share * part(before))

    shares = motion.weight_shares
    others = 100.0 * (after.otherwise[:, 0] / before.otherwise[:, 0] - share)
    timing = [
        motion.u_mark_s(each) * _change(spec, speed)
        for each, speed in ((start, before), ("release", after))
        if each != STRIDE_TOP
    ]
    timing[0] *= share if len(timing) == 2 else 1.0
    parts = {
        "placing the landmarks": joined(lambda speed: speed.u_placing),
        "smoothing": math.hypot(
            joined(lambda speed: speed.u_smoothing), motion.projection_u(spec, event)
        ),
        "landmarks that others stand in for": joined(lambda speed: speed.u_stand_ins),
        "segment weights": float(np.sqrt(np.sum((others * shares) ** 2))),
        "timing of the event": per_cent * math.hypot(*timing),
    }
    value = 100.0 * share
    cautions = motion.motion_cautions(spec, event) + unbelievable(spec, value)
    return shown(spec, event, motion, value, parts, cautions)


def support_result(spec: MetricSpec, event: str, motion: Motion) -> Result:
    """Estimate the direction of the mean support force between two events."""
    speeds, absence = _speeds_of(spec, motion, spec.events)
    if absence is not None:
        return not_shown(spec, event, motion.delivery.name, motion.camera, absence)
    before, after = speeds
    took_s = after.time_s - before.time_s
    support = mean_support((before.value, before.up_m_s), (after.value, after.up_m_s), took_s)
    ahead, up = support.ahead_m_s2, support.up_m_s2
    u_level = math.radians(motion.u_level_deg())
    parts = {
        "placing the landmarks": support.turned_deg(
            math.hypot(before.u_placing, after.u_placing) / took_s,
            math.hypot(before.u_placing, after.u_placing) / took_s,
        ),
        "smoothing": support.turned_deg(
            math.hypot(before.u_smoothing, after.u_smoothing) / took_s,
            math.hypot(before.u_up_smoothing, after.u_up_smoothing) / took_s,
        ),
        "landmarks that others stand in for": support.turned_deg(
            math.hypot(before.u_stand_ins, after.u_stand_ins) / took_s, 0.0
        ),
        "segment weights": _weights_part(support, before, after, took_s, motion.weight_shares),
        "timing of the event": support.turned_deg(
            math.hypot(*(_timing_m_s2(spec, motion, each, speed, ahead, took_s)
                         for each, speed in zip(spec.events, speeds, strict=True))), 0.0,
        ),
        "seen in one plane": motion.projection_u(spec, event),
        # a camera that leans turns what moves, not gravity
        "level of the camera": support.turned_deg(
            u_level * abs(up), u_level * ahead
        ),
    }  # fmt: skip
    for source, part in motion.scale_u(after.forward_m).items():
        if source != "level of the camera":
            parts[source] = support.turned_deg(part * ahead, 0.0)
    cautions = motion.motion_cautions(spec, event) + unbelievable(spec, support.angle_deg)
    result = shown(spec, event, motion, support.angle_deg, parts, cautions)
    return msgspec.structs.replace(result, status="estimated") if result.is_shown else result


def _speeds_of(
    spec: MetricSpec, motion: Motion, names: tuple[str, ...]
) -> tuple[tuple[Speed, ...], Absence | None]:
    """Return the speeds of these names, or why one of them is not there."""
    absence = motion.speed_absence(spec, "")
    if absence is not None:
        return (), absence
    found = tuple(speed for name in names if (speed := motion.speed(name)) is not None)
    if len(found) < len(names) or not all(math.isfinite(speed.value) for speed in found):
        return (), NOT_ENOUGH_FRAMES
    return found, None


def _change(spec: MetricSpec, speed: Speed) -> float:
    change = abs(speed.acceleration_m_s2)
    return change if math.isfinite(change) else spec.typical_slope


def _timing_m_s2(
    spec: MetricSpec, motion: Motion, event: str, speed: Speed, mean_m_s2: float, took_s: float
) -> float:
    """Return what u of one mark does to the mean acceleration: the speed there, and the time taken."""
    u_s = motion.u_mark_s(event)
    return u_s * (_change(spec, speed) + abs(mean_m_s2)) / took_s


def _weights_part(
    support: Support, before: Speed, after: Speed, took_s: float, shares: tuple[float, ...]
) -> float:
    """Return the part of u of segment weights, degrees: the direction with other weights."""
    others = [
        mean_support(tuple(start), tuple(end), took_s).angle_deg - support.angle_deg
        for start, end in zip(before.otherwise, after.otherwise, strict=True)
    ]
    return math.hypot(*(share * other for share, other in zip(shares, others, strict=True)))
