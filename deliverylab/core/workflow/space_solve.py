"""Solve the cameras of a delivery, and of all that were filmed with them left in place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from deliverylab.core.cameras.diagnosis import Diagnosis, diagnose
from deliverylab.core.cameras.joint_solve import Solution, solve_cameras
from deliverylab.core.cameras.layout import Finding, check_layout
from deliverylab.core.cameras.synchronise import SEARCH_S
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import Batch, Change
from deliverylab.core.model.changes import replace as replace_struct
from deliverylab.core.model.clip_changes import SetScale
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import Project
from deliverylab.core.model.space import SpaceSolution
from deliverylab.core.model.space_changes import SetSpace
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.workflow.space_clocks import FilmedBody, events_apart
from deliverylab.core.workflow.space_facts import solved_stands
from deliverylab.core.workflow.space_ready import Ready, gather
from deliverylab.core.workflow.space_result import solution_of
from deliverylab.core.workflow.space_scale import solved_scale

FAR_TURNED_DEG = 60.0
"""A camera turned farther from its view than this belongs to another view."""
CONTRADICTIONS = frozenset({"blunder", "swapped", "moved_camera", "wrong_minimum"})
"""Findings of which a camera moved between two deliveries may be the cause."""


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
    that they can be looked at.  Deliveries for which a camera was moved are solved apart, and say so.
    """
    asked = project.delivery(delivery)
    ready = gather(project, asked)
    parts = _without_moved(ready, _attempt(ready))
    kept = {
        body.delivery.name: solution_of(project, body, part.solution, part.diagnosis, part.ready)
        for part in parts
        for body in part.own
    }
    changes = [
        change
        for part in parts
        for body in part.own
        for change in _changes(body, kept[body.delivery.name], part.solution)
    ]
    mine = next(part for part in parts if asked.name in {b.delivery.name for b in part.own})
    return SolveOutcome(
        changes=Batch(label="Solve the cameras", changes=tuple(changes)),
        solution=kept[asked.name],
        diagnosis=mine.diagnosis,
        deliveries=tuple(body.delivery.name for body in mine.ready.bodies),
        messages=(
            *ready.messages,
            *_about_marks(asked, kept[asked.name]),
            *_about_views(asked, kept[asked.name]),
        ),
    )


def _about_views(delivery: Delivery, space: SpaceSolution) -> Iterator[str]:
    """Yield which camera stands far from the view it is said to show."""
    for stood in solved_stands(replace_struct(delivery, space=space)):
        if abs(stood.facts.yaw_deg) > FAR_TURNED_DEG and not space.is_refused:
            yield (
                f"{stood.camera} stands {abs(stood.facts.yaw_deg):.0f}° from the view it is said to "
                "show: set its view"
            )


def _about_marks(delivery: Delivery, space: SpaceSolution) -> Iterator[str]:
    """Yield which event is marked in two clips at instants that are not the same."""
    first, *others = space.cameras
    for other in others:
        pair = delivery.camera(first.name), delivery.camera(other.name)
        for event in events_apart(*pair, other.offset_s)[:1]:
            yield (
                f"{event_entry(event).name} is marked at different instants in {first.name} and "
                f"{other.name}: check both marks"
            )


@dataclass(frozen=True, kw_only=True)
class _Attempt:
    """A solve of some deliveries; `own` are those that keep it."""

    ready: Ready
    solution: Solution
    diagnosis: Diagnosis
    own: tuple[FilmedBody, ...]

    @property
    def contradictions(self) -> tuple[Finding, ...]:
        """What does not fit together."""
        return tuple(found for found in self.diagnosis.findings if found.key in CONTRADICTIONS)


def _attempt(ready: Ready) -> _Attempt:
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
    return _Attempt(ready=ready, solution=solution, diagnosis=diagnosis, own=ready.bodies)


def _without_moved(ready: Ready, together: _Attempt) -> list[_Attempt]:
    """Solve apart, where a session contradicts itself, the deliveries that do not fit the clicked one.

    A camera that was turned or moved after the clicks were made shows as a click that does not fit:
    which delivery it is comes out only when each is held against the clicked one.
    """
    if len(ready.moving) < 2 or not together.contradictions:
        return [_body_or_clicks(together)]
    clicked = ready.bodies[0]
    alone = _body_or_clicks(_attempt(replace(ready, bodies=(clicked,))))
    if alone.contradictions:
        # the clicks themselves are wrong: no other delivery is to blame
        return [_with_findings(together, alone.contradictions)]
    moved = []
    for body in ready.moving:
        if body is not clicked:
            pair = _attempt(replace(ready, bodies=(clicked, body)))
            if pair.contradictions:
                severe = {found.severity for found in pair.contradictions}
                found = _moved(body, clicked, is_refused="refused" in severe)
                moved.append(replace(_with_findings(pair, (found,)), own=(body,)))
    gone = [part.own[0] for part in moved]
    rest = tuple(body for body in ready.bodies if body not in gone)
    return [_attempt(replace(ready, bodies=rest)), *moved] if moved else [together]


def _body_or_clicks(attempt: _Attempt) -> _Attempt:
    """Tell whether the body or the clicks are wrong where the two contradict each other.

    A body that is wrong as a whole pulls at the cameras until clicks do not fit either: what the
    clicks say without it decides.
    """
    keys = {found.key for found in attempt.contradictions}
    if not ("wrong_minimum" in keys and len(keys) > 1):
        return attempt
    bodies = tuple(replace(body, filmed=None) for body in attempt.ready.bodies)
    by_clicks = _attempt(replace(attempt.ready, bodies=bodies)).contradictions
    by_body = tuple(found for found in attempt.contradictions if found.key == "wrong_minimum")
    return _with_findings(attempt, by_clicks or by_body)


def _with_findings(attempt: _Attempt, contradictions: Sequence[Finding]) -> _Attempt:
    others = [found for found in attempt.diagnosis.findings if found.key not in CONTRADICTIONS]
    diagnosis = replace(attempt.diagnosis, findings=(*contradictions, *others))
    return replace(attempt, diagnosis=diagnosis)


def _moved(body: FilmedBody, clicked: FilmedBody, *, is_refused: bool) -> Finding:
    return Finding(
        key="moved_camera",
        severity="refused" if is_refused else "doubtful",
        what=f"a camera was moved, turned or zoomed since {clicked.delivery.name}",
        where=body.delivery.name,
        remedy="click the field in this delivery's own clips, and let it have its own cameras",
    )


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


def _changes(body: FilmedBody, space: SpaceSolution, solution: Solution) -> Iterator[Change]:
    """Yield what keeps a delivery's solution, and the scales that follow from it."""
    delivery = body.delivery
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
