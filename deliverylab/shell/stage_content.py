"""What a stage shows of a delivery's frame, as plain data: points, annotations, words."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from PySide6.QtCore import QRectF

from deliverylab.core.metrics.space_sight import SPACE_VIEW
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.units import UnitSystem, format_value
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, Hand, key_for_role
from deliverylab.core.vocabulary.views import BY_KEY as VIEWS
from deliverylab.shell.drawing.annotations import AngleArc, Annotation, Note, ScaleLine, Trail

Points = dict[str, tuple[float, float, str]]
_NAN = float("nan")
LEAST_PLACED = 20
ROOM_SHARE = 0.12
NEAR_TRAIL = 4
"""Frames before and after the ball's path in which it is drawn."""
NEARLY_STRAIGHT = 0.1
GROUND_PARTS = ("heel", "toe", "ankle")

FLEXIONS: dict[str, tuple[str, str, str]] = {
    "lead_knee_flexion": ("lead_hip", "lead_knee", "lead_ankle"),
    "drive_knee_flexion": ("drive_hip", "drive_knee", "drive_ankle"),
    "elbow_flexion": ("throwing_shoulder", "throwing_elbow", "throwing_wrist"),
}
"""Metrics that are drawn as an angle: the roles of the first arm, the joint and the second arm."""


def frame_points(camera: Camera, frame: int) -> Points:
    """Return the landmarks of a frame: place and origin, or ``hidden`` where looked for in vain."""
    points: Points = {}
    for key in LANDMARK_KEYS:
        position = camera.track(key).at(frame)
        if position is not None:
            points[key] = (position.x_px, position.y_px, position.origin)
        elif camera.is_occluded(key, frame):
            points[key] = (_NAN, _NAN, "hidden")
    return points


def _place(points: Mapping[str, tuple[float, float, str]], key: str) -> tuple[float, float] | None:
    point = points.get(key)
    return None if point is None or point[2] == "hidden" else (point[0], point[1])


def scale_line(camera: Camera, frame: int, system: UnitSystem) -> tuple[Annotation, ...]:
    """Return the two points of known distance, where they lie in a frame."""
    scale = camera.scale
    if scale is None or scale.is_solved:
        return ()
    text = format_value(scale.length_m, None, "m", 2, system)
    ends = [(end.x_px, end.y_px) for end in (scale.a, scale.b)]
    if camera.motion is not None:
        ends = [place for end in ends if (place := camera.motion.in_frame(frame, end)) is not None]
    return (ScaleLine(a=ends[0], b=ends[1], text=text),) if len(ends) == 2 else ()


def ball_trail(camera: Camera, frame: int) -> tuple[Annotation, ...]:
    """Return the ball's path while the shown frame is near it."""
    track = camera.track("ball")
    if len(track) < 2 or not track.frames[0] - NEAR_TRAIL <= frame <= track.frames[-1] + NEAR_TRAIL:
        return ()
    return (Trail(places=tuple((x_px, y_px) for x_px, y_px in track.xy_px.tolist())),)


def angle_arcs(
    results: tuple[Result, ...],
    event: str,
    points: Mapping[str, tuple[float, float, str]],
    hand: Hand,
    camera: str,
    system: UnitSystem,
) -> tuple[Annotation, ...]:
    """Return the joint angles measured at this event by this camera, with their value and ±.

    One that several cameras measured together is drawn as an arc only where the picture shows the
    same angle within its ±; elsewhere, and where it is only estimated, it is written beside the joint.
    """
    arcs: list[Annotation] = []
    for result in results:
        roles = FLEXIONS.get(result.metric)
        is_in_space = result.view == SPACE_VIEW
        if roles is None or result.event != event or not (is_in_space or result.camera == camera):
            continue
        places = [_place(points, key_for_role(role, hand)) for role in roles]
        first, joint, second = places
        if result.value is None or first is None or joint is None or second is None:
            continue
        text = format_value(result.value, result.expanded_u, result.unit, result.decimals, system)
        shown = AngleArc(vertex=joint, arm_a=first, arm_b=second, text=text)
        if result.status == "estimated":
            arcs.append(Note(at=joint, text=f"≈ {text}, estimated", away=_outside(shown)))
        elif is_in_space and abs(_seen_flexion_deg(shown) - result.value) > (
            result.expanded_u or 0
        ):
            arcs.append(Note(at=joint, text=f"{text} in space", away=_outside(shown)))
        else:
            arcs.append(shown)
    return tuple(arcs)


def _outside(arc: AngleArc) -> tuple[float, float]:
    """Return the direction from a joint in which neither of its limbs lies, frame px."""
    sides = []
    for x, y in (arc.arm_a, arc.arm_b):
        dx, dy = x - arc.vertex[0], y - arc.vertex[1]
        length = math.hypot(dx, dy) or 1.0
        sides.append((dx / length, dy / length))
    (ax, ay), (bx, by) = sides
    if math.hypot(ax + bx, ay + by) < NEARLY_STRAIGHT:  # either side of the limb will do
        return -ay, ax
    return -(ax + bx), -(ay + by)


