"""What a solve of cameras takes, gathered from a project: cameras, field, deliveries of a session."""

from __future__ import annotations

from dataclasses import dataclass, replace

from deliverylab.core.cameras.control import ControlPoint
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import Project
from deliverylab.core.workflow.space_clocks import FilmedBody, filmed_body
from deliverylab.core.workflow.space_set_up import (
    control_points,
    field_of,
    field_size,
    session_of,
    set_up_of,
    source_of,
)


@dataclass(frozen=True, kw_only=True)
class Ready:
    """What a solve takes, gathered from a project.

    Attributes
    ----------
    set_ups : tuple of CameraSetUp
        Cameras in whose pictures the field is clicked.
    points : tuple of ControlPoint
    bodies : tuple of FilmedBody
        Deliveries of the session whose clocks can be told, the one asked for among them.
    messages : tuple of str
        What was left out, and why.
    """

    set_ups: tuple[CameraSetUp, ...]
    points: tuple[ControlPoint, ...]
    bodies: tuple[FilmedBody, ...]
    messages: tuple[str, ...]

    @property
    def moving(self) -> tuple[FilmedBody, ...]:
        """Deliveries whose body takes part."""
        return tuple(body for body in self.bodies if body.filmed is not None)


def gather(project: Project, delivery: Delivery) -> Ready:
    """Gather what a solve of a delivery takes.

    Raises
    ------
    InputValueError
        As for `solve`.
    """
    source, field = source_of(project, delivery), field_of(project, delivery)
    set_ups, messages = _clicked_set_ups(source, {point.key for point in field.points})
    names = [each.name for each in set_ups]
    bodies = []
    for each in session_of(project, delivery):
        gone = [name for name in names if name not in {camera.name for camera in each.cameras}]
        if gone and each.name != delivery.name:
            messages.append(f"{each.name} is left out: it has no camera {gone[0]}")
            continue
        body = filmed_body(each, names, field_size(field))
        if body.missing and each.name == delivery.name:
            raise InputValueError(
                "nothing tells how the clips' clocks go together",
                where=f"{each.name}: {names[0]} and {', '.join(body.missing)}",
                remedy="mark the same event in both clips, or track the landmarks over the delivery "
                "in both",
            )
        if body.missing:
            messages.append(f"{each.name} is left out: no event is marked in both its clips")
            continue
        if body.filmed is None:
            messages.append(
                f"{each.name}: the clips hold too few landmarks frame by frame, so the clicks alone "
                "place the cameras, and event marks alone join the clocks"
            )
        bodies.append(body)
    return Ready(
        set_ups=set_ups,
        points=control_points(field),
        bodies=tuple(bodies),
        messages=tuple(messages),
    )


def _clicked_set_ups(
    source: Delivery, points: set[str]
) -> tuple[tuple[CameraSetUp, ...], list[str]]:
    """Return the cameras in whose pictures the field is clicked, and what is left out."""
    set_ups, messages = [], []
    for camera in source.cameras:
        strangers = [key for key in camera.control if key not in points]
        if strangers:
            messages.append(
                f"clicks on points that are not on the field are left out ({camera.name}: "
                f"{', '.join(strangers)})"
            )
        if len(strangers) == len(camera.control):
            messages.append(f"{camera.name} is left out: nothing of the field is clicked in it")
            continue
        set_up = set_up_of(camera, source.athlete.hand)
        clicks = {key: place for key, place in set_up.clicks_px.items() if key in points}
        set_ups.append(replace(set_up, clicks_px=clicks))
    if len(set_ups) < 2:
        raise InputValueError(
            "two cameras are solved together, and the field is clicked in "
            + ("one picture only" if set_ups else "no picture"),
            where=source.name,
            remedy="click the rubber's corners and the cones in both clips",
        )
    return tuple(set_ups), messages
