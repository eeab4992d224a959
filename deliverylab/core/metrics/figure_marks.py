"""Measurements as they are drawn on the picture of an event: arcs, lines and rulers in its pixels.

Only results that are shown have one, and only in a picture that carries them: what a clip cannot
show is not drawn.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import NamedTuple

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.figure_places import FigurePlaces, between, shifted
from deliverylab.core.metrics.inputs import marked_event
from deliverylab.core.metrics.mark_kinds import (
    ArcMark,
    LineMark,
    Mark,
    RulerMark,
    direction_rad,
)
from deliverylab.core.metrics.space_sight import SPACE_VIEW
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.scale import Point
from deliverylab.core.units import UnitSystem, format_value

__all__ = ["ArcMark", "LineMark", "Mark", "RulerMark", "measure_marks"]

TICK_M: dict[UnitSystem, float] = {"metric": 0.25, "imperial": 0.3048}
"""Distance of a ruler's ticks: a quarter of a metre, or a foot."""
TICK_PERCENT = 10.0
"""Distance of a ruler's ticks where it measures in shares of height, %."""
_BODY_FROM = ("rear", "front", "top")
"""Views in whose picture a line across the body says something of its turn."""


def measure_marks(
    delivery: Delivery,
    camera: Camera,
    event: str,
    results: Iterable[Result],
    system: UnitSystem = "metric",
) -> tuple[Mark, ...]:
    """Return what is drawn of a delivery's results on the picture of an event.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        Whose picture; the camera is one of the delivery's.
    event : str
        Key; nothing is drawn where it is not marked in that camera.
    results : iterable of Result
        The delivery's, as `evaluate` gives them.
    system : {"metric", "imperial"}
        The reader's units.

    Returns
    -------
    tuple of ArcMark, LineMark or RulerMark
        In px of the upright frame that shows the event, in the catalogue's order.  A flexion's arc
        runs from the upper segment carried on beyond the joint to the lower one, so that its turn
        is the number; a tilt's from the true vertical.
    """
    if event not in camera.marks:
        return ()
    places = FigurePlaces(delivery, camera, event)
    drawn: list[Mark] = []
    for result in results:
        if result.metric not in _SHAPES or not result.is_shown:
            continue
        if _event_drawn(result, camera) != event or not _is_of(result, delivery, camera):
            continue
        if any(mark.metric == BY_KEY[result.metric].twin for mark in drawn):
            continue
        mark = _SHAPES[result.metric](places, _said(result, system), result, system)
        drawn += [] if mark is None else [_as_seen(mark, result)]
    return tuple(drawn)


def _event_drawn(result: Result, camera: Camera) -> str | None:
    """Return the event in whose picture a result is drawn: of two instants the later one's."""
    spec = BY_KEY[result.metric]
    if spec.kind == "between_events":
        return marked_event(camera, spec.events[-1])
    return result.event


def _is_of(result: Result, delivery: Delivery, camera: Camera) -> bool:
    """Return whether a result was seen by this camera, in a picture that carries it."""
    spec = BY_KEY[result.metric]
    if result.view != SPACE_VIEW:
        return result.camera == camera.name
    solved = () if delivery.space is None else delivery.space.cameras
    if all(each.name != camera.name for each in solved):
        return False
    views = spec.views_at(result.event)
    return camera.view in views if views else True


def _as_seen(mark: Mark, result: Result) -> Mark:
    """Return a mark that says so where its picture does not show what was measured."""
    if result.status == "estimated":
        return replace(mark, is_true=False, text=f"about {mark.text}, estimated")
    if not mark.is_in_space or not isinstance(mark, ArcMark):
        return mark
    if abs(abs(mark.turn_deg) - abs(result.value or 0.0)) <= (result.expanded_u or 0.0):
        return mark
    return replace(mark, is_true=False, text=f"{mark.text} in space")


class _Said(NamedTuple):
    """What a mark says, apart from where it lies."""

    metric: str
    event: str
    name: str
    text: str
    is_in_space: bool


def _said(result: Result, system: UnitSystem) -> _Said:
    text = format_value(
        result.value or 0.0, result.expanded_u, result.unit, result.decimals, system
    )
    is_in_space = result.view == SPACE_VIEW
    return _Said(result.metric, result.event, result.name, text, is_in_space)


_Shape = Callable[[FigurePlaces, _Said, Result, UnitSystem], Mark | None]


def _bend(upper: str, joint: str, lower: str) -> _Shape:
    """Return the shape of a flexion: the upper segment carried on, and the lower one."""

    def shape(places: FigurePlaces, said: _Said, _: Result, __: UnitSystem) -> Mark | None:
        above, corner, below = places.at(upper), places.at(joint), places.at(lower)
        if above is None or corner is None or below is None:
            return None
        reference = _carried_on(above, corner, math.dist(corner, below))
        return ArcMark(**said._asdict(), corner=corner, reference=reference, arm=below)

    return shape


