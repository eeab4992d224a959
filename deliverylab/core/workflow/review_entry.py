"""One entry of what a person should check, and the edit that finds it right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deliverylab.core.model.delivery import Camera, Delivery, LookedAt
from deliverylab.core.model.review_changes import SetLookedAt

LookReason = Literal["residual", "jump", "length", "flip", "unsure", "lost", "bridged"]
AT_EVENT_WEIGHT, NEAR_EVENT_S = 2.0, 0.05
MOST_WEIGHT = 5.0


@dataclass(frozen=True, kw_only=True)
class Look:
    """One position or frame that a person should check.

    Attributes
    ----------
    delivery, camera : str
    frame : int
        Of that clip; the worst of its incident.
    landmark : str
        Key.
    reason : {"residual", "jump", "length", "flip", "unsure", "lost", "bridged"}
    text : str
        Why, in words.
    weight : float
        The larger the more urgent: by how much a bound is passed, twice as much at an event.
    """

    delivery: str
    camera: str
    frame: int
    landmark: str
    reason: LookReason
    text: str
    weight: float


def entry(
    delivery: Delivery, camera: Camera, frame: int, landmark: str, reason: LookReason, text: str,
    weight: float,
) -> Look:  # fmt: skip
    """Return an entry; its weight is bounded, and doubled at an event."""
    timing = camera.timing
    frame_s = float(timing.times_s[frame])
    near_s = NEAR_EVENT_S / timing.real_per_clip
    is_near = any(abs(mark.time_s - frame_s) <= near_s for mark in camera.marks.values())
    return Look(
        delivery=delivery.name, camera=camera.name, frame=frame, landmark=landmark, reason=reason,
        text=text, weight=min(weight, MOST_WEIGHT) * (AT_EVENT_WEIGHT if is_near else 1.0),
    )  # fmt: skip


def saying_right(delivery: Delivery, look: Look) -> SetLookedAt:
    """Return the change that takes an entry off the list, until its position is another one."""
    camera = delivery.camera(look.camera)
    said = LookedAt(
        landmark=look.landmark, frame=look.frame, reason=look.reason,
        position=camera.track(look.landmark).at(look.frame),
    )  # fmt: skip
    still = [
        one for one in camera.looked_at if camera.is_right(one.landmark, one.frame, one.reason)
    ]
    return SetLookedAt(
        delivery=delivery.name, camera=look.camera,
        looked_at=tuple(dict.fromkeys((*still, said))),
    )  # fmt: skip
