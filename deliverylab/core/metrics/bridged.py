"""Cautions where a result rests on positions that were bridged, not seen."""

from __future__ import annotations

from functools import lru_cache

import msgspec
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics.inputs import marked_event
from deliverylab.core.metrics.space_sight import SPACE_VIEW, SpaceSight
from deliverylab.core.metrics.spec import MetricSpec, Result
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import ORIGINS, Track
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import key_for_role, role_name

FILLED = ORIGINS.index("filled")
AT_EVENTS = frozenset({"at_event", "between_events"})
REACH_S = 0.1
"""Real seconds to each side of its events that a speed, or an extreme between them, is made of."""


@lru_cache(maxsize=512)
def _filled_frames(track: Track) -> NDArray[np.int64]:
    frames: NDArray[np.int64] = track.frames[track.origins == FILLED]
    return frames


def has_bridged(delivery: Delivery) -> bool:
    """Return whether anything in a delivery is bridged."""
    return any(
        len(_filled_frames(track))
        for camera in delivery.cameras
        for track in camera.tracks.values()
    )


def with_bridged_told(
    result: Result, spec: MetricSpec, delivery: Delivery, space: SpaceSight | None
) -> Result:
    """Return a result that says which of its landmarks were bridged where it needs them."""
    if not result.is_shown:
        return result
    is_space = result.view == SPACE_VIEW
    cameras = delivery.cameras if is_space else (delivery.camera(result.camera),)
    told = [
        caution
        for camera in cameras
        for caution in _told(spec, result.event, delivery, camera, space if is_space else None)
    ]
    cautions = (*result.cautions, *dict.fromkeys(told))
    return msgspec.structs.replace(result, cautions=cautions) if told else result


def _told(
    spec: MetricSpec, event: str, delivery: Delivery, camera: Camera, space: SpaceSight | None
) -> list[str]:
    """Return the cautions of one clip."""
    roles = (*spec.landmarks, *spec.optional)
    filled = {
        role: frames
        for role in roles
        if len(frames := _filled_frames(camera.track(key_for_role(role, delivery.athlete.hand))))
    }
    at = {each: _frame_of(each, camera, space) for each in spec.instants(event)}
    known = {each: frame for each, frame in at.items() if frame is not None}
    if not filled or not known:
        return []
    if spec.kind in AT_EVENTS:
        return [
            f"{role_name(role)} is bridged, not seen, at {event_entry(each).name}"
            for number, each in enumerate(spec.instants(event))
            if each in known
            for role in (*spec.landmarks_at(number), *spec.optional)
            if np.any(np.abs(filled.get(role, np.empty(0)) - known[each]) < 1.0)
        ]
    reach = REACH_S * camera.timing.true_rate_hz
    first, last = min(known.values()) - reach, max(known.values()) + reach
    names = [role_name(role) for role, at in filled.items() if np.any((at >= first) & (at <= last))]
    return [f"bridged, not seen, in some of its frames: {', '.join(names)}"] if names else []


def _frame_of(event: str, camera: Camera, space: SpaceSight | None) -> float | None:
    """Return where an event lies in a clip, in frames; None where it is not marked."""
    timing = camera.timing
    if space is not None:
        instant = space.instant(event)
        names = [view.name for view in space.views]
        if instant is None or camera.name not in names:
            return None
        clip_s = timing.clip_s(instant.time_s - space.offsets_s[names.index(camera.name)])
        return float(timing.frame_position(float(clip_s)))
    marked = marked_event(camera, event)
    return None if marked is None else float(timing.frame_position(camera.marks[marked].time_s))
