"""What a stage shows of a delivery's frame, as plain data: points, annotations, words."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QRectF

from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.units import UnitSystem, format_value
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.vocabulary.views import BY_KEY as VIEWS
from deliverylab.shell.drawing.annotations import Annotation, ScaleLine, Trail

Points = dict[str, tuple[float, float, str]]
_NAN = float("nan")
LEAST_PLACED = 20
ROOM_SHARE = 0.12
NEAR_TRAIL = 4
"""Frames before and after the ball's path in which it is drawn."""
GROUND_PARTS = ("heel", "toe", "ankle")


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