def _tilt(foot: str, head: str) -> _Shape:
    """Return the shape of a tilt: the true vertical, and the line from `foot` to `head`."""

    def shape(places: FigurePlaces, said: _Said, _: Result, __: UnitSystem) -> Mark | None:
        corner, arm = places.at(foot), places.at(head)
        if corner is None or arm is None:
            return None
        reference = shifted(corner, places.up, math.dist(corner, arm))
        return ArcMark(**said._asdict(), corner=corner, reference=reference, arm=arm)

    return shape


def _across(start: str, end: str) -> _Shape:
    """Return the shape of a line across the body, in the pictures that tell of its turn."""

    def shape(places: FigurePlaces, said: _Said, _: Result, __: UnitSystem) -> Mark | None:
        first, last = places.at(start), places.at(end)
        if places.camera.view not in _BODY_FROM or first is None or last is None:
            return None
        return LineMark(**said._asdict(), start=first, end=last)

    return shape


def _stride(places: FigurePlaces, said: _Said, result: Result, system: UnitSystem) -> Mark | None:
    """Return the ruler of the stride, on the ground below both feet."""
    start, end = places.earlier("drive_ankle", "leg_lift"), places.at("lead_ankle")
    return _level_ruler(places, said, start, end, _step_m(places, result, system))


def _release_extension(
    places: FigurePlaces, said: _Said, result: Result, system: UnitSystem
) -> Mark | None:
    """Return the ruler from the rubber, or the drive ankle at leg lift, to below the hand."""
    start = places.rubber or places.earlier("drive_ankle", "leg_lift")
    end = places.at("throwing_hand")
    return _level_ruler(places, said, start, end, _step_m(places, result, system))


def _height_over_ground(event: str, role: str) -> _Shape:
    """Return the shape of a height above the middle of the drive foot at an event."""

    def shape(places: FigurePlaces, said: _Said, result: Result, system: UnitSystem) -> Mark | None:
        top = places.at(role)
        heel, toe = (places.earlier(f"drive_{part}", event) for part in ("heel", "toe"))
        if top is None or heel is None or toe is None:
            return None
        ground = places.level_of(between(heel, toe, 0.5))
        end = places.beside_body(top)
        start = places.moved_to_level(end, ground)
        ticks = places.ticks(start, end, _step_m(places, result, system))
        return RulerMark(**said._asdict(), start=start, end=end, ticks=ticks, feet=((top, end),))

    return shape


def _level_ruler(
    places: FigurePlaces, said: _Said, start: Point | None, end: Point | None, step_m: float
) -> Mark | None:
    """Return a ruler along the level line under everything that stands on the ground."""
    if start is None or end is None:
        return None
    standing = [places.earlier(f"drive_{part}", "leg_lift") for part in ("heel", "toe")]
    standing += [places.at(f"lead_{part}") for part in ("ankle", "heel", "toe")]
    ground = min(places.level_of(place) for place in (start, end, *standing) if place is not None)
    first, last = places.moved_to_level(start, ground), places.moved_to_level(end, ground)
    ticks = places.ticks(first, last, step_m)
    feet = ((start, first), (end, last))
    return RulerMark(**said._asdict(), start=first, end=last, ticks=ticks, feet=feet)


def _step_m(places: FigurePlaces, result: Result, system: UnitSystem) -> float:
    """Return the distance of a ruler's ticks, m; 0 where it is not known."""
    if result.unit == "% height":
        return (places.delivery.athlete.height_m or 0.0) * TICK_PERCENT / 100.0
    return TICK_M[system]


def _carried_on(start: Point, corner: Point, length_px: float) -> Point:
    """Return the end of a segment carried on beyond its far end by a length."""
    angle = direction_rad(start, corner)
    return shifted(corner, Point(math.cos(angle), math.sin(angle)), length_px)


_SHAPES: dict[str, _Shape] = {
    "lead_knee_height": _height_over_ground("leg_lift", "lead_knee"),
    "com_lean_from_drive_ankle": _tilt("drive_ankle", "mass_centre"),
    "drive_knee_flexion": _bend("drive_hip", "drive_knee", "drive_ankle"),
    "stride_length": _stride,
    "stride_length_m": _stride,
    "trunk_forward_tilt": _tilt("mid_hip", "mid_shoulder"),
    "lead_knee_flexion": _bend("lead_hip", "lead_knee", "lead_ankle"),
    "pelvis_rotation": _across("drive_hip", "lead_hip"),
    "shoulder_line_rotation": _across("throwing_shoulder", "glove_shoulder"),
    "lead_foot_direction": _across("lead_heel", "lead_toe"),
    "elbow_flexion": _bend("throwing_shoulder", "throwing_elbow", "throwing_wrist"),
    "trunk_lateral_tilt": _tilt("mid_hip", "mid_shoulder"),
    "arm_slot": _tilt("throwing_shoulder", "throwing_hand"),
    "release_height": _height_over_ground("leg_lift", "throwing_hand"),
    "release_extension": _release_extension,
}
"""How each result that is drawn lies in the picture; the others are numbers only."""
