"""What can be done about a clip's time: offers, each with the change that accepts it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import msgspec

from deliverylab.core.events.check import suspected_capture_rate_hz
from deliverylab.core.metrics.ball_checks import radar_agreement
from deliverylab.core.metrics.ball_results import ball_flight
from deliverylab.core.metrics.motion_results import RADAR_U_M_S
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.timing import TimeDoubt, TimeRepair, Timing
from deliverylab.core.model.timing_changes import SetTiming
from deliverylab.core.video.probe import ProbeReport

replace = msgspec.structs.replace
OfferKind = Literal[
    "capture rate by contact to release", "capture rate by ball", "capture rate by fall",
    "as stored", "trust",
]  # fmt: skip
HIGHEST_RATE_HZ = 10_000.0


@dataclass(frozen=True, kw_only=True)
class TimeOffer:
    """One thing that can be done, and the change that does it.

    Attributes
    ----------
    kind : str
        What it rests on.
    text : str
        For a person.
    change : SetTiming
        What accepts it; undone like any other.
    capture_rate_hz, factor : float or None
        The rate offered, and how many times slower than life the clip then plays.
    """

    kind: OfferKind
    text: str
    change: SetTiming
    capture_rate_hz: float | None = None
    factor: float | None = None


def time_offers(
    delivery: Delivery, camera_name: str | None = None, *, rate_by_ball_hz: float | None = None
) -> tuple[TimeOffer, ...]:
    """Return what is offered for a clip's time, the most telling first; empty where all is well.

    Parameters
    ----------
    delivery : Delivery
        With its marks.
    camera_name : str, optional
        The camera; the first when None.
    rate_by_ball_hz : float, optional
        The capture rate that would bring the ball's speed to the radar's reading, see
        `rate_by_ball_hz`.
    """
    camera = delivery.camera(camera_name)
    timing, offers = camera.timing, []
    rates = (
        ("capture rate by contact to release", suspected_capture_rate_hz(camera)),
        ("capture rate by ball", rate_by_ball_hz),
    )
    for kind, rate_hz in rates:
        if rate_hz is None:
            continue
        reason = (
            "foot contact to release would become believable"
            if kind == "capture rate by contact to release"
            else "the ball would be as fast as the radar says"
        )
        offers.append(rate_offer(delivery, camera, rate_hz, kind, reason))  # type: ignore[arg-type]
    if timing.repair is not None:
        offers.append(
            TimeOffer(
                kind="as stored",
                text="measure by the times as they are stored again",
                change=_change(
                    delivery, camera.name, replace(timing, repair=None), "Take the repair back"
                ),
            )
        )
    if timing.doubts:
        offers.append(
            TimeOffer(
                kind="trust",
                text="trust the clip's times all the same, and show speeds",
                change=_change(
                    delivery, camera.name, replace(timing, doubts=()), "Trust the clip's times"
                ),
            )
        )
    return tuple(offers)


def rate_offer(
    delivery: Delivery, camera: Camera, rate_hz: float, kind: OfferKind, reason: str
) -> TimeOffer:
    """Return the offer to set a camera's capture rate, with the reason in words."""
    timing = camera.timing
    factor = rate_hz / timing.stored_rate_hz
    is_as_stored = abs(factor - 1.0) < 1e-6
    pace = (
        "as fast as life"
        if is_as_stored
        else f"{factor:.3g} times slower than life"
        if factor > 1.0
        else f"{1.0 / factor:.3g} times faster than life"
    )
    set_to = replace(timing, capture_rate_hz=None if is_as_stored else rate_hz)
    return TimeOffer(
        kind=kind,
        text=f"set the capture rate to {rate_hz:.6g} (the clip plays {pace}): {reason}",
        change=_change(delivery, camera.name, set_to, f"Set the capture rate to {rate_hz:.6g}"),
        capture_rate_hz=rate_hz,
        factor=factor,
    )


def rate_by_ball_hz(delivery: Delivery, camera: Camera) -> float | None:
    """Return the capture rate that explains why ball and radar disagree; None where none does.

    The rate's own limit of speeds is left aside: it is the rate that is questioned.
    """
    radar_m_s = delivery.ball_speed_m_s
    found = None if radar_m_s is None else ball_flight(delivery, camera)
    if radar_m_s is None or found is None or found.speed_m_s <= 0.0:
        return None
    u_m_s = math.hypot(*found.speed_parts.values())
    check = radar_agreement(
        found.speed_m_s, COVERAGE_FACTOR * u_m_s, radar_m_s, COVERAGE_FACTOR * RADAR_U_M_S,
        camera.timing.true_rate_hz,
    )  # fmt: skip
    return stepped_rate_hz(camera, check.rate_factor)


def stepped_rate_hz(camera: Camera, factor: float | None) -> float | None:
    """Return a camera's capture rate times a factor; None without one, or beyond any camera's."""
    if factor is None:
        return None
    rate_hz = factor * (camera.timing.capture_rate_hz or camera.timing.stored_rate_hz)
    return rate_hz if 1.0 <= rate_hz <= HIGHEST_RATE_HZ else None


def repair_of(report: ProbeReport) -> TimeRepair | None:
    """Return the repair of a time axis that a look over the clip found certain, as it is stored."""
    found = report.repair
    return None if found is None else TimeRepair(times_s=found.times_s, note=found.note)


def doubts_of(report: ProbeReport) -> tuple[TimeDoubt, ...]:
    """Return the findings that withhold speeds, as they are stored."""
    return tuple(
        TimeDoubt(kind=f.kind, frames=f.frames, reason=f.what, remedy=f.remedy)
        for f in report.findings
        if f.withholds_speeds
    )


def looked_over(timing: Timing, report: ProbeReport) -> Timing:
    """Return a timing with what a new look over its clip found; the capture rate is kept."""
    return replace(timing, repair=repair_of(report), doubts=doubts_of(report))


def _change(delivery: Delivery, camera: str, timing: Timing, what: str) -> SetTiming:
    return SetTiming(delivery=delivery.name, camera=camera, timing=timing, what=what)
