"""Whether a delivery's cameras are solved and still go with their clicks, in plain words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.workflow.space_freshness import is_out_of_date
from deliverylab.core.workflow.space_set_up import field_of, source_of


@dataclass(frozen=True, kw_only=True)
class SpaceCondition:
    """How a delivery's cameras stand with their solve.

    Attributes
    ----------
    level : {"ok", "note", "problem"}
        Solved; could be better; nothing is shown in space, or what is shown is wrong.
    what, remedy : str
    """

    level: Literal["ok", "note", "problem"]
    what: str
    remedy: str = ""


def cameras_step(project: Project | ProjectRecord, delivery: Delivery) -> tuple[bool, str]:
    """Return whether a delivery's cameras are as far as they get, and what is there or wanted.

    A delivery whose field nobody clicked is measured one camera at a time, where each has a scale.

    Returns
    -------
    bool, str
        The second is empty with one camera.
    """
    if len(delivery.cameras) < 2:
        return True, ""
    try:
        source = source_of(project, delivery)
        state = is_out_of_date(project, delivery)
    except InputValueError as problem:
        return False, problem.what
    if delivery.space is None:
        n_points = len(field_of(project, delivery).points)
        counts = [f"{camera.name} {len(camera.control)} of {n_points}" for camera in source.cameras]
        if sum(bool(camera.control) for camera in source.cameras) > 1:
            return False, f"solve them: {', '.join(counts)} points clicked"
        is_begun = any(camera.control for camera in source.cameras)
        if not is_begun and all(camera.scale is not None for camera in delivery.cameras):
            return True, "one at a time: no field clicked"
        return False, f"click the field: {', '.join(counts)}"
    if state == "field":
        return False, "out of date: solve them again"
    if delivery.space.is_refused:
        return False, "the solve is refused: look why"
    unsure = delivery.space.worst_deg
    sure = "" if unsure is None else f", directions unsure by {unsure:.2f}°"
    return True, f"solved{sure}"


def space_condition(project: Project | ProjectRecord, delivery: Delivery) -> SpaceCondition | None:
    """Return how a delivery's cameras stand with their solve; None with fewer than two cameras."""
    if len(delivery.cameras) < 2:
        return None
    try:
        source = source_of(project, delivery)
    except InputValueError as problem:
        return SpaceCondition(level="problem", what=problem.what, remedy=problem.remedy)
    if delivery.space is None:
        if sum(bool(camera.control) for camera in source.cameras) < 2:
            return SpaceCondition(
                level="note",
                what="its cameras are not solved, so nothing is measured in space",
                remedy="click the rubber's corners and the cones in both clips, and solve the cameras",
            )
        return SpaceCondition(
            level="note",
            what="the field is clicked, but the cameras are not solved",
            remedy="solve the cameras",
        )
    state = is_out_of_date(project, delivery)
    if state == "field":
        return SpaceCondition(
            level="problem",
            what="the cameras were solved before the field, its clicks or the clips' times changed",
            remedy="solve the cameras again",
        )
    by_weight = sorted(delivery.space.findings, key=lambda each: each.severity != "refused")
    for found in by_weight[:1]:
        where = f" ({found.where})" if found.where else ""
        is_refused = found.severity == "refused"
        return SpaceCondition(
            level="problem" if is_refused else "note",
            what=f"the cameras {'cannot be solved' if is_refused else 'are doubtful'}: "
            f"{found.what}{where}",
            remedy=found.remedy,
        )
    if state == "body":
        return SpaceCondition(
            level="note",
            what="landmarks or marks changed since the cameras were solved",
            remedy="solve the cameras again; it changes little",
        )
    return SpaceCondition(level="ok", what="the cameras are solved")
