"""What the plan's panel shows: a card for each priority, and what may be added."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from deliverylab.core.compare.chain_words import node_words
from deliverylab.core.compare.drills import NO_AIM, cues_for, drill_named, drills_for, drills_with
from deliverylab.core.compare.plan_words import ARM_LOAD_WORDS, gap_words, priority_words
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import replace
from deliverylab.core.model.library import Library, LinkEnd
from deliverylab.core.model.plan import ArmLoad, Priority
from deliverylab.core.units import UnitSystem, format_number, shown_unit
from deliverylab.core.workflow.planning import cue_wording


@dataclass(frozen=True)
class PriorityCard:
    """One priority as it is shown.

    Attributes
    ----------
    title, gap : str
        What is worked on, and from where: ``now 22° ± 3, partner 34°``.
    target, target_unit, no_target : str
        As typed, what stands behind it, and why there is nothing to aim at (or empty).
    cue, drill, how : str
        As they are.
    cues, drills : tuple of str
        Others of the library.
    arm_load : str
        Whether the drill loads the arm, and in words.
    is_own_drill : bool
        Whether no library holds the drill: then the instructor says what it loads.
    caution : str
        What goes with this drill.
    """

    title: str
    gap: str
    target: str
    target_unit: str
    no_target: str
    cue: str
    cues: tuple[str, ...]
    drill: str
    drills: tuple[str, ...]
    how: str
    arm_load: ArmLoad
    arm_load_words: str
    is_own_drill: bool
    caution: str


def priority_card(
    priority: Priority, athlete: Athlete, library: Library, system: UnitSystem, today: dt.date
) -> PriorityCard:
    """Return a priority as it is shown to the reader."""
    wanted = LinkEnd(priority.metric, priority.event, priority.way)
    found = drill_named(priority.drill, drills_with(library))
    spec = BY_KEY.get(priority.metric)
    symbol = shown_unit(spec.unit, system).symbol if spec else ""
    under_age = athlete.is_minor_in(today.year)
    cues = (cue_wording(cue, is_minor=under_age) for cue in cues_for(wanted, library))
    return PriorityCard(
        title=priority_words(priority),
        gap=gap_words(replace(priority, target=None), system),
        target=target_text(priority, system),
        target_unit=f"{symbol} or {priority.way}".strip(),
        no_target=NO_AIM.get(priority.metric, ""),
        cue=priority.cue,
        cues=tuple(dict.fromkeys(text for text in cues if text != priority.cue)),
        drill=priority.drill,
        drills=tuple(one.name for one in drills_for(wanted, library) if one.name != priority.drill),
        how=priority.how,
        arm_load=priority.arm_load,
        arm_load_words=ARM_LOAD_WORDS[priority.arm_load],
        is_own_drill=bool(priority.drill) and found is None,
        caution=priority.caution,
    )


def target_text(priority: Priority, system: UnitSystem) -> str:
    """Return a target as it is typed, in the reader's units; empty where there is none."""
    spec = BY_KEY.get(priority.metric)
    if priority.target is None or spec is None:
        return ""
    shown = shown_unit(spec.unit, system)
    decimals = max(0, spec.decimals + shown.extra_decimals)
    return format_number(priority.target * shown.factor, decimals)


def read_target(priority: Priority, text: str, system: UnitSystem) -> float | None:
    """Return a typed target in the metric's own unit; None where nothing is typed.

    Raises
    ------
    ValueError
        Not a number.
    """
    cleaned = text.strip().replace("\u2212", "-").replace(",", ".")
    if not cleaned:
        return None
    spec = BY_KEY[priority.metric]
    number = float(cleaned) / shown_unit(spec.unit, system).factor
    if not abs(number) < 1e6:
        raise ValueError(text)
    return number


def choice_words(difference: Difference) -> str:
    """Return how a clear difference is offered: ``Stride: shorter``."""
    words = node_words(difference)
    return words[:1].upper() + words[1:]
