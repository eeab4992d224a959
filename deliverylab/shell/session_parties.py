"""Who is compared with whom: single deliveries, several together, or a published group."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.model.changes import SetProjectField
from deliverylab.core.model.delivery import Delivery
from deliverylab.shell.session_answers import are_the_same
from deliverylab.shell.session_play import SessionPlay
from deliverylab.shell.session_state import Side

if TYPE_CHECKING:
    from deliverylab.core.compare.parties import Party
    from deliverylab.core.workflow.visits import Findings


@dataclass(frozen=True)
class PartyChoice:
    """Somebody who may stand on a side.

    Attributes
    ----------
    text : str
        What `Session.choose_own` and `Session.choose_partner` take.
    label : str
        How it is offered.
    group : str
        Under which it stands: ``together``, ``earlier``, ``others``, ``published``.
    """

    text: str
    label: str
    group: str


class SessionParties(SessionPlay):
    """The two sides of the comparison, and what may stand there instead."""

    def __init__(self, parent: QObject | None = None) -> None:
        self._compared: (
            tuple[tuple[str, str], tuple[Delivery, ...], tuple[Difference, ...]] | None
        ) = None
        super().__init__(parent)

    # ------------------------------------------------------------------------------- answers

    def differences(self) -> tuple[Difference, ...]:
        """Return the differences athlete minus partner; none without a partner.

        As long as nobody on either side is edited, they are the same.
        """
        sides = self.compared()
        if sides is None:
            return ()
        names = (sides[0].name, sides[1].name)
        rests_on = (*sides[0].deliveries, *sides[1].deliveries)
        kept = self._compared
        if kept is None or kept[0] != names or not are_the_same(kept[1], rests_on):
            kept = (names, rests_on, super().differences())
            self._compared = kept
        return kept[2]

    def sides(self) -> tuple[Party | None, Party | None]:
        """Return who stands on either side; None where nobody does yet."""
        found = self.compared()
        if found is not None:
            return found
        own = self.delivery("athlete")
        if own is None:
            return None, None
        from deliverylab.core.compare.parties import one_party

        return one_party(own), None

    def own_choices(self) -> tuple[PartyChoice, ...]:
        """Return who may stand on the athlete's side: the delivery, those of its day, all."""
        own = self.delivery("athlete")
        return () if own is None else tuple(self._together(own, without=""))

    def partner_choices(self) -> tuple[PartyChoice, ...]:
        """Return whom to compare with: deliveries, several of them, earlier days, published means."""
        own, partner = self.delivery("athlete"), self.partner()
        if own is None:
            return ()
        from deliverylab.core.compare.parties import published_text
        from deliverylab.core.compare.published import LEVELS

        choices = [] if partner is None else self._together(partner, without=own.name)
        choices += self._earlier_days(own)
        shown = {own.name, partner.name if partner else ""}
        choices += [
            PartyChoice(name, name, "others") for name in self.delivery_names() if name not in shown
        ]
        choices += [
            PartyChoice(published_text(level), f"published means, {level}", "published")
            for level in LEVELS
        ]
        return tuple({choice.text: choice for choice in reversed(choices)}.values())[::-1]

    def may_be_together(self, side: Side) -> tuple[str, ...]:
        """Return the deliveries of the athlete of a side, which may be picked one by one."""
        own = self.delivery("athlete") if side == "athlete" else self.partner()
        if own is None:
            return ()
        names = [each.name for each in self._of_athlete(own.athlete.name)]
        athlete = self._sides["athlete"].delivery
        return tuple(name for name in names if side == "athlete" or name != athlete)

    def athlete_findings(self) -> Findings | None:
        """Return all deliveries of the projects beside this one; None before it has a file."""
        if self.path is None:
            return None
        from deliverylab.core.workflow.visits import deliveries_in

        return deliveries_in(self.path.parent, (self.path, self.record))

    # ------------------------------------------------------------------------------- intents

    def select(self, side: Side, delivery: str | None, camera: str | None = None) -> None:
        """Put a delivery on a stage; who picks a partner's clip does not want published means."""
        is_new = side == "model" and delivery not in {None, self._sides["model"].delivery}
        super().select(side, delivery, camera)
        sides = self.compared() if is_new else None
        if sides is not None and sides[1].level is not None:
            self._do(SetProjectField(field="partner_set", value=""))

    def choose_own(self, text: str) -> None:
        """Have this party stand on the athlete's side.

        Raises
        ------
        NotFoundError, InputValueError
            There is nobody of this name.
        """
        self._choose("own_set", text, self._sides["athlete"].delivery)

    def choose_partner(self, text: str) -> None:
        """Compare with this party; one of its deliveries comes onto the second stage.

        Raises
        ------
        NotFoundError, InputValueError
            There is nobody of this name.
        """
        from deliverylab.core.compare.parties import party_of

        party = party_of(self.record, text)
        partner = self.partner()
        shown = partner.name if partner is not None else None
        if party.deliveries and shown not in {each.name for each in party.deliveries}:
            shown = party.deliveries[0].name
            self.select("model", shown)
        self._choose("partner_set", text, shown)

    def _choose(self, field: str, text: str, own: str | None) -> None:
        from deliverylab.core.compare.parties import party_of

        party = party_of(self.record, text)
        names = [each.name for each in party.deliveries]
        value = "" if names == [own] else party.name
        if value != getattr(self.record, field):
            self._do(SetProjectField(field=field, value=value))

    # ------------------------------------------------------------------------------- parts

    def _of_athlete(self, athlete: str, date: str | None = None) -> Sequence[Delivery]:
        return [
            each
            for each in self.record.deliveries
            if each.athlete.name == athlete and date in {None, each.date}
        ]

    def _together(self, own: Delivery, without: str) -> list[PartyChoice]:
        """Return a delivery, those of its day, and all of its athlete, where these are more."""
        from deliverylab.core.compare.parties import all_text, day_text

        athlete = own.athlete.name
        choices = [PartyChoice(own.name, f"only {own.name}", "together")]
        all_names = [each.name for each in self._of_athlete(athlete)]
        day_names = [each.name for each in self._of_athlete(athlete, own.date)]
        if own.date and 1 < len(day_names) < len(all_names) and without not in day_names:
            label = f"all {len(day_names)} of {athlete} on {own.date}"
            choices.append(PartyChoice(day_text(athlete, own.date), label, "together"))
        if len(all_names) > 1 and without not in all_names:
            label = f"all {len(all_names)} of {athlete}"
            choices.append(PartyChoice(all_text(athlete), label, "together"))
        return choices

    def _earlier_days(self, own: Delivery) -> list[PartyChoice]:
        """Return the athlete's own other days."""
        from deliverylab.core.compare.parties import day_text

        athlete = own.athlete.name
        days = {each.date for each in self._of_athlete(athlete)} - {"", own.date}
        return [
            PartyChoice(
                day_text(athlete, day),
                f"{athlete} on {day} ({len(self._of_athlete(athlete, day))})",
                "earlier",
            )
            for day in sorted(days, reverse=True)
        ]
