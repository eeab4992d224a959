"""The model's body laid over the athlete's picture: at one size, with one point in common."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.landmarks import Hand, key_for_role
from deliverylab.core.vocabulary.views import END_VIEWS, view
from deliverylab.shell.stage_content import Points, frame_points

if TYPE_CHECKING:
    from deliverylab.shell.session import Session
    from deliverylab.shell.session_stages import Anchor

Place = tuple[float, float]


def view_refusal(own: Camera, their: Camera) -> str:
    """Return why clips of two views cannot be laid over each other; empty where they can.

    The two side views show the same plane, one the mirror image of the other; so do the two views
    along the line to the plate.
    """
    mine, other = view(own.view), view(their.view)
    if mine.plane == other.plane:
        return ""
    return f"one is seen from the {mine.name}, the other from the {other.name}"


def overlay(session: Session) -> tuple[Points, Hand] | None:
    """Return the model's landmarks over the athlete's shown frame, and its throwing hand.

    None where there is no model, or the two are seen in different planes; without points where a
    scale or the common point is missing on either side.
    """
    own, model = session.delivery("athlete"), session.delivery("model")
    camera, their = session.camera("athlete"), session.camera("model")
    if own is None or model is None or camera is None or their is None:
        return None
    if session.overlay_refusal():
        return None
    frames = session.state("athlete").frame, session.state("model").frame
    points = laid_over(own, camera, frames[0], model, their, frames[1], session.anchor)
    return points, model.athlete.hand


def stages_note(session: Session) -> str:
    """Return what a person must know of what the stages show; empty for the usual two."""
    model, shown = session.delivery("model"), overlay(session)
    if session.arrangement != "over" or model is None or shown is None:
        return session.views_note()
    common = "the pelvis" if session.anchor == "pelvis" else "the rubber, or the foot on it,"
    if shown[0]:
        return f"Dashed: {model.name}, brought to one height, with {common} in common"
    needed = "the hips in both frames" if session.anchor == "pelvis" else "leg lift marked in both"
    return f"{model.name} cannot be laid over: that takes a scale in both clips, and {needed}"


def px_per_m(camera: Camera) -> float | None:
    """Return how many px a metre in the plane of motion takes; None without a scale."""
    scale = camera.scale
    if scale is None:
        return None
    return math.hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px) / scale.length_m


def laid_over(
    delivery: Delivery, camera: Camera, frame: int, other: Delivery, their: Camera,
    their_frame: int, anchor: Anchor = "pelvis",
) -> Points:  # fmt: skip
    """Return another delivery's landmarks as they would lie over this one's frame.

    One point falls together: the middle of the hips, or where the delivery starts from, the rubber
    where both clips have it marked, else the drive ankle at leg lift.  Sizes are brought to one
    height where both are known, and the picture is turned round where the two run in opposite
    directions.  Empty where a scale or that point is missing on either side: without them there is
    no honest way to lay them together.
    """
    own_px, their_px = px_per_m(camera), px_per_m(their)
    points = frame_points(their, their_frame)
    if anchor == "foot":
        start, end = _stand(other, their, delivery, camera)
    else:
        start, end = _mid_hip(points), _mid_hip(frame_points(camera, frame))
    if own_px is None or their_px is None or start is None or end is None:
        return {}
    size = own_px / their_px
    if delivery.athlete.height_m and other.athlete.height_m:
        size *= delivery.athlete.height_m / other.athlete.height_m
    across = -size if is_turned(delivery, camera, other, their) else size
    return {
        key: (end[0] + across * (x - start[0]), end[1] + size * (y - start[1]), state)
        for key, (x, y, state) in points.items()
        if state != "hidden"
    }


def is_turned(delivery: Delivery, camera: Camera, other: Delivery, their: Camera) -> bool:
    """Return whether one picture must be turned round to run as the other does."""
    if camera.view in END_VIEWS and their.view in END_VIEWS:
        is_other_hand = delivery.athlete.hand != other.athlete.hand
        return is_other_hand != (camera.view != their.view)
    return delivery.plate_side(camera) != other.plate_side(their)


def _mid_hip(points: Points) -> Place | None:
    left, right = points.get("left_hip"), points.get("right_hip")
    if left is None or right is None or "hidden" in (left[2], right[2]):
        return None
    return 0.5 * (left[0] + right[0]), 0.5 * (left[1] + right[1])


def _stand(
    model: Delivery, their: Camera, own: Delivery, camera: Camera
) -> tuple[Place | None, Place | None]:
    """Return where either delivery starts from: both rubbers, else both drive ankles at leg lift."""
    rubbers = [None if one.scale is None else one.scale.rubber for one in (their, camera)]
    if rubbers[0] is not None and rubbers[1] is not None:
        return tuple(rubbers[0]), tuple(rubbers[1])  # type: ignore[return-value]
    return _drive_ankle(model, their), _drive_ankle(own, camera)


def _drive_ankle(delivery: Delivery, camera: Camera) -> Place | None:
    """Return the drive ankle at leg lift, frame px; None where it is not known."""
    mark = camera.marks.get("leg_lift")
    if mark is None:
        return None
    key = key_for_role("drive_ankle", delivery.athlete.hand)
    found = camera.track(key).at(camera.timing.frame_at(mark.time_s))
    return None if found is None else (found.x_px, found.y_px)
