"""Which difference commonly goes together with which later one: a table to be judged and edited."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from graphlib import CycleError, TopologicalSorter

from deliverylab.core.compare.links_above import ARM_AND_BALL, SHOULDERS, TRUNK
from deliverylab.core.compare.links_below import FRONT_KNEE, HIPS, MOMENTUM
from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.catalogue import BY_KEY, instant_text
from deliverylab.core.model.library import Library, Link, LinkEnd

Key = tuple[str, str]
"""Metric and event of a result; no event for an interval or an extreme."""

LINKS: tuple[Link, ...] = (*MOMENTUM, *HIPS, *SHOULDERS, *FRONT_KNEE, *TRUNK, *ARM_AND_BALL)
"""The program's own, by what comes first."""

_REMEDY = "change or take out this link in the library"


def key_of(end: LinkEnd) -> Key:
    """Return the metric and event of an end."""
    return end.metric, end.event


def link_name(link: Link) -> str:
    """Return what a link joins, in words: ``stride → release ahead of the rubber``."""
    return " → ".join(_end_name(end) for end in (link.cause, link.effect))


def links_with(library: Library) -> tuple[Link, ...]:
    """Return the program's links with an instructor's own.

    Parameters
    ----------
    library : Library
        An own link takes the place of the program's between the same ends; further ones follow;
        those of `Library.without_links` are left out.

    Raises
    ------
    InputValueError
        An own link names a metric or an event that there is not, is there twice, or leads back
        to where it starts over other links; it says which.
    """
    own: dict[tuple[str, str, str, str], Link] = {}
    for link in library.links:
        _check_ends(link)
        if link.key in own:
            raise InputValueError("a link is there twice", where=link_name(link), remedy=_REMEDY)
        own[link.key] = link
    left_out = set(library.without_links)
    kept = [
        own.pop(link.key, link) for link in LINKS if link.key in own or link.key not in left_out
    ]
    links = (*kept, *own.values())
    _check_order(links, library.links)
    return links


def _check_ends(link: Link) -> None:
    for end in (link.cause, link.effect):
        if end.metric not in BY_KEY:
            raise InputValueError(
                f"a link names a metric that there is not: {end.metric}",
                where=f"{link.cause.metric} → {link.effect.metric}",
                remedy=_REMEDY,
            )
        events = BY_KEY[end.metric].result_events
        if end.event not in events:
            raise InputValueError(
                f"a link names an event at which {end.metric} is not taken: {end.event or 'none'}",
                where=link_name(link),
                remedy=f"it is taken at: {', '.join(each or 'no event' for each in events)}",
            )


def _check_order(links: Sequence[Link], own: Iterable[Link]) -> None:
    """Refuse links that lead round in a circle; name the own one of them."""
    before: dict[Key, set[Key]] = {}
    for link in links:
        before.setdefault(key_of(link.effect), set()).add(key_of(link.cause))
    try:
        TopologicalSorter(before).prepare()
    except CycleError as problem:
        circle = set(problem.args[1])
        guilty = next(link for link in own if {key_of(link.cause), key_of(link.effect)} <= circle)
        raise InputValueError(
            "a link leads round in a circle with others", where=link_name(guilty), remedy=_REMEDY
        ) from problem


def _end_name(end: LinkEnd) -> str:
    if end.metric not in BY_KEY:
        return end.metric
    name = BY_KEY[end.metric].name
    return f"{name} {instant_text(name, end.event)}".strip()
