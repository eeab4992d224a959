"""Points of known place on a field, by the rule book and by tape, each with how well it is known.

Every place and every u can be edited by replacing the field of the frozen value: rubbers wear,
plates are laid by eye, and leagues differ.

References
----------
.. [1] Official Baseball Rules 2.01 (mound), 2.02 (home base), 2.04 (pitcher's plate).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from deliverylab.core.cameras.ground import ground_height_m
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.units import INCH_M
from deliverylab.core.vocabulary.field import FieldSize

ControlKind = Literal["rubber", "plate", "cone", "pole", "unknown"]
Place = tuple[float, float, float]

U_RUBBER_M = 0.002
"""A rubber's corners, and the corners of a plate among themselves: moulded parts, worn edges."""
U_TAPE_M = 0.010
U_HEIGHT_M = 0.020
"""Ground under a cone where its height was not measured: a mound is built by hand."""
U_LEAN_M = 0.025
"""How far the top of a pole that was stood by eye is from above its foot: 0.7 degrees at 2 m."""
U_PLATE_M = 0.050
"""Home plate against the rubber: laid once, by tape, by somebody else."""


@dataclass(frozen=True, kw_only=True)
class ControlPoint:
    """One point that can be clicked in a picture.

    Attributes
    ----------
    key, name : str
        Stable key and what a person calls it.
    kind : {"rubber", "plate", "cone", "pole", "unknown"}
    place_m : tuple of float, m
        In the field frame; counted from the point `above` where that is given.
    u_m : tuple of float, m
        Standard uncertainty along X, Y and Z; infinite where nothing is known.
    above : str
        Key of the point from which `place_m` counts: a pole's foot, the rear point of the plate.
    """

    key: str
    name: str
    kind: ControlKind
    place_m: Place
    u_m: Place
    above: str = ""


def rubber(field: FieldSize) -> tuple[ControlPoint, ...]:
    """Return the four corners of the pitcher's plate; left and right are the pitcher's."""
    half, depth = 0.5 * field.rubber_width_m, field.rubber_depth_m
    corners = {
        "front_left": (0.0, half),
        "front_right": (0.0, -half),
        "back_left": (-depth, half),
        "back_right": (-depth, -half),
    }
    return tuple(
        ControlPoint(
            key=f"rubber_{corner}",
            name=f"rubber, {corner.replace('_', ' ')} corner",
            kind="rubber",
            place_m=(x, y, 0.0),
            u_m=(U_RUBBER_M,) * 3,
        )
        for corner, (x, y) in corners.items()
    )


def home_plate(field: FieldSize) -> tuple[ControlPoint, ...]:
    """Return the five corners of home plate; left and right are the pitcher's [1]_."""
    half, side = 8.5 * INCH_M, 8.5 * INCH_M
    rear = ControlPoint(
        key="plate_rear",
        name="home plate, rear point",
        kind="plate",
        place_m=(field.pitching_distance_m, 0.0, -field.rubber_height_m),
        u_m=(U_PLATE_M,) * 3,
    )
    corners = {
        "side_left": (-side, half),
        "side_right": (-side, -half),
        "front_left": (-2.0 * side, half),
        "front_right": (-2.0 * side, -half),
    }
    others = tuple(
        ControlPoint(
            key=f"plate_{corner}",
            name=f"home plate, {corner.replace('_', ' ')} corner",
            kind="plate",
            place_m=(x, y, 0.0),
            u_m=(U_RUBBER_M,) * 3,
            above=rear.key,
        )
        for corner, (x, y) in corners.items()
    )
    return (rear, *others)


def cone(
    key: str, x_m: float, y_m: float, field: FieldSize, *, height_m: float | None = None
) -> ControlPoint:
    """Return a cone laid by tape.

    Parameters
    ----------
    key : str
    x_m, y_m : float, m
        Ahead of the rubber's front edge, and to the pitcher's left.
    field : FieldSize
        Whose mound tells the height where none was measured.
    height_m : float, optional
        Measured height of what is clicked above the rubber's top.
    """
    is_measured = height_m is not None
    if height_m is None:
        height_m = float(ground_height_m(x_m, y_m, field.rubber_height_m))
    return ControlPoint(
        key=key,
        name=key.replace("_", " "),
        kind="cone",
        place_m=(x_m, y_m, height_m),
        u_m=(U_TAPE_M, U_TAPE_M, U_TAPE_M if is_measured else U_HEIGHT_M),
    )


def two_cones(field: FieldSize) -> tuple[ControlPoint, ControlPoint]:
    """Return the cones of the standard field: 2 m ahead, 0.8 m to either side."""
    return cone("cone_left", 2.0, 0.8, field), cone("cone_right", 2.0, -0.8, field)


def pole(key: str, foot: ControlPoint | None, length_m: float) -> tuple[ControlPoint, ControlPoint]:
    """Return foot and top of a pole stood upright by eye.

    Parameters
    ----------
    key : str
    foot : ControlPoint or None
        A cone over which it stands; None: anywhere, nobody measured where.
    length_m : float, m

    Raises
    ------
    InputValueError
        The pole has no length.
    """
    if not length_m > 0.0:
        raise InputValueError("a pole has a length", where=key, remedy="measure it by tape")
    if foot is None:
        foot = ControlPoint(
            key=f"{key}_foot",
            name=f"{key.replace('_', ' ')}, foot",
            kind="unknown",
            place_m=(0.0, 0.0, 0.0),
            u_m=(math.inf,) * 3,
        )
    top = ControlPoint(
        key=f"{key}_top",
        name=f"{key.replace('_', ' ')}, top",
        kind="pole",
        place_m=(0.0, 0.0, length_m),
        u_m=(U_LEAN_M, U_LEAN_M, U_TAPE_M),
        above=foot.key,
    )
    return foot, top


def standard_field(field: FieldSize) -> tuple[ControlPoint, ...]:
    """Return the rubber and two cones: what a field set-up asks for."""
    return (*rubber(field), *two_cones(field))


def with_place(
    points: tuple[ControlPoint, ...], key: str, place_m: Place, u_m: Place | None = None
) -> tuple[ControlPoint, ...]:
    """Return the points with one place edited, and its u where that is given.

    Raises
    ------
    NotFoundError
        No such point.
    """
    if key not in {point.key for point in points}:
        raise NotFoundError(
            "unknown control point",
            where=key,
            remedy=f"use one of {', '.join(point.key for point in points)}",
        )
    return tuple(
        replace(point, place_m=place_m, u_m=u_m or point.u_m) if point.key == key else point
        for point in points
    )


def places_of(points: tuple[ControlPoint, ...]) -> dict[str, Place]:
    """Return every point's place in the field frame, m, with what it counts from added.

    Raises
    ------
    InputValueError
        A point counts from one that is not there, or stands after it.
    """
    places: dict[str, Place] = {}
    for point in points:
        x, y, z = point.place_m
        if point.above and point.above not in places:
            raise InputValueError(
                "a control point counts from one that does not come before it",
                where=point.key,
                remedy=f"add {point.above} ahead of it",
            )
        from_x, from_y, from_z = places[point.above] if point.above else (0.0, 0.0, 0.0)
        places[point.key] = (from_x + x, from_y + y, from_z + z)
    return places
