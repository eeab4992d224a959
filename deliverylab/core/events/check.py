"""Whether event marks can be true together, in plain words."""

from __future__ import annotations

import math
from itertools import pairwise

from deliverylab.core.model.delivery import Camera
from deliverylab.core.vocabulary.events import (
    BELIEVABLE_CONTACT_TO_RELEASE_S,
    EVENTS,
    TYPICAL_CONTACT_TO_RELEASE_S,
)
from deliverylab.core.vocabulary.events import BY_KEY as EVENT_BY_KEY

CAPTURE_RATES_HZ: tuple[float, ...] = (60.0, 120.0, 240.0, 480.0, 960.0)
"""Rates at which phones take slow motion (common practice)."""
SLOW_MOTION_FACTORS: tuple[int, ...] = (2, 4, 8, 16, 32)
"""How many times slower than life slow motion is stored (common practice)."""


def mark_complaints(camera: Camera) -> tuple[str, ...]:
    """Return what is odd about the marks: order, spacing, a suspected slow-motion file.

    Parameters
    ----------
    camera : Camera
        With any number of marks.

    Returns
    -------
    tuple of str
        Sentences for a person; empty when nothing is odd.
    """
    complaints = [*_order(camera)]
    rate_hz = suspected_capture_rate_hz(camera)
    span_s = _contact_to_release_s(camera) or 0.0
    if rate_hz is not None and span_s > BELIEVABLE_CONTACT_TO_RELEASE_S[1]:
        complaints.append(
            f"foot contact to release takes {span_s:.2f} s; about "
            f"{TYPICAL_CONTACT_TO_RELEASE_S:.2f} s is usual: if this is slow motion, set the "
            f"capture rate to {rate_hz:.0f} frames a second"
        )
    elif not _order(camera):
        complaints.extend(_spacing(camera, rate_hz))
    return tuple(complaints)


def suspected_capture_rate_hz(camera: Camera) -> float | None:
    """Return the capture rate that would make contact to release believable; None if it is.

    A slow-motion file stored at 30 frames a second shows a throw that takes a second: no throw does.
    One that takes a hundredth was slowed less than the stated capture rate says, or plays too fast.
    """
    span_s = _contact_to_release_s(camera)
    low_s, high_s = BELIEVABLE_CONTACT_TO_RELEASE_S
    if span_s is None or low_s <= span_s <= high_s:
        return None
    timing = camera.timing
    rate_hz = timing.stored_rate_hz / timing.real_per_clip
    is_too_long = span_s > high_s
    rates = _slow_motion_rates_hz if is_too_long else _lower_rates_hz
    fitting = {
        # by ratio: twice too slow is as far off as twice too fast
        rate: abs(math.log(span_s * rate_hz / rate / TYPICAL_CONTACT_TO_RELEASE_S))
        for rate in rates(timing.stored_rate_hz)
        if (rate > rate_hz) == is_too_long and low_s <= span_s * rate_hz / rate <= high_s
    }
    return min(fitting, key=fitting.__getitem__) if fitting else None


def _lower_rates_hz(stored_hz: float) -> tuple[float, ...]:
    """Return rates below a stated one: those of phones, the stored one, half and a quarter of that."""
    return (*CAPTURE_RATES_HZ, stored_hz, stored_hz / 2.0, stored_hz / 4.0)


def _slow_motion_rates_hz(stored_hz: float) -> tuple[float, ...]:
    """Return the rates that phones use, and where none of them is near the usual factors of this one."""
    own = (factor * stored_hz for factor in SLOW_MOTION_FACTORS)
    odd = (
        rate
        for rate in own
        if rate < CAPTURE_RATES_HZ[-1]
        and all(abs(rate / usual - 1.0) > 0.1 for usual in CAPTURE_RATES_HZ)
    )
    return (*CAPTURE_RATES_HZ, *odd)


def _contact_to_release_s(camera: Camera) -> float | None:
    if not {"foot_contact", "release"} <= camera.marks.keys():
        return None
    span_s = _real_span_s(camera, "foot_contact", "release")
    return span_s if span_s > 0.0 else None


def _real_span_s(camera: Camera, start: str, end: str) -> float:
    """Return the real time from one mark to another, seconds."""
    start_s, end_s = camera.timing.real_s([camera.marks[each].time_s for each in (start, end)])
    return float(end_s - start_s)


def _order(camera: Camera) -> list[str]:
    """Return complaints about events that come before the one they follow."""
    marked = [e for e in EVENTS if e.key in camera.marks and e.key != "hand_break"]
    return [
        f"{later.name} is marked before {earlier.name}"
        for earlier, later in pairwise(marked)
        if camera.marks[later.key].time_s < camera.marks[earlier.key].time_s
    ]


def _spacing(camera: Camera, rate_hz: float | None) -> list[str]:
    """Return complaints about believable spacing, in real seconds; a rate that mends one is named."""
    complaints = []
    for event in EVENTS:
        if event.previous is None or event.after_previous_s is None:
            continue
        if event.key not in camera.marks or event.previous not in camera.marks:
            continue
        span_s = _real_span_s(camera, event.previous, event.key)
        low_s, high_s = event.after_previous_s
        if not low_s <= span_s <= high_s:
            previous = EVENT_BY_KEY[event.previous].name
            mends = (event.previous, event.key) == ("foot_contact", "release") and rate_hz
            advice = f", which would fit at {rate_hz:.6g} frames a second" if mends else ""
            complaints.append(
                f"{event.name} comes {span_s:.2f} s after {previous}; {low_s:g} to {high_s:g} s "
                f"is believable: check both marks and the capture rate{advice}"
            )
    return complaints
