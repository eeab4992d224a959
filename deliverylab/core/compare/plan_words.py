"""A priority in words: what it is about, and from where to where, in the reader's units."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from msgspec.structs import asdict

from deliverylab.core.compare.chain_words import end_words
from deliverylab.core.metrics.catalogue import BY_KEY, metric
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.library import LinkEnd
from deliverylab.core.model.plan import ArmLoad, Plan, Priority
from deliverylab.core.units import UnitSystem, format_value

ARM_LOAD_WORDS: dict[ArmLoad, str] = {
    "none": "does not load the arm",
    "light": "loads the arm a little",
    "throwing": "throws",
}


def plan_row(plan: Plan, cautions: Sequence[str]) -> dict[str, Any]:
    """Return a plan for JSON, with what to mind; SI and degrees."""
    priorities = [asdict(priority) for priority in plan.priorities]
    return asdict(plan) | {"priorities": priorities, "cautions": list(cautions)}


def priority_words(priority: Priority) -> str:
    """Return what is worked on: ``Trunk forward tilt at release, more forward``."""
    return wanted_words(LinkEnd(priority.metric, priority.event, priority.way))


def wanted_words(end: LinkEnd) -> str:
    """Return the same of a metric, an event and the way that is wanted."""
    if end.metric not in BY_KEY:
        return end.metric
    spec = metric(end.metric)
    name = end_words(end)
    wanted = spec.more if end.way == "more" else spec.less
    return f"{name[:1].upper()}{name[1:]}, {wanted}"


def gap_words(priority: Priority, system: UnitSystem) -> str:
    """Return the measured gap: ``now 22° ± 3, partner 34°, aim for 28° or more``; what is known of it."""
    if priority.metric not in BY_KEY:
        return ""
    spec = metric(priority.metric)

    def text(value: float, expanded_u: float | None = None) -> str:
        return format_value(value, expanded_u, spec.unit, spec.decimals, system)

    said: list[str] = []
    if priority.value is not None:
        expanded_u = None if priority.u is None else COVERAGE_FACTOR * priority.u
        said.append(f"now {text(priority.value, expanded_u)}")
    if priority.partner is not None:
        said.append(f"partner {text(priority.partner)}")
    if priority.target is not None:
        said.append(f"aim for {text(priority.target)} or {priority.way}")
    return ", ".join(said)
