"""The steps of the job, and how far two deliveries have come."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from deliverylab.core.compare.parties import compared
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.report.wording import day
from deliverylab.core.vocabulary.events import EVENTS
from deliverylab.core.workflow.placing_left import nearest_text, needed
from deliverylab.core.workflow.placing_plan import placing_plan
from deliverylab.core.workflow.space_health import cameras_step

State = Literal["done", "next", "missing"]

KEY_EVENTS: tuple[str, ...] = tuple(event.key for event in EVENTS if event.key_instant)
"""The instants at which positions are normally placed."""
NEEDED_EVENTS: tuple[str, ...] = ("leg_lift", "foot_contact", "release")
"""The instants on which two deliveries are laid over each other."""
_NAME = {event.key: event.name for event in EVENTS}


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of the job.

    Attributes
    ----------
    key, name : str
        Stable key and title.
    state : {"done", "next", "missing"}
        Done; the one to do now; or waiting for others.
    detail : str
        What is there, or what is wanted, in a few words.
    """

    key: str
    name: str
    state: State
    detail: str


def checklist(
    delivery_a: Delivery | None,
    delivery_b: Delivery | None = None,
    project: Project | ProjectRecord | None = None,
    has_clear: Callable[[], bool] | None = None,
) -> tuple[Step, ...]:
    """Return the steps Clip, Scale, Events, Landmarks, Cameras, Compare, Plan, Page.

    The first that is not done is the next.  With a partner, a step is done when it is done for
    both, and what is wanted says for whom.  Cameras are a step where two filmed a delivery.

    Parameters
    ----------
    delivery_a, delivery_b : Delivery or None
        The athlete's and the model delivery.
    project : Project or ProjectRecord, optional
        Where they are from; without it nothing is said of their cameras, and nothing is known of a
        published group as the partner.
    has_clear : callable, optional
        Whether anything differs clearly, asked where there is no plan yet: else there is nothing to
        choose.
    """
    both = [delivery for delivery in (delivery_a, delivery_b) if delivery is not None]
    compare = _compare_wants(delivery_a, delivery_b, project)
    findings = [
        ("clip", "Clip", _over(both, _clip_wants, "open a clip")),
        ("scale", "Scale", _over(both, _scale_wants, "")),
        ("events", "Events", _over(both, _event_wants, "")),
        ("landmarks", "Landmarks", _over(both, _landmark_wants, "")),
        *_cameras(both, project),
        ("compare", "Compare", compare),
        ("plan", "Plan", _plan_wants(delivery_a, has_clear if compare[0] else None)),
    ]
    steps: list[Step] = []
    has_next = False
    for key, name, (is_done, detail) in findings:
        state: State = "done" if is_done else "missing" if has_next else "next"
        has_next = has_next or not is_done
        steps.append(Step(key=key, name=name, state=state, detail=detail))
    steps.append(
        Step(
            key="page",
            name="Page",
            state="missing" if has_next else "next",
            detail="write the page" if steps[-2].state == "done" else "after the comparison",
        )
    )
    return tuple(steps)


def _cameras(
    deliveries: list[Delivery], project: Project | ProjectRecord | None
) -> list[tuple[str, str, tuple[bool, str]]]:
    """Return the step of cameras, over the deliveries that two filmed; empty without any."""
    filmed_by_two = [each for each in deliveries if len(each.cameras) > 1]
    if project is None or not filmed_by_two:
        return []
    answer = _over(filmed_by_two, lambda delivery: cameras_step(project, delivery), "")
    return [("cameras", "Cameras", answer)]


def _over(
    deliveries: list[Delivery], wants: Callable[[Delivery], tuple[bool, str]], empty: str
) -> tuple[bool, str]:
    """Return (is done, detail) of a step over one delivery or two."""
    if not deliveries:
        return False, empty
    answers = [(delivery.name, *wants(delivery)) for delivery in deliveries]
    open_answers = [(name, detail) for name, is_done, detail in answers if not is_done]
    if not open_answers:
        return True, answers[0][2]
    if len(answers) == 1:
        return False, open_answers[0][1]
    return False, "; ".join(f"{name}: {detail}" for name, detail in open_answers)


