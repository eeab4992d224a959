"""Suggested event marks of a delivery: from one clip's tracks, or from solved cameras."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

import msgspec
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import UsageError
from deliverylab.core.events.body_courses import SUGGESTION_ROLES, BodyCourses, Sight
from deliverylab.core.events.check import mark_complaints
from deliverylab.core.events.suggest import Suggestion, nothing_found, suggest, suggest_in_space
from deliverylab.core.metrics.inputs import metres_per_px
from deliverylab.core.metrics.measures import external_rotation
from deliverylab.core.metrics.shutter import middle_row, seen_track
from deliverylab.core.metrics.space_sight import SpaceSight, space_sight
from deliverylab.core.metrics.space_tracks import rising_frames
from deliverylab.core.model.changes import Batch
from deliverylab.core.model.clip_changes import SetMark
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.vocabulary.events import ORDER
from deliverylab.core.vocabulary.landmarks import key_for_role
from deliverylab.core.vocabulary.views import END_VIEWS, SIDE_VIEWS

FloatArray = NDArray[np.float64]

SHOULDER_ROLES: tuple[str, ...] = (
    "throwing_shoulder",
    "throwing_elbow",
    "throwing_wrist",
    "glove_shoulder",
    "drive_hip",
    "lead_hip",
)
"""What tells the throwing shoulder's turn in space."""
UNSMOOTHED_HZ = 1e3
"""Beyond what any clip carries: the rules smooth by themselves, and read the noise from what is left."""


def suggestions(delivery: Delivery, camera: Camera) -> tuple[Suggestion, ...]:
    """Suggest all events on a clip's own clock.

    Parameters
    ----------
    delivery : Delivery
    camera : Camera
        One of its cameras.

    Returns
    -------
    tuple of Suggestion
        One an event, in their order.  Where the camera is solved together with another, an event is
        taken from space if that is surer; those not found say what is missing.
    """
    own = _on_clip(camera, suggest_from_camera(delivery, camera), 0.0)
    sight = space_sight(delivery)
    names = [view.name for view in sight.views]
    if sight.absence is not None or camera.name not in names:
        return own
    in_space = _on_clip(camera, from_space(sight), sight.offsets_s[names.index(camera.name)])
    return tuple(_surer(*pair) for pair in zip(own, in_space, strict=True))


def suggest_from_camera(delivery: Delivery, camera: Camera) -> tuple[Suggestion, ...]:
    """Suggest all events from one clip's tracks alone, in its own real seconds."""
    if camera.view not in (*SIDE_VIEWS, *END_VIEWS):
        return nothing_found("a view from above shows neither heights nor the side: mark by eye")
    size_m = metres_per_px(delivery, camera)
    if size_m is None:
        return nothing_found("set a scale, or track a leg, so that lengths can be told")
    times_s, places_m = {}, {}
    for role in SUGGESTION_ROLES:
        found = _seen(delivery, camera, role, size_m)
        if found is not None:
            times_s[role], places_m[role] = found
    sight: Sight = "side" if camera.view in SIDE_VIEWS else "end"
    return suggest(BodyCourses.of(sight, times_s, places_m))


def _seen(
    delivery: Delivery, camera: Camera, role: str, size_m: float
) -> tuple[FloatArray, FloatArray] | None:
    """Return a landmark's times (real s) and places: toward the plate (side) and up, m."""
    track = seen_track(camera, key_for_role(role, delivery.athlete.hand))
    frames, real_s = rising_frames(camera.timing)
    rows = np.searchsorted(track.frames, frames)
    is_placed = np.isin(frames, track.frames)
    if not is_placed.any():
        return None
    places_px = track.xy_px[rows[is_placed]]
    x_px = places_px[:, 0] - (camera.width_px - 1) / 2.0
    up_px = middle_row(camera) - places_px[:, 1]
    lean = np.radians(0.0 if camera.scale is None else camera.scale.vertical_deg)
    ahead_px = x_px * np.cos(lean) - up_px * np.sin(lean)
    if delivery.plate_side(camera) == "left":
        ahead_px = -ahead_px
    upward_px = x_px * np.sin(lean) + up_px * np.cos(lean)
    return real_s[is_placed], size_m * np.stack((ahead_px, upward_px), axis=-1)


def from_space(sight: SpaceSight) -> tuple[Suggestion, ...]:
    """Suggest all events from solved cameras, in real seconds of the first camera.

    Parameters
    ----------
    sight : SpaceSight
        Without an absence.
    """
    _, times_s = rising_frames(sight.camera.timing)
    hand = sight.delivery.athlete.hand
    roles = {*SUGGESTION_ROLES, *SHOULDER_ROLES} - {"ball"}
    keys = {key_for_role(role, hand) for role in roles}
    pose = sight.pose(sight.places(times_s, UNSMOOTHED_HZ, keys).points.points_m)
    points_m = {role: pose[role] for role in SUGGESTION_ROLES if role != "ball"}
    return suggest_in_space(times_s, points_m, external_rotation(pose))


def _on_clip(
    camera: Camera, found: tuple[Suggestion, ...], offset_s: float
) -> tuple[Suggestion, ...]:
    """Return suggestions on a clip's own clock; its real time and the offset give theirs."""
    timing = camera.timing
    return tuple(
        each
        if each.time_s is None or each.u_s is None
        else replace(
            each,
            time_s=float(timing.clip_s(each.time_s - offset_s)),
            u_s=each.u_s / timing.real_per_clip,
        )
        for each in found
    )


def _surer(own: Suggestion, in_space: Suggestion) -> Suggestion:
    if own.u_s is None or in_space.u_s is None:
        return in_space if own.u_s is None and in_space.u_s is not None else own
    return in_space if in_space.u_s <= own.u_s else own


def unmarked(camera: Camera, found: Collection[Suggestion]) -> tuple[str, ...]:
    """Return the events that are suggested and not marked yet."""
    return tuple(each.event for each in found if each.is_found and each.event not in camera.marks)


def accept(
    delivery: Delivery, camera: Camera, found: Collection[Suggestion], events: Collection[str]
) -> Batch:
    """Return the change that marks events where they are suggested, each with the suggestion's u.

    Parameters
    ----------
    delivery : Delivery
    camera : Camera
        Whose suggestions they are.
    found : collection of Suggestion
    events : collection of str
        Keys of those to be marked; marks that are there already are replaced.

    Raises
    ------
    UsageError
        One of them was not found; the message says what is missing.
    """
    by_event = {each.event: each for each in found}
    changes = tuple(
        SetMark(
            delivery=delivery.name,
            camera=camera.name,
            event=event,
            mark=_mark(by_event[event]),
        )
        for event in sorted(set(events), key=ORDER.__getitem__)
    )
    return Batch(label="Accept suggested events", changes=changes)


def _mark(suggestion: Suggestion) -> Mark:
    if suggestion.time_s is None:
        raise UsageError(
            "this event is not suggested", where=suggestion.event, remedy=suggestion.why
        )
    return Mark(time_s=suggestion.time_s, u_s=suggestion.u_s, origin="suggested")


def complaints(
    camera: Camera, found: Collection[Suggestion], events: Collection[str]
) -> tuple[str, ...]:
    """Return what would be odd about a clip's marks with these suggestions among them."""
    accepted = {e.event: _mark(e) for e in found if e.is_found and e.event in events}
    marks = camera.marks | accepted
    return mark_complaints(msgspec.structs.replace(camera, marks=marks))
