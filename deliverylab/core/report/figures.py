"""Event figures: the frame at each event with the skeleton on it, ready to be drawn at any size."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.events import BY_KEY as EVENT_BY_KEY
from deliverylab.core.vocabulary.landmarks import LANDMARKS
from deliverylab.core.vocabulary.segments import DRAWN, MIDPOINTS
from deliverylab.core.vocabulary.views import END_VIEWS

Picture = NDArray[np.uint8]
FrameSource = Callable[[Delivery, Camera, int], Picture | None]
Side = Literal["throwing", "glove", "middle"]

STRIP_EVENTS = ("leg_lift", "foot_contact", "full_layback", "release")
"""The instants that the strip shows, where they are marked."""
MAX_GAP_FRAMES = 3
"""A point between two placed frames no farther apart than this is drawn in between."""


class Bone(NamedTuple):
    """A line of the skeleton, px of the upright frame."""

    side: Side
    x0: float
    y0: float
    x1: float
    y1: float


class Joint(NamedTuple):
    """A point of the skeleton, px of the upright frame."""

    side: Side
    x: float
    y: float


class Box(NamedTuple):
    """A part of the upright frame, px."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width, px."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height, px."""
        return self.bottom - self.top


@dataclass(frozen=True, eq=False, kw_only=True)
class Figure:
    """One delivery at one event.

    Attributes
    ----------
    picture : ndarray of uint8, shape (height, width, 3), or None
        The whole upright frame, RGB; None without a clip.
    width_px, height_px : int
        Size of the frame, also without a picture.
    bones, joints : tuple of Bone, tuple of Joint
        The skeleton in px of the frame; empty where nothing is placed.
    """

    picture: Picture | None
    width_px: int
    height_px: int
    bones: tuple[Bone, ...] = ()
    joints: tuple[Joint, ...] = ()

    @property
    def focus(self) -> Box | None:
        """The part that must be seen: all points; None without any."""
        if not self.joints:
            return None
        xs, ys = [joint.x for joint in self.joints], [joint.y for joint in self.joints]
        return Box(min(xs), min(ys), max(xs), max(ys))

    def mirrored(self) -> Figure:
        """Return the figure as seen in a mirror."""
        last = self.width_px - 1.0
        picture = None if self.picture is None else np.ascontiguousarray(self.picture[:, ::-1])
        return Figure(
            picture=picture,
            width_px=self.width_px,
            height_px=self.height_px,
            bones=tuple(Bone(b.side, last - b.x0, b.y0, last - b.x1, b.y1) for b in self.bones),
            joints=tuple(Joint(j.side, last - j.x, j.y) for j in self.joints),
        )


@dataclass(frozen=True, kw_only=True)
class EventFigures:
    """Both deliveries at one event; None where the event is not marked."""

    key: str
    name: str
    athlete: Figure | None
    model: Figure | None


def camera_pair(a: Delivery, b: Delivery) -> tuple[Camera, Camera]:
    """Return a camera of each that shows the same view, else the first of each."""
    for mine in a.cameras:
        for other in b.cameras:
            if mine.view == other.view:
                return mine, other
    return a.camera(), b.camera()


def is_mirrored(a: Delivery, camera_a: Camera, b: Delivery, camera_b: Camera) -> bool:
    """Return whether b must be mirrored to throw in the same direction as a on paper."""
    sides = a.plate_side(camera_a), b.plate_side(camera_b)
    if None not in sides:
        return sides[0] != sides[1]
    is_same_end = camera_a.view == camera_b.view and camera_a.view in END_VIEWS
    return is_same_end and a.athlete.hand != b.athlete.hand


def event_figures(
    a: Delivery,
    b: Delivery | None,
    frame_source: FrameSource | None = None,
) -> tuple[EventFigures, ...]:
    """Return the strip's figures, in the order of the events.

    Parameters
    ----------
    a, b : Delivery
        The athlete's and the model delivery; b is mirrored where it runs the other way, and None
        where the partner is a published group.
    frame_source : callable or None
        ``frame_source(delivery, camera, frame)`` gives the upright RGB frame or None; without it
        the figures are bare skeletons.
    """
    camera_a, camera_b = camera_pair(a, b or a)
    turned = b is not None and is_mirrored(a, camera_a, b, camera_b)
    strip = []
    for key in STRIP_EVENTS:
        athlete = event_figure(a, camera_a, key, frame_source)
        model = event_figure(b, camera_b, key, frame_source) if b else None
        if athlete is None and model is None:
            continue
        strip.append(
            EventFigures(
                key=key,
                name=EVENT_BY_KEY[key].name,
                athlete=athlete,
                model=model.mirrored() if model and turned else model,
            )
        )
    return tuple(strip)


def event_figure(
    delivery: Delivery, camera: Camera, event: str, frame_source: FrameSource | None = None
) -> Figure | None:
    """Return a delivery at an event; None where it is not marked or there is nothing to see."""
    mark = camera.marks.get(event)
    if mark is None:
        return None
    frame = camera.timing.frame_at(mark.time_s)
    picture = frame_source(delivery, camera, frame) if frame_source else None
    points = points_at(camera, frame)
    if picture is None and not points:
        return None
    bones, joints = skeleton(points, delivery.athlete.hand)
    height, width = (camera.height_px, camera.width_px) if picture is None else picture.shape[:2]
    return Figure(picture=picture, width_px=width, height_px=height, bones=bones, joints=joints)


def points_at(camera: Camera, frame: int) -> dict[str, tuple[float, float]]:
    """Return the body's points in a frame, px; between close placed frames they are in between."""
    points = {}
    for landmark in LANDMARKS:
        track = camera.track(landmark.key)
        if landmark.key == "ball" or not len(track):
            continue
        after = int(np.searchsorted(track.frames, frame))
        before = after if after < len(track) and track.frames[after] == frame else after - 1
        if before < 0 or after >= len(track):
            continue
        if track.frames[after] - track.frames[before] > MAX_GAP_FRAMES:
            continue
        x, y = (
            float(
                np.interp(frame, track.frames[[before, after]], track.xy_px[[before, after], axis])
            )
            for axis in (0, 1)
        )
        points[landmark.key] = (x, y)
    return points


