"""What the page calls the two sides: one delivery, several together, or a published group."""

from __future__ import annotations

from collections.abc import Sequence

from deliverylab.core.compare.parties import Party
from deliverylab.core.compare.published import PUBLISHED
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.report import wording
from deliverylab.core.units import UnitSystem

MOST_NAMES = 2
"""Athletes of one side that are named; more are counted."""


def shown_delivery(party: Party) -> Delivery | None:
    """Return the delivery whose pictures stand for a side; None of a published group."""
    return party.deliveries[0] if party.deliveries else None


def is_minor(delivery: Delivery) -> bool:
    """Return whether the athlete was under 18, or may have been, in the year of the delivery."""
    year = delivery.date.strip()[:4]
    return year.isdigit() and delivery.athlete.is_minor_in(int(year)) is True


def cautions(party: Party) -> tuple[str, ...]:
    """Return the cautions at the foot; to a minor in other words."""
    if any(is_minor(each) for each in party.deliveries):
        return wording.CAUTIONS_FOR_MINORS
    return wording.CAUTIONS


def headings(a: Party, b: Party) -> tuple[str, str]:
    """Return what both sides are called in table, strip and chart."""
    if not a.is_several and not b.is_several:
        return wording.headings(a.deliveries[0], b.deliveries[0])
    is_same = a.athletes == b.athletes
    return _heading(a, is_same=is_same), _heading(b, is_same=is_same)


def _heading(party: Party, *, is_same: bool) -> str:
    if party.level is not None:
        return f"Published, {_group(party)}"
    n = len(party.deliveries)
    if n == 1:
        return party.deliveries[0].name if is_same else party.athletes[0]
    days = {each.date.strip() for each in party.deliveries}
    if is_same:
        who = wording.day(days.pop()) if len(days) == 1 and "" not in days else "all days"
    else:
        who = _athletes(party)
    return f"{who}, mean of {n}"


def _athletes(party: Party) -> str:
    names = party.athletes
    if len(names) > MOST_NAMES:
        return wording.counted(len(names), "athlete")
    return wording.joined(names)


def _group(party: Party) -> str:
    """Return ``30 college pitchers``: the largest group of the level."""
    rows = [row for row in PUBLISHED if row.level == party.level]
    return f"{max(row.n for row in rows)} {party.level} pitchers"


def page_name(a: Party) -> str:
    """Return whose page it is."""
    return _athletes(a)


def compared_with(a: Party, b: Party) -> str:
    """Return what the page says about the partner."""
    if b.level is not None:
        sources = dict.fromkeys(row.source for row in PUBLISHED if row.level == b.level)
        # each source stays on one line
        said = "; ".join(source.replace(" ", "\u00a0") for source in sources)
        return f"compared with the means of {_group(b)} ({said})"
    if not a.is_several and not b.is_several:
        return wording.compared_with(a.deliveries[0], b.deliveries[0])
    mine = wording.counted(len(a.deliveries), "delivery", "deliveries")
    means = f"mean of {mine}, " if a.is_several else ""
    return f"{means}compared with {_partner(b, is_own=a.athletes == b.athletes)}"


def _partner(b: Party, *, is_own: bool) -> str:
    own = "own " if is_own else ""
    whose = "" if is_own else f" of {_athletes(b)}"
    if b.is_several:
        return f"the mean of {len(b.deliveries)} {own}deliveries{whose}"
    one = b.deliveries[0]
    day = f", {wording.day(one.date)}" if one.date.strip() else ""
    return f"own delivery “{one.name}”{day}" if is_own else f"{b.athletes[0]}{day}"


def facts(a: Party, system: UnitSystem) -> tuple[str, ...]:
    """Return who threw and when, as short clauses; of several athletes only the days."""
    if not a.is_several:
        return wording.facts(a.deliveries[0], system)
    days = sorted({each.date.strip() for each in a.deliveries if each.date.strip()})
    said = list(wording.facts(a.deliveries[0], system)[:1]) if len(a.athletes) == 1 else []
    if len(days) == 1:
        said.append(wording.day(days[0]))
    elif days:
        said.append(f"{wording.day(days[0])} to {wording.day(days[-1])}")
    return (*said, wording.counted(len(a.deliveries), "delivery", "deliveries"))


def strip_names(a: Party, b: Party) -> tuple[str, str]:
    """Return what the strip's rows are called: which delivery it is, where the side is several."""

    def name(party: Party, heading: str) -> str:
        if party.level is None and party.is_several:
            return f"{party.deliveries[0].name}, 1 of {len(party.deliveries)}"
        return heading

    mine, theirs = headings(a, b)
    return name(a, mine), name(b, theirs)


def how_filmed(
    a: Party, b: Party, system: UnitSystem, *, is_brief: bool = False
) -> tuple[str, ...]:
    """Return how both sides were filmed and placed, one sentence each; one where they are alike.

    The brief ones leave out distances, scale and points.
    """
    names = headings(a, b)
    said = [_filmed(party, system, is_brief=is_brief) for party in (a, b)]
    if said[0] == said[1]:
        return (wording.sentence(f"both deliveries: {said[0]}"),)
    return tuple(wording.sentence(f"{n}: {how}") for n, how in zip(names, said, strict=True))


def _filmed(party: Party, system: UnitSystem, *, is_brief: bool) -> str:
    if party.level is not None:
        rows = [row for row in PUBLISHED if row.level == party.level]
        ages = " and ".join(dict.fromkeys(row.ages for row in rows))
        return f"measured in a laboratory, aged {ages}; each pitcher differs from their mean"
    first, *others = (
        wording.filmed_briefly(each) if is_brief else wording.filmed(each, system)
        for each in party.deliveries
    )
    if not others:
        return first if is_brief else f"{first}; {wording.placed(party.deliveries[0])}"
    alike = all(each == first for each in others)
    return f"{first}{'' if alike else ' (the first; the others differ)'}"


def used_hands(parties: Sequence[Party]) -> set[str]:
    """Return the throwing hands of both sides."""
    return {each.athlete.hand for party in parties for each in party.deliveries}
