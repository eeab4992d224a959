"""Edits of an instructor's library: every one returns another library, checked."""

from __future__ import annotations

from typing import Literal

from msgspec.structs import replace

from deliverylab.core.compare.links import LINKS, links_with
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.model.library import COMMON_PRACTICE, Cue, Drill, Library, Link, LinkEnd
from deliverylab.core.model.plan import Way

LinkKey = tuple[str, str, str, str]
Standing = Literal["the program’s", "changed", "own", "left out"]


def end_of(text: str, way: Way) -> LinkEnd:
    """Read ``metric/event``, or ``metric`` alone where it is taken at one instant only.

    Raises
    ------
    NotFoundError
        No such metric.
    InputValueError
        It is not taken at that event; the message says at which.
    """
    key, _, event = text.partition("/")
    events = metric(key).result_events
    if not event and len(events) == 1:
        event = events[0]
    return _checked(LinkEnd(key, event, way))


def _checked(end: LinkEnd) -> LinkEnd:
    events = metric(end.metric).result_events
    if end.event not in events:
        raise InputValueError(
            f"{end.metric} is not taken at {end.event}"
            if end.event
            else f"{end.metric} is taken at several events",
            where=f"{end.metric}/{end.event}".rstrip("/"),
            remedy=f"write {' or '.join(f'{end.metric}/{each}'.rstrip('/') for each in events)}",
        )
    return end


def with_owner(library: Library, name: str) -> Library:
    """Return a library that is this person's."""
    return replace(library, owner=name.strip())


def with_cue(library: Library, cue: Cue) -> Library:
    """Return a library with this cue before all others; one of the same words goes.

    Raises
    ------
    DeliveryLabError
        Its metric or event is none, or it says nothing.
    """
    _checked(LinkEnd(cue.metric, cue.event, cue.way))
    if not cue.text.strip():
        raise InputValueError("a cue needs words", where=cue.metric)
    return replace(library, cues=(cue, *without_cue(library, cue).cues))


def without_cue(library: Library, cue: Cue) -> Library:
    """Return a library without the cue of this purpose and these words."""

    def identity(one: Cue) -> tuple[str, ...]:
        return one.metric, one.event, one.way, one.text

    return replace(
        library, cues=tuple(each for each in library.cues if identity(each) != identity(cue))
    )


def with_drill(library: Library, drill: Drill) -> Library:
    """Return a library with this drill before all others, in the place of one of its name.

    Raises
    ------
    DeliveryLabError
        It has no name, no purpose, or does not say how it is done; or a purpose is none.
    """
    for has_it, what in (
        (drill.name.strip(), "a name"),
        (drill.how.strip(), "to say how it is done"),
        (drill.serves, "something that it serves"),
    ):
        if not has_it:
            raise InputValueError(f"a drill needs {what}", where=drill.name)
    for end in drill.serves:
        _checked(end)
    return replace(library, drills=(drill, *without_drill(library, drill.name).drills))


def without_drill(library: Library, name: str) -> Library:
    """Return a library without one's own drill of this name."""
    return replace(library, drills=tuple(each for each in library.drills if each.name != name))


def without_named(library: Library, name: str) -> Library:
    """Return a library without one's own drill of this name, or one's own cues for this metric.

    Raises
    ------
    NotFoundError
        Nothing of one's own has this name.
    """
    cues = tuple(each for each in library.cues if each.metric != name)
    changed = replace(without_drill(library, name), cues=cues)
    if changed == library:
        raise NotFoundError("nothing of your own has this name", where=name)
    return changed


def with_link(library: Library, link: Link) -> Library:
    """Return a library with this link, in the place of one between the same ends.

    What no source is given for is the owner's own word.

    Raises
    ------
    DeliveryLabError
        An end is none, or it leads round in a circle with others.
    """
    if link.source == COMMON_PRACTICE and library.owner and link not in LINKS:
        link = replace(link, source=library.owner)
    kept = restored(library, link.key)
    changed = replace(kept, links=(*kept.links, link))
    links_with(changed)
    return changed


def left_out(library: Library, key: LinkKey) -> Library:
    """Return a library without this link, be it one's own or the program's.

    Raises
    ------
    NotFoundError
        There is no link between these ends.
    """
    is_own = any(link.key == key for link in library.links)
    if not is_own and not _is_of_program(key):
        raise NotFoundError(
            "there is no such link",
            where=" → ".join(f"{key[at]} {key[at + 1]}".strip() for at in (0, 2)),
            remedy="a link leads from what comes earlier to what comes later; look which there are",
        )
    kept = restored(library, key)
    if not _is_of_program(key):
        return kept
    return replace(kept, without_links=(*kept.without_links, key))


def restored(library: Library, key: LinkKey) -> Library:
    """Return a library in which the program's link holds: nothing of one's own between these ends."""
    return replace(
        library,
        links=tuple(link for link in library.links if link.key != key),
        without_links=tuple(each for each in library.without_links if each != key),
    )


def links_standing(library: Library) -> tuple[tuple[Link, Standing], ...]:
    """Return every link with whose it is: the program's in its order, one's own further ones last."""
    own = {link.key: link for link in library.links}
    rows: list[tuple[Link, Standing]] = []
    for link in LINKS:
        if link.key in own:
            rows.append((own.pop(link.key), "changed"))
        else:
            is_out = link.key in library.without_links
            rows.append((link, "left out" if is_out else "the program’s"))
    return (*rows, *((link, "own") for link in own.values()))


def merged(library: Library, other: Library) -> Library:
    """Return a library with all of another's in it; where both say something, the other's holds.

    Raises
    ------
    DeliveryLabError
        Something of the other's is none, or its links lead round in a circle.
    """
    result = replace(library, owner=library.owner or other.owner)
    for cue in reversed(other.cues):
        result = with_cue(result, cue)
    for each in reversed(other.drills):
        result = with_drill(result, each)
    for link in other.links:
        result = with_link(result, link)
    for key in other.without_links:
        if _is_of_program(key):
            result = left_out(result, key)
    return result


def _is_of_program(key: LinkKey) -> bool:
    return any(link.key == key for link in LINKS)
