"""Events that the tracks suggest: what is offered, how it fits, and taking it over."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QObject, Signal

from deliverylab.core.model.timing import Timing
from deliverylab.shell.session_depth import SessionDepth
from deliverylab.shell.session_state import SIDES, Side

if TYPE_CHECKING:
    from deliverylab.core.events.suggest import Suggestion

FAR_U = 3.0
"""A mark this many U from where the tracks suggest its event is worth a second look."""


class Suggested(NamedTuple):
    """What was worked out for one clip, and for which one: another clock would make it wrong."""

    delivery: str
    camera: str
    timing: Timing
    found: tuple[Suggestion, ...]


class SessionSuggesting(SessionDepth):
    """Answers and intents about suggested events; they are worked out beside the window.

    Signals
    -------
    suggestions_changed(str)
        What is suggested for this stage's clip is something else now.
    """

    suggestions_changed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        self._suggested: dict[Side, Suggested | None] = dict.fromkeys(SIDES)
        super().__init__(parent)

    def take_suggestions(self, side: Side, suggested: Suggested | None) -> None:
        """Keep what was worked out for a stage's clip."""
        if suggested != self._suggested[side]:
            self._suggested[side] = suggested
            self.suggestions_changed.emit(side)

    def suggestions(self, side: Side) -> tuple[Suggestion, ...]:
        """Return the latest for a stage's clip, an entry an event, found or not; empty before that."""
        kept, camera = self._suggested[side], self.camera(side)
        state = self.state(side)
        if kept is None or camera is None or kept.timing is not camera.timing:
            return ()
        return kept.found if kept[:2] == (state.delivery, state.camera) else ()

    def open_suggestions(self, side: Side) -> tuple[Suggestion, ...]:
        """Return those within the trimmed clip whose event is not known yet, in the clip's order."""
        camera = self.camera(side)
        if camera is None:
            return ()
        known = self.event_times_s(side)
        low_s, high_s = camera.timing.times_s[[camera.first_frame, camera.end_frame]]
        inside = [
            (each.time_s, each)
            for each in self.suggestions(side)
            if each.time_s is not None
            and each.event not in known
            and low_s <= each.time_s <= high_s
        ]
        return tuple(each for _, each in sorted(inside, key=lambda pair: pair[0]))

    def nearest_suggestion(self, side: Side) -> str:
        """Return the open suggestion at or nearest to the shown frame; or empty."""
        shown_s = self.time_s(side)
        away_s = {
            each.event: abs(each.time_s - shown_s)
            for each in self.open_suggestions(side)
            if each.time_s is not None
        }
        return min(away_s, key=away_s.__getitem__, default="")

    def why_not_suggested(self, side: Side) -> dict[str, str]:
        """Return by event what is missing for a suggestion; only of events not known yet."""
        known = self.event_times_s(side)
        return {
            each.event: each.why
            for each in self.suggestions(side)
            if not each.is_found and each.event not in known
        }

    def departures_s(self, side: Side) -> dict[str, float]:
        """Return by marked event how much later it is suggested, where that is far beyond its ±.

        Seconds of the clip's own clock; earlier is negative.
        """
        camera = self.camera(side)
        if camera is None:
            return {}
        return {
            each.event: each.time_s - camera.marks[each.event].time_s
            for each in self.suggestions(side)
            if each.time_s is not None
            and each.u_s is not None
            and each.event in camera.marks
            and abs(each.time_s - camera.marks[each.event].time_s) > FAR_U * 2.0 * each.u_s
        }

    def suggestion_complaints(self, side: Side, events: Collection[str]) -> tuple[str, ...]:
        """Return what would be odd about the marks with these suggestions, and is not so before."""
        camera = self.camera(side)
        if camera is None or not events:
            return ()
        from deliverylab.core.workflow.suggesting import complaints

        before = self.complaints(side)
        after = complaints(camera, self.suggestions(side), events)
        return tuple(text for text in after if text not in before)

    def accept_suggestions(self, side: Side, events: Collection[str]) -> None:
        """Mark events where they are suggested, each with the suggestion's own u, in one step.

        Raises
        ------
        DeliveryLabError
            One of them is not suggested.
        """
        from deliverylab.core.workflow.suggesting import accept

        name, camera = self._needs_camera(side)
        delivery = self.project.delivery(name)
        self._do(accept(delivery, camera, self.suggestions(side), events))

    def instants_s(self, side: Side) -> dict[str, float]:
        """Return when events are on the clock of a stage's clip: known, else suggested."""
        suggested = {
            each.event: each.time_s
            for each in self.open_suggestions(side)
            if each.time_s is not None
        }
        return suggested | self.event_times_s(side)
