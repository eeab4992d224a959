"""Words and places of suggested events, for the scrub bar and whoever offers to accept them."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.shell.actions_suggesting import ACCEPT_ALL, ACCEPT_NEAREST
from deliverylab.shell.drawing.scrub_scene import Ghost
from deliverylab.shell.session import Session, Side

if TYPE_CHECKING:
    from deliverylab.core.events.suggest import Suggestion

Placing = Callable[[NDArray[np.float64]], NDArray[np.float64]]
"""Times of a clip's own clock to places on the scrub bar's axis."""


def margin_text(u_s: float | None) -> str:
    """Return an instant's ± (k = 2) in milliseconds."""
    return "" if u_s is None else f"± {max(1, round(2000.0 * u_s))} ms"


def count_text(n_events: int) -> str:
    """Return how many events are suggested, as the beginning of a sentence."""
    return "1 event is suggested" if n_events == 1 else f"{n_events} events are suggested"


def departure_text(later_s: float) -> str:
    """Return how far from its mark an event is suggested."""
    return f"{abs(1000.0 * later_s):.0f} ms {'later' if later_s > 0.0 else 'earlier'}"


def offer_text(session: Session, side: Side) -> str:
    """Return that events are suggested, and by which key they are accepted; or empty."""
    found = session.open_suggestions(side)
    if not found:
        return ""
    if len(found) == 1:
        name = EVENTS[found[0].event].name
        return f"Suggested: {name}, {margin_text(found[0].u_s)}. {ACCEPT_ALL} accepts it"
    text = f"{count_text(len(found))}: {ACCEPT_ALL} accepts all, {ACCEPT_NEAREST} the nearest"
    odd = session.suggestion_complaints(side, [each.event for each in found])
    return f"{text}. They would not fit: {odd[0]}" if odd else text


def list_text(session: Session, side: Side) -> str:
    """Return all that is suggested, a line an event, and what would be odd about it."""
    found = session.open_suggestions(side)
    lines = [
        f"{EVENTS[each.event].name}: {each.time_s:.3f} s {margin_text(each.u_s)}" for each in found
    ]
    odd = session.suggestion_complaints(side, [each.event for each in found])
    return "\n".join([*lines, *(f"then {text}" for text in odd)])


def missing_text(session: Session, side: Side) -> str:
    """Return why events are not suggested, a line a reason; empty before anything was looked for."""
    by_why: dict[str, list[str]] = {}
    for event, why in session.why_not_suggested(side).items():
        by_why.setdefault(why, []).append(EVENTS[event].name)
    return "\n".join(f"{', '.join(names)}: {why}" for why, names in by_why.items())


def event_note(session: Session, side: Side, event: str) -> str:
    """Return what the tracks say of one event: where it is suggested, or why it is not."""
    for each in session.open_suggestions(side):
        if each.event == event:
            return f"Suggested at {each.time_s:.3f} s {margin_text(each.u_s)}: {each.why}"
    departure_s = session.departures_s(side).get(event)
    if departure_s is not None:
        return f"The tracks suggest it {departure_text(departure_s)}"
    why = session.why_not_suggested(side).get(event)
    return f"Not suggested: {why}" if why else ""


def accepted_text(accepted: Collection[Suggestion]) -> str:
    """Return what was marked, once it is."""
    each = next(iter(accepted))
    if len(accepted) > 1:
        names = ", ".join(EVENTS[one.event].name for one in accepted)
        return f"{len(accepted)} events are marked where the tracks suggest them: {names}."
    name = EVENTS[each.event].name
    return (
        f"{name[:1].upper()}{name[1:]} is marked at {each.time_s:.3f} s {margin_text(each.u_s)}, "
        "where the tracks suggest it."
    )


def ghosts(session: Session, side: Side, to_axis: Placing) -> dict[str, Ghost]:
    """Return the open suggestions of a side by event, on the scrub bar's axis."""
    return {
        each.event: _ghost(
            each,
            to_axis,
            f"Suggested: {EVENTS[each.event].name}, {margin_text(each.u_s)}\n"
            f"{each.time_s:.3f} s: {each.why}\nClick, or {ACCEPT_NEAREST}: mark it here",
        )
        for each in session.open_suggestions(side)
    }


def doubts(session: Session, side: Side, to_axis: Placing) -> dict[str, Ghost]:
    """Return by marked event where it is suggested, of those that lie far from their mark."""
    departures_s = session.departures_s(side)
    return {
        each.event: _ghost(
            each, to_axis, f"The tracks suggest it {departure_text(departures_s[each.event])}"
        )
        for each in session.suggestions(side)
        if each.event in departures_s
    }


def _ghost(suggestion: Suggestion, to_axis: Placing, text: str) -> Ghost:
    time_s, u_s = suggestion.time_s or 0.0, suggestion.u_s or 0.0
    low, place, high = to_axis(np.array([time_s - 2.0 * u_s, time_s, time_s + 2.0 * u_s]))
    return Ghost(place=float(place), low=float(low), high=float(high), text=text)
