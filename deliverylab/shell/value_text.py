"""How results and differences are written in the window: number, margin, verdict by shape and word."""

from __future__ import annotations

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.spec import Result
from deliverylab.core.units import Unit, UnitSystem, decimals_of_difference, format_value
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS

PHASE_OF_EVENT = {
    "leg_lift": "leg lift",
    "hand_break": "stride",
    "foot_contact": "foot contact",
    "foot_plant": "foot contact",
    "full_layback": "layback",
    "release": "release",
    "finish": "release",
}


def number_and_margin(
    value: float | None, expanded_u: float | None, unit: Unit, decimals: int, system: UnitSystem
) -> tuple[str, str]:
    """Return ``("47°", "± 4")`` or ``("1.52", "± 0.01 m")``; the margin is the expanded U."""
    if value is None:
        return "–", ""
    number, mark, margin = format_value(value, expanded_u, unit, decimals, system).partition(" ± ")
    return number, f"± {margin}" if mark else ""


def of_result(result: Result, system: UnitSystem) -> tuple[str, str]:
    """Return a result's number and margin."""
    return number_and_margin(result.value, result.expanded_u, result.unit, result.decimals, system)


def of_difference(difference: Difference, system: UnitSystem) -> tuple[str, str]:
    """Return a difference's number, with its sign, and margin."""
    a, margin_u = difference.a, difference.expanded_u
    decimals = decimals_of_difference(difference.d or 0.0, margin_u, a.unit, a.decimals, system)
    number, margin = number_and_margin(difference.d, margin_u, a.unit, decimals, system)
    is_positive = (
        difference.d is not None and difference.d > 0 and any(c in "123456789" for c in number)
    )
    return (f"+{number}" if is_positive else number), margin


def verdict_shape(difference: Difference) -> str:
    """Return the icon of a verdict: ``above``, ``below``, ``same`` or ``apart``."""
    if difference.verdict == "clear":
        return "above" if (difference.d or 0.0) > 0 else "below"
    return "same" if difference.verdict == "within_error" else "apart"


def verdict_word(difference: Difference) -> str:
    """Return a verdict in a word or two that fit beside a number."""
    if difference.verdict == "clear":
        return difference.words or "clear"
    return "within ±" if difference.verdict == "within_error" else "not comparable"


def phase_of(result: Result) -> str:
    """Return the heading that a result is listed under."""
    return PHASE_OF_EVENT.get(result.event, result.phase)


def name_and_instant(result: Result) -> str:
    """Return ``Lead knee flexion at release``; the instant only where the name does not say it."""
    from deliverylab.core.metrics.catalogue import instant_of

    return f"{result.name} {instant_of(result)}".strip()


def name_under_heading(result: Result) -> str:
    """Return a result's name, with its instant where neither it nor the heading says that."""
    heading = PHASE_OF_EVENT.get(result.event, "")
    is_said = not heading or EVENTS[result.event].name.endswith(heading)
    return result.name if is_said else name_and_instant(result)


def effort_of(remedy: str) -> int:
    """Return how far off a remedy is: 0 with this clip, 1 by filming anew, 2 by another camera."""
    if not remedy or "second phone" in remedy:
        return 2
    return 1 if remedy.startswith("film") else 0
