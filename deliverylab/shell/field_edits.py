"""Edits of a field that people make: a point more, a point less, another place."""

from __future__ import annotations

from collections.abc import Callable

from deliverylab.core.cameras.control import (
    U_HEIGHT_M,
    ControlPoint,
    cone,
    home_plate,
    places_of,
    pole,
)
from deliverylab.core.model.changes import replace
from deliverylab.core.model.field import CameraStand, FieldSetUp, Place
from deliverylab.core.workflow.space_set_up import (
    LAYOUTS,
    POLE_M,
    control_points,
    field_set_up,
    field_size,
    standard_field_set_up,
)

U = tuple[float | None, float | None, float | None]
LAYOUT_NAMES = {layout.key: layout.name for layout in LAYOUTS}
ADDITIONS: dict[str, str] = {
    "cone": "a cone",
    "pole": "a pole over the last cone",
    "free_pole": "a pole anywhere",
    "plate": "home plate",
}


def laid(size: str, layout: str) -> FieldSetUp:
    """Return a field of a size as a layout puts it."""
    return standard_field_set_up(size, layout)


def of_size(field: FieldSetUp, size: str) -> FieldSetUp:
    """Return a field with the same points on a ground of another size."""
    return replace(field, size=size)


def stood(
    stand: CameraStand, *, zoom: float, u_level_deg: float | None, turn_deg: float
) -> CameraStand:
    """Return how a phone stood with other facts."""
    return replace(stand, zoom=zoom, u_level_deg=u_level_deg, turn_deg=turn_deg)


def layout_of(field: FieldSetUp) -> str:
    """Return the key of the layout that a field is, unedited; or empty."""
    return next(
        (
            layout.key
            for layout in LAYOUTS
            if standard_field_set_up(field.size, layout.key) == field
        ),
        "",
    )


def places_m(field: FieldSetUp) -> dict[str, Place]:
    """Return where all points stand, m, with what they count from added."""
    return places_of(control_points(field))


def with_place(field: FieldSetUp, key: str, place_m: Place, u_m: U) -> FieldSetUp:
    """Return a field with one point elsewhere.

    A cone that is moved over the ground, and whose height nobody measured, takes the mound's.
    """
    points = []
    for point in field.points:
        if point.key == key:
            is_moved = place_m[:2] != point.place_m[:2]
            is_by_mound = point.kind == "cone" and point.u_m[2] == u_m[2] == U_HEIGHT_M
            if is_moved and is_by_mound and place_m[2] == point.place_m[2]:
                laid = cone(key, place_m[0], place_m[1], field_size(field))
                place_m = laid.place_m
            point = replace(point, place_m=place_m, u_m=u_m)  # noqa: PLW2901 - the same point
        points.append(point)
    return replace(field, points=tuple(points))


def removed(field: FieldSetUp, key: str) -> FieldSetUp:
    """Return a field without a point, and without what counts from it."""
    gone = {key}
    for point in field.points:
        if point.above in gone:
            gone.add(point.key)
    return replace(field, points=tuple(one for one in field.points if one.key not in gone))


def added(field: FieldSetUp, kind: str) -> FieldSetUp:
    """Return a field with a point more, one of `ADDITIONS`; the same one where it has it already."""
    taken = {point.key for point in field.points}
    make: dict[str, Callable[[], tuple[ControlPoint, ...]]] = {
        "cone": lambda: (cone(_free("cone", taken), 1.0, 0.0, field_size(field)),),
        "pole": lambda: _pole_over_cone(field, taken),
        "free_pole": lambda: pole(_free("pole", taken), None, POLE_M),
        "plate": lambda: home_plate(field_size(field)),
    }
    new = field_set_up(make[kind](), field.size).points
    return replace(field, points=(*field.points, *(one for one in new if one.key not in taken)))


def _pole_over_cone(field: FieldSetUp, taken: set[str]) -> tuple[ControlPoint, ...]:
    """Return the top of a pole over the last cone that has none; one anywhere without such a cone."""
    bearing = {point.above for point in field.points}
    cones = [one for one in control_points(field) if one.kind == "cone" and one.key not in bearing]
    if not cones:
        return pole(_free("pole", taken), None, POLE_M)
    foot = cones[-1]
    return pole(_free("pole", taken), foot, POLE_M)[1:]


def _free(stem: str, taken: set[str]) -> str:
    """Return a key that no point has, nor begins with."""
    return next(
        f"{stem}_{number}"
        for number in range(1, len(taken) + 2)
        if not any(f"{key}_".startswith(f"{stem}_{number}_") for key in taken)
    )
