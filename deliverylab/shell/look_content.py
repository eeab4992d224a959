"""What the window says of an entry that a person should look at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deliverylab.core.model.delivery import Delivery
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import role_for_key, role_name

if TYPE_CHECKING:
    from deliverylab.core.workflow.review_entry import Look

NEAR_EVENT_S = 0.25
"""So near to an event an instant is told from it, real seconds."""
AT_EVENT_S = 0.005


def look_words(look: Look, delivery: Delivery) -> tuple[str, str]:
    """Return what an entry is and where, and why it is one, in words."""
    name = role_name(role_for_key(look.landmark, delivery.athlete.hand))
    when = f"frame {look.frame}{_event_words(delivery, look)}"
    what = f"{name[:1].upper()}{name[1:]}, {look.camera}, {when}"
    return what, f"{look.text[:1].upper()}{look.text[1:]}."


def _event_words(delivery: Delivery, look: Look) -> str:
    """Return where a frame lies to the nearest event that any clip marks; empty far from all.

    Other clips tell it where their clocks are known.
    """
    offsets_s = _offsets_s(delivery)
    here = delivery.camera(look.camera)
    at_s = offsets_s.get(here.name, 0.0)
    at_s += float(here.timing.real_s(here.timing.times_s[look.frame]))
    near = []
    for camera in delivery.cameras:
        if camera is not here and not {camera.name, here.name} <= offsets_s.keys():
            continue
        for key, mark in camera.marks.items():
            event_s = offsets_s.get(camera.name, 0.0) + float(camera.timing.real_s(mark.time_s))
            near.append((abs(at_s - event_s), key, at_s - event_s))
    if not near or min(near)[0] > NEAR_EVENT_S:
        return ""
    size_s, key, apart_s = min(near)
    if size_s < AT_EVENT_S:
        return f", {event_entry(key).name}"
    return f", {size_s:.2f} s {'after' if apart_s > 0.0 else 'before'} {event_entry(key).name}"


def _offsets_s(delivery: Delivery) -> dict[str, float]:
    """Return what to add to each clip's real time to have one clock; empty where nothing is solved."""
    from deliverylab.core.metrics.space_sight import space_sight

    sight = space_sight(delivery)
    if sight.absence is not None:
        return {}
    names = (view.name for view in sight.views)
    return dict(zip(names, map(float, sight.offsets_s), strict=True))