def skeleton(
    points: dict[str, tuple[float, float]], hand: str
) -> tuple[tuple[Bone, ...], tuple[Joint, ...]]:
    """Return the lines and points of a body, each with its side, for this throwing hand."""
    places = dict(points)
    for key, (first, second) in MIDPOINTS.items():
        if first in points and second in points:
            (x0, y0), (x1, y1) = points[first], points[second]
            places[key] = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)

    def side_of(*keys: str) -> Side:
        sides: Sequence[str] = [key.partition("_")[0] for key in keys]
        if any(side not in {"left", "right"} for side in sides) or len(set(sides)) > 1:
            return "middle"
        return "throwing" if sides[0] == hand else "glove"

    bones = tuple(
        Bone(side_of(start, end), *places[start], *places[end])
        for start, end in DRAWN
        if start in places and end in places
    )
    joints = tuple(Joint(side_of(key), x, y) for key, (x, y) in points.items())
    return bones, joints


def windows(figures: Sequence[Figure | None], aspect: float, margin: float = 0.14) -> list[Box]:
    """Return the part of each frame to show: one scale for all, each centred on its body.

    Parameters
    ----------
    figures : sequence of Figure or None
        One delivery's events.
    aspect : float
        Width over height of the windows.
    margin : float
        Room around the largest body, as a share of its size.

    Returns
    -------
    list of Box
        One for each figure; a body near the frame's edge is moved off the centre, so that no more
        than needed lies outside the frame.
    """
    shown = [figure for figure in figures if figure is not None]
    boxes = [figure.focus for figure in shown if figure.focus is not None]
    if not shown:
        return [Box(0.0, 0.0, aspect, 1.0) for _ in figures]
    if boxes:
        body_width, body_height = max(b.width for b in boxes), max(b.height for b in boxes)
        pad = margin * max(body_width, body_height)
        width, height = body_width + 2.0 * pad, body_height + 2.0 * pad
        middle = Box(*(float(np.median([box[side] for box in boxes])) for side in range(4)))
    else:
        width, height = float(shown[0].width_px), float(shown[0].height_px)
        middle = Box(0.0, 0.0, width, height)
    width, height = max(width, height * aspect), max(height, width / aspect)
    result = []
    for figure in figures:
        frame = figure or shown[0]
        focus = (figure.focus if figure else None) or middle
        left = _placed(0.5 * (focus.left + focus.right) - 0.5 * width, width, frame.width_px)
        top = _placed(0.5 * (focus.top + focus.bottom) - 0.5 * height, height, frame.height_px)
        result.append(Box(left, top, left + width, top + height))
    return result


def _placed(start: float, length: float, available: int) -> float:
    """Return where a window begins: inside the frame where it fits, else around it."""
    if length >= available:
        return -0.5 + 0.5 * (available - length)
    return min(max(start, -0.5), available - 0.5 - length)
