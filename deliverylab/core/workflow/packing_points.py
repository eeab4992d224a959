"""Keys of the field's points, under which clicks and a solve refer to them, without names in them."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.workflow.space_set_up import LAYOUTS, standard_field_set_up

_OWN = frozenset(
    point.key for layout in LAYOUTS for point in standard_field_set_up(layout=layout.key).points
)
"""The program's own, which name nobody."""


def nameless_keys(record: ProjectRecord, told: Callable[[str], str]) -> dict[str, str]:
    """Return the key by which each point of the field goes where nobody is named; no two are alike.

    Parameters
    ----------
    record : ProjectRecord
        Whose points: those of the fields, those that are clicked, and those of a solve.
    told : callable
        Returns a text with names in it replaced.
    """
    keys = dict.fromkeys(key for delivery in record.deliveries for key in _keys_of(delivery))
    renamed: dict[str, str] = {}
    for key in keys:
        alias = key if key in _OWN else told(key)
        while alias != key and (alias in keys or alias in renamed.values()):
            alias += "_again"
        renamed[key] = alias
    return renamed


def _keys_of(delivery: Delivery) -> Iterable[str]:
    """Return every key of a point that a delivery holds; some come again and again."""
    if delivery.field is not None:
        for point in delivery.field.points:
            yield point.key
            yield point.above
    for camera in delivery.cameras:
        yield from camera.control
    if delivery.space is not None:
        yield from delivery.space.points_m
        yield from (each.point for each in delivery.space.residuals)