def _clip_wants(delivery: Delivery) -> tuple[bool, str]:
    if not delivery.cameras:
        return False, "open a clip"
    n_clips = sum(camera.clip is not None for camera in delivery.cameras)
    if not n_clips:
        return True, "positions from elsewhere"
    return True, "1 clip" if n_clips == 1 else f"{n_clips} clips"


def _scale_wants(delivery: Delivery) -> tuple[bool, str]:
    without = [camera.name for camera in delivery.cameras if camera.scale is None]
    n_clicked = sum(bool(camera.control) for camera in delivery.cameras)
    if without and delivery.space is None and (n_clicked > 1 or delivery.cameras_from):
        return True, "comes with the cameras"
    if without:
        wanted = "two points and their distance" + _which(delivery, without)
        if len(delivery.cameras) > 1 and delivery.space is None:
            wanted += ", or solve the cameras"
        return False, wanted
    return bool(delivery.cameras), "set" + _solved(delivery)


def _solved(delivery: Delivery) -> str:
    """Return what a second camera is good for so far; empty with one."""
    if len(delivery.cameras) < 2:
        return ""
    if delivery.space is None:
        return ", cameras not solved"
    return ", cameras cannot be solved" if delivery.space.is_refused else ", cameras solved"


def _event_wants(delivery: Delivery) -> tuple[bool, str]:
    camera = _fullest(delivery, "marks")
    if camera is None:
        return False, ""
    missing = [_NAME[key] for key in KEY_EVENTS if key not in camera.marks]
    if missing:
        return False, f"mark {', '.join(missing)}"
    return True, f"{len(camera.marks)} marked"


def _landmark_wants(delivery: Delivery) -> tuple[bool, str]:
    camera = _fullest(delivery, "marks")
    if camera is None:
        return False, ""
    marked = [key for key in KEY_EVENTS if key in camera.marks]
    if not marked:
        return False, "after the events"
    n_there, n_all = placing_plan(delivery, camera).n_of("results")
    if n_there < n_all:
        gives = nearest_text(needed(delivery, camera))
        return False, f"{n_there} of {n_all} points" + (f"; {gives}" if gives else "")
    return len(marked) == len(KEY_EVENTS), f"{n_all} points at {len(marked)} events"


def _compare_wants(
    a: Delivery | None, b: Delivery | None, project: Project | ProjectRecord | None
) -> tuple[bool, str]:
    record = project.record if isinstance(project, Project) else project
    sides = compared(record, a.name) if record is not None and a is not None else None
    if sides is not None and sides[1].level is not None:
        return True, f"{sides[0].name} with {sides[1].name}"
    if a is None or b is None:
        return False, "choose a partner"
    if not all(
        any(set(NEEDED_EVENTS) <= set(camera.marks) for camera in delivery.cameras)
        for delivery in (a, b)
    ):
        return False, f"mark {', '.join(_NAME[key] for key in NEEDED_EVENTS)} in both"
    return True, f"{a.name} with {b.name}"


def _plan_wants(
    delivery: Delivery | None, has_clear: Callable[[], bool] | None
) -> tuple[bool, str]:
    plan = delivery.plan if delivery is not None else None
    if plan is None or not plan.priorities:
        if has_clear is not None and not has_clear():
            return True, "nothing clear to work on"
        return False, "choose what to work on"
    n = len(plan.priorities)
    until = f", until {day(plan.recheck_date)}" if plan.recheck_date else ""
    return True, f"{n} thing{'s' if n > 1 else ''} to work on{until}"


def _fullest(delivery: Delivery, table: str) -> Camera | None:
    """Return the camera with most entries in a table; the first of equals."""
    return max(delivery.cameras, key=lambda camera: len(getattr(camera, table)), default=None)


def _which(delivery: Delivery, names: list[str]) -> str:
    return "" if len(delivery.cameras) == 1 else f" ({', '.join(names)})"
