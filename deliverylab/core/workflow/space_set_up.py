"""A delivery's field, cameras and clicks as the solve of cameras takes them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from deliverylab.core.cameras.control import (
    ControlPoint,
    cone,
    home_plate,
    pole,
    rubber,
    two_cones,
)
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.field import FieldPoint, FieldSetUp
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.vocabulary.field import BY_KEY, FieldSize
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.lookup import entry_of
from deliverylab.core.vocabulary.views import square_azimuth_deg

POLE_M = 2.0
"""Length of the poles of the table below, until somebody measures them."""


def _with_pole_tops(size: FieldSize) -> tuple[ControlPoint, ...]:
    cones = two_cones(size)
    tops = tuple(pole(f"pole_{each.key.removeprefix('cone_')}", each, POLE_M)[1] for each in cones)
    return (*rubber(size), *cones, *tops)


def _with_four_cones(size: FieldSize) -> tuple[ControlPoint, ...]:
    behind = (
        cone("cone_back_left", -0.8, 0.9, size),
        cone("cone_back_right", -0.8, -0.9, size),
    )
    return (*rubber(size), *two_cones(size), *behind)


@dataclass(frozen=True, kw_only=True)
class FieldLayout:
    """Points that are put on a field together.

    Attributes
    ----------
    key, name : str
        Stable key, and what is laid.
    """

    key: str
    name: str


LAYOUTS: tuple[FieldLayout, ...] = (
    FieldLayout(key="two-cones", name="rubber and two cones"),
    FieldLayout(key="four-cones", name="rubber and four cones"),
    FieldLayout(key="pole-tops", name="rubber, two cones, and a pole stood over each"),
    FieldLayout(key="pole", name="rubber, and one pole anywhere"),
    FieldLayout(key="plate", name="rubber, two cones and home plate"),
    FieldLayout(key="rubber", name="rubber alone"),
)
STANDARD_LAYOUT = "two-cones"
_POINTS_OF = {
    "two-cones": lambda size: (*rubber(size), *two_cones(size)),
    "four-cones": _with_four_cones,
    "pole-tops": _with_pole_tops,
    "pole": lambda size: (*rubber(size), *pole("pole", None, POLE_M)),
    "plate": lambda size: (*rubber(size), *two_cones(size), *home_plate(size)),
    "rubber": rubber,
}


def standard_field_set_up(size: str = "baseball", layout: str = STANDARD_LAYOUT) -> FieldSetUp:
    """Return the points of a field by the rule book and by tape, each to be edited.

    Parameters
    ----------
    size : str
        Key of the table of fields.
    layout : str
        Key of `LAYOUTS`: what is laid beside the rubber.

    Raises
    ------
    NotFoundError
        No such field or layout.
    """
    points = entry_of(_POINTS_OF, layout, "layout")(entry_of(BY_KEY, size, "field"))
    return field_set_up(points, size)


def field_set_up(points: Sequence[ControlPoint], size: str = "baseball") -> FieldSetUp:
    """Return control points as a project keeps them: None where nothing is known."""
    return FieldSetUp(
        size=size,
        points=tuple(
            FieldPoint(
                key=point.key,
                name=point.name,
                kind=point.kind,
                place_m=point.place_m,
                u_m=_finite(point.u_m),
                above=point.above,
            )
            for point in points
        ),
    )


def _finite(u_m: tuple[float, ...]) -> tuple[float | None, float | None, float | None]:
    x, y, z = (None if math.isinf(u) else u for u in u_m)
    return x, y, z


def control_points(field: FieldSetUp) -> tuple[ControlPoint, ...]:
    """Return a project's points of the field as a solve takes them: infinite u for None."""
    found = []
    for point in field.points:
        x, y, z = (math.inf if u is None else u for u in point.u_m)
        found.append(
            ControlPoint(
                key=point.key,
                name=point.name,
                kind=point.kind,
                place_m=point.place_m,
                u_m=(x, y, z),
                above=point.above,
            )
        )
    return tuple(found)


def _record(project: Project | ProjectRecord) -> ProjectRecord:
    return project.record if isinstance(project, Project) else project


def source_of(project: Project | ProjectRecord, delivery: Delivery) -> Delivery:
    """Return the delivery whose field and clicks hold: its own, or where its cameras come from.

    Raises
    ------
    InputValueError
        The delivery it names is gone.
    """
    if not delivery.cameras_from:
        return delivery
    for other in _record(project).deliveries:
        if other.name == delivery.cameras_from:
            return other
    raise InputValueError(
        "the delivery whose cameras hold for this one is gone",
        where=f"{delivery.name}: {delivery.cameras_from}",
        remedy="name another one, or click the field in this delivery's own clips",
    )


def session_of(project: Project | ProjectRecord, delivery: Delivery) -> tuple[Delivery, ...]:
    """Return all deliveries that were filmed by the same cameras left in place, the clicked first."""
    source = source_of(project, delivery)
    others = (each for each in _record(project).deliveries if each.cameras_from == source.name)
    return (source, *(each for each in others if each.name != source.name))


def field_of(project: Project | ProjectRecord, delivery: Delivery) -> FieldSetUp:
    """Return the field that holds for a delivery; the standard one where none was set."""
    return source_of(project, delivery).field or standard_field_set_up()


def field_size(field: FieldSetUp) -> FieldSize:
    """Return the kind of field.

    Raises
    ------
    NotFoundError
        The field's size is not in the table.
    """
    return entry_of(BY_KEY, field.size, "field")


def set_up_of(camera: Camera, hand: Hand) -> CameraSetUp:
    """Return what is known of a camera before it is solved.

    Raises
    ------
    NotFoundError
        It looks down from the top, which no level camera does.
    """
    stand = camera.stand
    return CameraSetUp(
        name=camera.name,
        azimuth_deg=square_azimuth_deg(camera.view, hand) + stand.turn_deg,
        size_px=(camera.width_px, camera.height_px),
        focal_px=stand.focal_px_in(camera.width_px, camera.height_px),
        u_focal_share=stand.u_focal_share,
        u_level_deg=math.inf if stand.u_level_deg is None else stand.u_level_deg,
        clicks_px={key: (click.x_px, click.y_px) for key, click in camera.control.items()},
        u_clicks_px={key: click.u_px for key, click in camera.control.items()},
    )
