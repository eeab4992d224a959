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
    if rate_hz is not None:
        span_s = _contact_to_release_s(camera) or 0.0
        complaints.append(
            f"foot contact to release takes {span_s:.2f} s; about "
            f"{TYPICAL_CONTACT_TO_RELEASE_S:.2f} s is usual: if this is slow motion, set the "
            f"capture rate to {rate_hz:.0f} frames a second"
        )
    elif not _order(camera):
        complaints.extend(_spacing(camera))
    return tuple(complaints)


def suspected_capture_rate_hz(camera: Camera) -> float | None:
    """Return the capture rate that would make contact to release believable; None if it is.

    A slow-motion file stored at 30 frames a second shows a throw that takes a second: no throw does.
    """
    span_s = _contact_to_release_s(camera)
    low_s, high_s = BELIEVABLE_CONTACT_TO_RELEASE_S
    if span_s is None or span_s <= high_s:
        return None
    rate_hz = camera.timing.true_rate_hz
    fitting = {
        # by ratio: twice too slow is as far off as twice too fast
        rate: abs(math.log(span_s * rate_hz / rate / TYPICAL_CONTACT_TO_RELEASE_S))
        for rate in CAPTURE_RATES_HZ
        if rate > rate_hz and low_s <= span_s * rate_hz / rate <= high_s
    }
    return min(fitting, key=fitting.__getitem__) if fitting else None


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


def _spacing(camera: Camera) -> list[str]:
    """Return complaints about believable spacing, in real seconds."""
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
            complaints.append(
                f"{event.name} comes {span_s:.2f} s after {previous}; {low_s:g} to {high_s:g} s "
                "is believable: check both marks and the capture rate"
            )
    return complaints
