"""Events that the tracks suggest: worked out, offered, and taken over by a key or a click."""

from __future__ import annotations

from collections.abc import Collection

from deliverylab.shell.actions_suggesting import ACCEPT_ALL
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session, Side
from deliverylab.shell.settings import Settings
from deliverylab.shell.suggest_content import accepted_text, count_text, missing_text
from deliverylab.shell.suggest_watch import SuggestionWatch
from deliverylab.shell.window.intents import IntentWindow

NOTHING_OPEN = "No other event is suggested."


class SuggestingWindow(IntentWindow):
    """Offers suggested events and marks those that are accepted.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        self.suggestion_watch = SuggestionWatch(session, self)
        self.scrub.acceptance_wanted.connect(self._accept)

    def accept_suggestions(self) -> None:
        """Mark all events of the active stage that are suggested and not known yet, in one step."""
        side = self.session.active_side
        self._accept(side, [each.event for each in self.session.open_suggestions(side)])

    def accept_nearest_suggestion(self) -> None:
        """Mark the suggested event at or nearest to the shown frame, and show it."""
        side = self.session.active_side
        nearest = self.session.nearest_suggestion(side)
        self._accept(side, [nearest] if nearest else [])

    def offer_suggestions(self, side: Side) -> bool:
        """Show the first suggested event of a stage and offer them all; return whether there are any."""
        session = self.session
        found, delivery = session.open_suggestions(side), session.delivery(side)
        if not found or delivery is None:
            return False
        session.activate(side)
        session.go_to_event(found[0].event)
        names = [each.event for each in found]
        odd = session.suggestion_complaints(side, names)
        text = f"{delivery.name}: {count_text(len(found))}. Look at them with ], or accept"
        self.say(
            f"{text} all ({ACCEPT_ALL}).{_then(odd)}",
            "caution" if odd else "note",
            f"Accept {len(found)}",
            lambda: self._accept(side, names),
        )
        return True

    def _accept(self, side: Side, events: Collection[str]) -> None:
        """Mark these events, and say what is odd about them now; a single one is shown."""
        session = self.session
        accepted = [each for each in session.open_suggestions(side) if each.event in events]
        if not accepted:
            missing = missing_text(session, side).replace("\n", ". ")
            self.say(f"{NOTHING_OPEN} {missing}".strip())
            return
        session.activate(side)
        names = [each.event for each in accepted]
        odd = session.suggestion_complaints(side, names)
        session.accept_suggestions(side, names)
        if len(names) == 1:
            session.go_to_event(names[0])
        text = f"{accepted_text(accepted)}{_then(odd)}"
        self.say(text, "caution" if odd else "good", "Undo", session.undo)


def _then(complaints: Collection[str]) -> str:
    """Return complaints as sentences behind another one."""
    return "".join(f" {text[:1].upper()}{text[1:]}." for text in complaints)
