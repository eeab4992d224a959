"""Solved cameras as the plan of the field shows them."""

from __future__ import annotations

import math

import numpy as np

from deliverylab.core.cameras.control import home_plate, rubber
from deliverylab.core.metrics.space_places import pinhole
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.field import FieldSetUp
from deliverylab.core.units import UnitSystem, format_value
from deliverylab.core.vocabulary.views import square_azimuth_deg
from deliverylab.core.workflow.space_facts import StoodAt
from deliverylab.core.workflow.space_set_up import field_set_up, field_size
from deliverylab.shell.drawing.field_plan import FieldScene, PlanPhone, PlanPoint
from deliverylab.shell.drawing.field_surface import FloatArray
from deliverylab.shell.field_content import far
from deliverylab.shell.field_edits import places_m

_RUBBER = ("rubber_front_left", "rubber_front_right", "rubber_back_right", "rubber_back_left")
_PLATE = (
    "plate_front_left",
    "plate_front_right",
    "plate_side_right",
    "plate_rear",
    "plate_side_left",
)


def field_scene(
    delivery: Delivery, field: FieldSetUp, stands: tuple[StoodAt, ...], system: UnitSystem
) -> FieldScene | None:
    """Return a solved delivery's field from above; None without a solve."""
    space = delivery.space
    if space is None:
        return None
    phones = []
    for stood in stands:
        camera = pinhole(space.camera(stood.camera))
        square_deg = square_azimuth_deg(stood.view, delivery.athlete.hand)
        facts, u = stood.facts, stood.u
        away = far(facts.distance_m, COVERAGE_FACTOR * u.distance_m, system)
        phones.append(
            PlanPhone(
                name=stood.camera,
                at_m=(float(camera.position_m[0]), float(camera.position_m[1])),
                looks_deg=square_deg + facts.yaw_deg,
                square_deg=square_deg,
                half_deg=math.degrees(math.atan(0.5 * camera.size_px[0] / camera.focal_px)),
                distance=f"{away} away",
                yaw=f"{off_square(stood)} off square",
            )
        )
    places = {**places_m(field), **space.points_m}
    size = field_size(field)
    return FieldScene(
        phones=tuple(phones),
        points=tuple(
            PlanPoint(at_m=places[point.key][:2], kind=point.kind, number=number)
            for number, point in enumerate(field.points, 1)
        ),
        rubber_m=_corners(field_set_up(rubber(size)), _RUBBER),
        plate_m=_corners(field_set_up(home_plate(size)), _PLATE),
    )


def off_square(stood: StoodAt) -> str:
    """Return how far a camera is turned from its view, with its ±."""
    return format_value(stood.facts.yaw_deg, COVERAGE_FACTOR * stood.u.yaw_deg, "deg", 1)


def _corners(field: FieldSetUp, keys: tuple[str, ...]) -> FloatArray:
    places = places_m(field)
    return np.array([places[key][:2] for key in keys])
