"""The page's plan: what to work on, until when, in the reader's units."""

from __future__ import annotations

from dataclasses import dataclass

from deliverylab.core.metrics.catalogue import BY_KEY, instant_text
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.plan import LIGHT_CAUTION, THROWS_CAUTION, Plan, Priority
from deliverylab.core.report import wording
from deliverylab.core.report.plain_names import PLAIN_NAMES
from deliverylab.core.units import UnitSystem, format_value


@dataclass(frozen=True, kw_only=True)
class PlanItem:
    """One thing to work on.

    Attributes
    ----------
    cue : str
        What to do, in a few words.
    aim : str
        What is measured, where it was, and where it shall go.
    drill, how, caution : str
        The drill's name, how it is done, what to mind; empty where there is none.
    """

    cue: str
    aim: str
    drill: str = ""
    how: str = ""
    caution: str = ""


@dataclass(frozen=True, kw_only=True)
class PagePlan:
    """What to work on.

    Attributes
    ----------
    title : str
        ``Work on this until 4 June 2026``.
    items : tuple of PlanItem
        The first one first.
    cautions : tuple of str
        Where a drill loads the arm.
    note : str
        In the instructor's words.
    """

    title: str
    items: tuple[PlanItem, ...]
    cautions: tuple[str, ...] = ()
    note: str = ""


def page_plan(plan: Plan | None, system: UnitSystem) -> PagePlan | None:
    """Return a plan as the page tells it; None where there is nothing in it."""
    if plan is None or not (plan.priorities or plan.note.strip()):
        return None
    until = f" until {wording.day(plan.recheck_date)}" if plan.recheck_date else ""
    return PagePlan(
        title=f"Work on this{until}",
        items=tuple(plan_item(priority, system) for priority in plan.priorities),
        cautions=_load_cautions(plan),
        note=plan.note.strip(),
    )


def _load_cautions(plan: Plan) -> tuple[str, ...]:
    loads = {priority.arm_load for priority in plan.priorities}
    cautions = (("throwing", THROWS_CAUTION), ("light", LIGHT_CAUTION))
    return tuple(caution for load, caution in cautions if load in loads)


def plan_item(priority: Priority, system: UnitSystem) -> PlanItem:
    """Return a priority as the page tells it; without a cue, what is wanted stands for it."""
    spec = BY_KEY.get(priority.metric)
    name = PLAIN_NAMES.get(priority.metric, priority.metric.replace("_", " "))
    what = f"{name} {instant_text(name, priority.event)}".strip()
    said = [what]
    if spec is not None and priority.value is not None:
        expanded_u = None if priority.u is None else COVERAGE_FACTOR * priority.u
        now = format_value(priority.value, expanded_u, spec.unit, spec.decimals, system)
        said.append(_together(f"now {now}"))
    if spec is not None and priority.target is not None:
        target = format_value(priority.target, None, spec.unit, spec.decimals, system)
        said.append(_together(f"aim for {target} or {priority.way}"))
    wanted = "" if spec is None else f"{what}: {spec.more if priority.way == 'more' else spec.less}"
    return PlanItem(
        cue=priority.cue.strip() or wanted or what,
        aim=f"{said[0]}: {', '.join(said[1:])}" if said[1:] else what,
        drill=priority.drill.strip(),
        how=priority.how.strip(),
        caution=priority.caution.strip(),
    )


def _together(text: str) -> str:
    """Return a number with its words kept on one line."""
    return text.replace(" ", "\u00a0")
