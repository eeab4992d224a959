"""What to work on: up to three priorities out of a comparison, each with target, cue and drill.

A suggestion, to be judged and changed by the instructor.  What it rests on is common practice: few things at
a time, what begins early before what follows from it, a target within reach, and a day to look again.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

import msgspec

from deliverylab.core.compare.chain_parts import Chain
from deliverylab.core.compare.drills import NO_AIM, cues_for, drills_for
from deliverylab.core.compare.rank import is_small
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.library import Cue, Drill, Library, LinkEnd
from deliverylab.core.model.plan import (
    LIGHT_CAUTION,
    MOST_PRIORITIES,
    THROWS_CAUTION,
    Plan,
    Priority,
    Way,
)
from deliverylab.core.report.wording import PAIN_CAUTION
from deliverylab.core.units import Unit

RECHECK_AFTER = dt.timedelta(weeks=3)
"""When to look again (common practice: two to four weeks)."""
WITHIN_REACH: dict[Unit, float] = {
    "deg": 10.0, "deg/s": 100.0, "% height": 6.0, "m": 0.12, "m/s": 0.3, "s": 0.06, "%": 10.0,
}  # fmt: skip
"""Largest gap that is asked for as a whole until the next look (judgement: a difference that an
instructor points out, or about one spread between pitchers)."""

MINOR_CAUTION = "A parent or coach looks on and decides how much is enough."
UNKNOWN_AGE_CAUTION = "Under 18, a parent or coach looks on and decides how much is enough."


def suggested_plan(
    a: Delivery,
    chain: Chain,
    library: Library,
    *,
    today: dt.date,
) -> Plan:
    """Suggest what to work on after a delivery.

    Parameters
    ----------
    a : Delivery
        The athlete's.
    chain : Chain
        Of the comparison's differences.
    library : Library
        The instructor's own; its cues and drills come before those of the program.
    today : datetime.date
        The next look is three weeks later.

    Returns
    -------
    Plan
        One priority for each start of the chain: the start itself, or the first that follows from it
        and can be aimed at; then the largest clear differences that no start explains.  None where
        nothing clear can be aimed at; then there is no day to look again either.

    Notes
    -----
    A difference can be aimed at where it is clear, has a target (see `target_of`), and there is a cue
    for the way that is wanted.  A metric comes once, and so does a cue.
    """
    is_careful = a.athlete.is_minor_in(today.year) is not False
    chosen: list[Priority] = []
    for candidates in _candidates(chain):
        for difference in candidates:
            found = priority_for(difference, library, is_minor=is_careful)
            if found.target is not None and found.cue and not _is_there(found, chosen):
                chosen.append(found)
                break
    priorities = tuple(chosen[:MOST_PRIORITIES])
    again = (today + RECHECK_AFTER).isoformat() if priorities else ""
    return Plan(priorities=priorities, recheck_date=again)


def priority_for(
    difference: Difference, library: Library, *, is_minor: bool | None = None
) -> Priority:
    """Return a clear difference as something to work on, with the first cue and drill there is.

    Parameters
    ----------
    difference : Difference
        One with a value on both sides.
    library : Library
        The instructor's own.
    is_minor : bool or None
        Whose wording; None, where the age is not known, takes that for minors.
    """
    wanted = wanted_end(difference)
    cue = cue_for(wanted, library, is_minor=is_minor)
    drills = drills_for(wanted, library)
    a = difference.a
    priority = Priority(
        metric=wanted.metric,
        event=wanted.event,
        way=wanted.way,
        value=a.value,
        # a plan keeps no degrees of freedom: twice this u is the ± that the comparison shows
        u=None if a.expanded_u is None else a.expanded_u / COVERAGE_FACTOR,
        partner=difference.b.value,
        target=target_of(difference),
        cue=cue,
    )
    return with_drill(priority, drills[0]) if drills else priority


def wanted_end(difference: Difference) -> LinkEnd:
    """Return the way an athlete's value shall go: towards the partner's."""
    way: Way = "less" if (difference.d or 0.0) > 0.0 else "more"
    return LinkEnd(metric=difference.metric, event=difference.event, way=way)


def with_drill(priority: Priority, drill: Drill) -> Priority:
    """Return a priority with this drill in the place of what was there."""
    return msgspec.structs.replace(
        priority,
        drill=drill.name,
        how=drill.how,
        arm_load=drill.arm_load,
        caution=drill.caution,
    )


def own_drill(name: str, how: str = "") -> Drill:
    """Return a drill that no library holds; as nobody knows what it loads, it counts as throwing."""
    return Drill(name=name, serves=(), how=how, arm_load="throwing" if name else "none")


def target_of(difference: Difference) -> float | None:
    """Return the value to reach until the next look, in the metric's unit.

    Returns
    -------
    float or None
        The partner's value.  Half-way there where the gap is larger than `WITHIN_REACH`, as long as
        half of it could still be told from no change (more than U of the difference).  Rounded as the
        metric is shown.  None where there is nothing to aim at (`NO_AIM`), or no clear difference.
    """
    value, partner = difference.a.value, difference.b.value
    if difference.verdict != "clear" or difference.metric in NO_AIM:
        return None
    if value is None or partner is None:
        return None
    spec = metric(difference.metric)
    gap = partner - value
    half = abs(gap) / 2.0
    if abs(gap) > WITHIN_REACH[spec.unit] and half > (difference.expanded_u or 0.0):
        partner = value + gap / 2.0
    target = round(partner, spec.decimals)
    return target if (target - value) * gap > 0.0 else partner


def cue_for(wanted: LinkEnd, library: Library, *, is_minor: bool | None = None) -> str:
    """Return the first cue for this, in the wording that suits; empty where there is none."""
    found = cues_for(wanted, library)
    return cue_wording(found[0], is_minor=is_minor) if found else ""


def cue_wording(cue: Cue, *, is_minor: bool | None) -> str:
    """Return a cue's words for an adult or a child.

    An age that is not known (None) takes the wording for minors, which serves everybody.
    """
    return cue.text_for_minors if cue.text_for_minors and is_minor is not False else cue.text


def plan_cautions(plan: Plan, athlete: Athlete, today: dt.date) -> tuple[str, ...]:
    """Return what to mind with a plan as a whole; nothing where there is nothing to do.

    League rules where a drill throws, that pain ends it, and that somebody looks on where the athlete
    is, or may be, under age.
    """
    if not plan.priorities:
        return ()
    loads = {priority.arm_load for priority in plan.priorities}
    said: list[str] = []
    if "throwing" in loads:
        said.append(THROWS_CAUTION)
    if "light" in loads:
        said.append(LIGHT_CAUTION)
    said.append(PAIN_CAUTION)
    under_age = athlete.is_minor_in(today.year)
    if under_age is not False:
        said.append(MINOR_CAUTION if under_age else UNKNOWN_AGE_CAUTION)
    return tuple(said)


def local_today() -> dt.date:
    """Return today's date where the instructor is."""
    return dt.datetime.now().astimezone().date()


def _candidates(chain: Chain) -> Iterator[tuple[Difference, ...]]:
    """Give for each priority, in order, the differences of which the first that can be aimed at counts."""
    for start in chain.starts:
        keys = (start.node.key, *start.follows)
        yield tuple(chain.node(key).difference for key in keys)
    for difference in chain.unexplained:
        if not is_small(difference):
            yield (difference,)


def _is_there(found: Priority, chosen: Sequence[Priority]) -> bool:
    return any(found.metric == one.metric or found.cue == one.cue for one in chosen)
