"""What the library's panel shows for a metric: cues, drills and links, one's own first."""

from __future__ import annotations

from typing import TypeVar

from deliverylab.core.compare.drills import CUES, DRILLS, NO_AIM, cues_for, drills_for
from deliverylab.core.compare.own_library import Standing, links_standing
from deliverylab.core.metrics.catalogue import METRICS, instant_text, metric
from deliverylab.core.model.changes import replace
from deliverylab.core.model.library import COMMON_PRACTICE, Cue, Drill, Library, Link, LinkEnd
from deliverylab.core.model.plan import Way

Item = TypeVar("Item", Cue, Drill, Link)
WAYS: tuple[Way, Way] = ("more", "less")


def metric_choices() -> tuple[tuple[str, str], ...]:
    """Return key and name of every metric, in the catalogue's order."""
    return tuple((spec.key, spec.name) for spec in METRICS)


def end_choices(metric_key: str) -> tuple[tuple[LinkEnd, str], ...]:
    """Return every instant and way of a metric in words: ``at release, more forward``."""
    spec = metric(metric_key)
    found = []
    for event in spec.result_events:
        instant = instant_text(spec.name, event)
        for way in WAYS:
            wanted = spec.more if way == "more" else spec.less
            text = f"{instant}, {wanted}" if instant else wanted
            found.append((LinkEnd(metric_key, event, way), text))
    return tuple(found)


def cue_rows(end: LinkEnd, library: Library) -> tuple[tuple[Cue, bool], ...]:
    """Return the cues for this with whether each is one's own; of equal words only that."""
    theirs = cues_for(end, Library())
    own = cues_for(end, library)[: -len(theirs) or None]
    words = {cue.text for cue in own}
    theirs = tuple(cue for cue in theirs if cue.text not in words)
    return (*((cue, True) for cue in own), *((cue, False) for cue in theirs))


def drill_rows(end: LinkEnd, library: Library) -> tuple[tuple[Drill, bool], ...]:
    """Return the drills for this with whether each is one's own."""
    return tuple((each, each in library.drills) for each in drills_for(end, library))


def link_rows(end: LinkEnd, library: Library) -> tuple[tuple[Link, Standing], ...]:
    """Return the links that begin or end with this metric at this instant, with whose each is."""
    key = (end.metric, end.event)
    return tuple(
        (link, standing)
        for link, standing in links_standing(library)
        if key in (link.key[:2], link.key[2:])
    )


def changed(item: Item, **fields: object) -> Item:
    """Return a cue, drill or link with other parts; a link's other words are not its source's."""
    if "why" in fields:
        fields["source"] = COMMON_PRACTICE
    return replace(item, **fields)


def why_no_aim(end: LinkEnd) -> str:
    """Return why a metric gets no target; empty where it gets one."""
    return NO_AIM.get(end.metric, "")


def size_words(library: Library) -> str:
    """Return how much of it is one's own."""
    n_links = len(library.links) + len(library.without_links)
    own = len(library.cues) + len(library.drills) + n_links
    from_program = f"{len({cue.text for cue in CUES})} cues and {len(DRILLS)} drills"
    return f"{own or 'Nothing'} of your own so far; the program brings {from_program}."