def _seen_flexion_deg(arc: AngleArc) -> float:
    """Return the flexion of a joint as the picture has it, degrees; 0 = straight."""
    (ax, ay), (x, y), (bx, by) = arc.arm_a, arc.vertex, arc.arm_b
    turn = math.atan2(by - y, bx - x) - math.atan2(y - ay, x - ax)
    return abs((math.degrees(turn) + 180.0) % 360.0 - 180.0)


def px_per_m(camera: Camera) -> float | None:
    """Return how many px a metre in the plane of motion takes; None without a scale."""
    scale = camera.scale
    if scale is None:
        return None
    return math.hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px) / scale.length_m


def laid_over(
    delivery: Delivery, camera: Camera, frame: int, other: Delivery, their: Camera, their_frame: int
) -> Points:
    """Return another delivery's landmarks as they would lie over this one's frame.

    The middles of the hips fall together; sizes are brought to one height where both are known,
    and the picture is turned round where the plate lies on the other side.  Empty where a scale or
    a hip is missing on either side: without them there is no honest way to lay them together.
    """
    own_px, their_px = px_per_m(camera), px_per_m(their)
    points = frame_points(their, their_frame)
    start, end = _mid_hip(points), _mid_hip(frame_points(camera, frame))
    if own_px is None or their_px is None or start is None or end is None:
        return {}
    size = own_px / their_px
    if delivery.athlete.height_m and other.athlete.height_m:
        size *= delivery.athlete.height_m / other.athlete.height_m
    is_turned = delivery.plate_side(camera) != other.plate_side(their)
    across = -size if is_turned else size
    return {
        key: (end[0] + across * (x - start[0]), end[1] + size * (y - start[1]), state)
        for key, (x, y, state) in points.items()
        if state != "hidden"
    }


def _mid_hip(points: Mapping[str, tuple[float, float, str]]) -> tuple[float, float] | None:
    left, right = _place(points, "left_hip"), _place(points, "right_hip")
    if left is None or right is None:
        return None
    return 0.5 * (left[0] + right[0]), 0.5 * (left[1] + right[1])


def ground_y_px(camera: Camera) -> float | None:
    """Return where the ground lies in the picture: lowest foot placed, else the scale; or None."""
    lowest = [
        float(track.xy_px[:, 1].max())
        for key, track in camera.tracks.items()
        if key.endswith(GROUND_PARTS) and len(track)
    ]
    if camera.scale is not None:
        lowest.append(max(camera.scale.a.y_px, camera.scale.b.y_px))
    return max(lowest, default=None)


def body_area(camera: Camera) -> QRectF | None:
    """Return the part of the frame in which the body is seen over the clip, px, with room around.

    None until enough is placed to tell.
    """
    tracks = [track.xy_px for key, track in camera.tracks.items() if len(track) and key != "ball"]
    if sum(map(len, tracks)) < LEAST_PLACED:
        return None
    places = np.concatenate(tracks)
    low, high = places.min(axis=0), places.max(axis=0)
    room = ROOM_SHARE * max(*(high - low), 40.0)
    return QRectF(
        low[0] - room, low[1] - room, high[0] - low[0] + 2 * room, high[1] - low[1] + 2 * room
    )


def facts_text(delivery: Delivery, camera: Camera, *, is_mirrored: bool, system: UnitSystem) -> str:
    """Return who threw with which hand, and how it was filmed, on one line."""
    athlete = delivery.athlete
    hand = f"{athlete.hand}-handed" + (", drawn mirrored" if is_mirrored else "")
    rate_hz = camera.timing.true_rate_hz
    # what a person must know first stands first: a narrow stage cuts the end off
    parts = [hand, VIEWS[camera.view].name, f"{rate_hz:.4g} a second"]
    if camera.scale is not None and camera.scale.distance_m is not None:
        parts.append(f"from {format_value(camera.scale.distance_m, None, 'm', 1, system)}")
    if athlete.name not in delivery.name:
        parts.append(athlete.name)
    return " · ".join(parts)


def place_texts(camera: Camera, frame: int, time_s: float) -> tuple[str, ...]:
    """Return the frame and its time, the longest form first; frames are counted from 0."""
    return (
        f"frame {frame} of {camera.timing.n_frames - 1} · {time_s:.3f} s",
        f"frame {frame} · {time_s:.3f} s",
        f"{time_s:.3f} s",
    )


def event_name(key: str) -> str:
    """Return an event's name, or empty."""
    return EVENTS[key].name if key else ""
