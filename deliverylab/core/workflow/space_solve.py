"""Solve the cameras of a delivery, and of all that were filmed with them left in place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.control import ControlPoint
from deliverylab.core.cameras.diagnosis import Diagnosis, diagnose
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.cameras.joint_solve import Solution, solve_cameras
from deliverylab.core.cameras.layout import Finding, check_layout
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import Batch, Change
from deliverylab.core.model.clip_changes import SetScale
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import Project
from deliverylab.core.model.space import SpaceSolution
from deliverylab.core.model.space_changes import SetSpace
from deliverylab.core.workflow.space_clocks import FilmedBody, filmed_body
from deliverylab.core.workflow.space_result import solution_of
from deliverylab.core.workflow.space_scale import solved_scale
from deliverylab.core.workflow.space_set_up import (
    control_points,
    field_of,
    field_size,
    session_of,
    set_up_of,
    source_of,
)

Array = NDArray[np.float64]

SEARCH_S = 0.200
"""How far on both sides of where it starts a clock's offset is looked for."""


@dataclass(frozen=True, kw_only=True)
class SolveOutcome:
    """What a solve found, and the edit that keeps it.

    Attributes
    ----------
    changes : Batch
        Keeps the solution in all deliveries of the session, and gives cameras without a scale of
        their own the one that follows.
    solution : SpaceSolution
        Of the delivery that was asked for.
    diagnosis : Diagnosis
    deliveries : tuple of str
        Solved together.
    messages : tuple of str
        What was left out, and why.
    """

    changes: Batch
    solution: SpaceSolution
    diagnosis: Diagnosis
    deliveries: tuple[str, ...]
    messages: tuple[str, ...]


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


def solve(project: Project, delivery: str) -> SolveOutcome:
    """Solve the cameras of a delivery together with all deliveries filmed with them left in place.

    Parameters
    ----------
    project : Project
        It is not changed: apply the outcome's `changes`.
    delivery : str
        Name of any delivery of the session.

    Raises
    ------
    NotFoundError
        No such delivery.
    InputValueError
        Fewer than two pictures with clicks on the field, too few clicks to begin from, or nothing
        that tells the clocks: what is missing, and what to do.

    Notes
    -----
    A solution that nothing may be shown from is kept as well, with its residuals and findings, so
    that they can be looked at.
    """
    asked = project.delivery(delivery)
    ready = gather(project, asked)
    moving = ready.moving
    layout = check_layout(
        ready.set_ups,
        ready.points,
        has_body=bool(moving),
        has_height=any(body.delivery.athlete.height_m is not None for body in moving),
    )
    solution = _solved(ready, layout)
    names = [body.delivery.name for body in moving]
    diagnosis = diagnose(solution, ready.set_ups, ready.points, names)
    diagnosis = replace(diagnosis, findings=(*layout, *diagnosis.findings))
    together = tuple(body.delivery.name for body in ready.bodies)
    kept = {
        body.delivery.name: solution_of(project, body, solution, diagnosis, ready, together)
        for body in ready.bodies
    }
    changes = [change for body in ready.bodies for change in _changes(body, kept, solution)]
    return SolveOutcome(
        changes=Batch(label="Solve the cameras", changes=tuple(changes)),
        solution=kept[asked.name],
        diagnosis=diagnosis,
        deliveries=together,
        messages=ready.messages,
    )


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


def _solved(ready: Ready, layout: tuple[Finding, ...]) -> Solution:
    """Solve; where that cannot even begin, say what the set-up lacks."""
    filmed = [body.filmed for body in ready.moving if body.filmed is not None]
    try:
        return solve_cameras(ready.set_ups, ready.points, filmed, search_s=SEARCH_S)
    except InputValueError:
        for found in layout:
            if found.severity == "refused":
                raise InputValueError(found.what, where=found.where, remedy=found.remedy) from None
        raise


def _changes(
    body: FilmedBody, kept: dict[str, SpaceSolution], solution: Solution
) -> Iterator[Change]:
    """Yield what keeps a delivery's solution, and the scales that follow from it."""
    delivery = body.delivery
    space = kept[delivery.name]
    yield SetSpace(delivery=delivery.name, space=space)
    for number, (solved, camera) in enumerate(zip(space.cameras, solution.cameras, strict=True)):
        model = delivery.camera(solved.name)
        if model.scale is not None and not model.scale.is_solved:
            continue
        rows = solution.unknowns.camera_columns(number)
        covariance = solution.covariance[rows, rows]
        scale = (
            None
            if space.is_refused
            else solved_scale(camera, covariance, model.view, delivery.athlete.hand)
        )
        if scale != model.scale:
            yield SetScale(delivery=delivery.name, camera=solved.name, scale=scale)
