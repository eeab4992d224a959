"""Who stands on either side of a comparison: one delivery, several together, or a published group.

What a person writes for a party:

=========================  ====================================================================
``Ana 1``                  the delivery of this name; an exact name always wins
``Ana 1 + Ana 2 + Ana 3``  these deliveries together
``all of Ana``             every delivery of this athlete in the project
``Ana on 2026-05-14``      every delivery of this athlete with this date
``published college``      the published means of a group: youth, high school or college
=========================  ====================================================================
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from deliverylab.core.compare.published import LEVELS, Level
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import ProjectRecord

_TOGETHER, _ALL_OF, _ON, _PUBLISHED = " + ", "all of ", " on ", "published "


@dataclass(frozen=True)
class Party:
    """One side of a comparison.

    Attributes
    ----------
    name : str
        As it is called in tables and on the page; the text that `party_of` reads.
    deliveries : tuple of Delivery
        None for a published group.
    level : {"youth", "high school", "college"} or None
        The published group.
    """

    name: str
    deliveries: tuple[Delivery, ...]
    level: Level | None = None

    @property
    def athletes(self) -> tuple[str, ...]:
        """Names of the athletes, each once."""
        return tuple(dict.fromkeys(each.athlete.name for each in self.deliveries))

    @property
    def is_several(self) -> bool:
        """Whether its values are means."""
        return len(self.deliveries) != 1


def one_party(delivery: Delivery) -> Party:
    """Return the party of a single delivery."""
    return Party(delivery.name, (delivery,))


def party_from(who: Delivery | Sequence[Delivery] | Level) -> Party:
    """Return the party of a delivery, of several together, or of a published group.

    Raises
    ------
    InputValueError
        Of no delivery.
    """
    if isinstance(who, str):
        return Party(published_text(who), (), who)
    if isinstance(who, Delivery):
        return one_party(who)
    if not who:
        raise InputValueError("a side of a comparison needs a delivery")
    return Party(names_text(each.name for each in who), tuple(who))


def names_text(names: Iterable[str]) -> str:
    """Return how several deliveries are written."""
    return _TOGETHER.join(names)


def all_text(athlete: str) -> str:
    """Return how all deliveries of an athlete are written."""
    return f"{_ALL_OF}{athlete}"


def day_text(athlete: str, date: str) -> str:
    """Return how an athlete's deliveries of one day are written."""
    return f"{athlete}{_ON}{date}"


def published_text(level: Level) -> str:
    """Return how a published group is written."""
    return f"{_PUBLISHED}{level}"


def party_of(record: ProjectRecord, text: str) -> Party:
    """Read who stands on a side.

    Parameters
    ----------
    record : ProjectRecord
        Whose deliveries are meant.
    text : str
        As in the table above; words count in capitals or not, names as they are written.

    Raises
    ------
    NotFoundError
        Nobody of this name; the message says what there is.
    InputValueError
        A delivery is named twice, or a date is none.
    """
    by_name = {each.name: each for each in record.deliveries}
    text = text.strip()
    if text in by_name:
        return one_party(by_name[text])
    read = (
        _published(text)
        or _named(text, by_name)
        or _of_athlete(text, record.deliveries)
        or _of_day(text, record.deliveries)
    )
    if read is None:
        raise _nobody(text, record.deliveries)
    return read


def compared(record: ProjectRecord, own: str | None = None) -> tuple[Party, Party] | None:
    """Return the two sides of the project's comparison, with what stands beside the pair.

    Parameters
    ----------
    record : ProjectRecord
        With `pair`, `own_set` and `partner_set`.
    own : str, optional
        The athlete's delivery; the pair's without.  A published partner needs no pair.

    Returns
    -------
    tuple of Party, Party, or None
        None where one side is missing.

    Notes
    -----
    A set holds only as long as it fits: the deliveries of an earlier pair, or such that are gone, are
    passed over for the pair's own delivery.
    """
    names = {each.name for each in record.deliveries}
    pair = record.pair if record.pair and (own is None or record.pair[0] == own) else None
    own_name = own or (pair[0] if pair else None)
    if own_name is None or own_name not in names:
        return None
    mine = _fitting(record, record.own_set, own_name)
    if mine is None:
        mine = party_of(record, own_name)
    partner_name = pair[1] if pair and pair[1] in names and pair[1] != pair[0] else None
    theirs = _fitting(record, record.partner_set, partner_name)
    if theirs is None and partner_name is not None:
        theirs = party_of(record, partner_name)
    return None if theirs is None else (mine, theirs)


def _fitting(record: ProjectRecord, text: str, name: str | None) -> Party | None:
    """Return a set that holds a side's own delivery, or is published; None otherwise."""
    if not text:
        return None
    try:
        party = party_of(record, text)
    except (NotFoundError, InputValueError):
        return None  # renamed or removed meanwhile
    if party.level is not None or name in {each.name for each in party.deliveries}:
        return party
    return None


def _published(text: str) -> Party | None:
    if not text.lower().startswith(_PUBLISHED):
        return None
    wanted = text[len(_PUBLISHED) :].strip().lower()
    for level in LEVELS:
        if level == wanted:
            return Party(published_text(level), (), level)
    return None


def _named(text: str, by_name: dict[str, Delivery]) -> Party | None:
    names = [part.strip() for part in text.split(_TOGETHER.strip())]
    if len(names) < 2 or not all(name in by_name for name in names):
        return None
    if len(set(names)) < len(names):
        raise InputValueError(
            "a delivery counts once", where=text, remedy="name each delivery only once"
        )
    return Party(names_text(names), tuple(by_name[name] for name in names))


def _of_athlete(text: str, deliveries: Sequence[Delivery]) -> Party | None:
    if not text.lower().startswith(_ALL_OF):
        return None
    athlete = text[len(_ALL_OF) :].strip()
    found = tuple(each for each in deliveries if each.athlete.name == athlete)
    return Party(all_text(athlete), found) if found else None


def _of_day(text: str, deliveries: Sequence[Delivery]) -> Party | None:
    athlete, said, date = text.rpartition(_ON)
    if not said:
        return None
    try:
        date = dt.date.fromisoformat(date.strip()).isoformat()
    except ValueError:
        return None
    athlete = athlete.strip()
    found = tuple(each for each in deliveries if each.athlete.name == athlete and each.date == date)
    return Party(day_text(athlete, date), found) if found else None


def _nobody(text: str, deliveries: Sequence[Delivery]) -> NotFoundError:
    names = ", ".join(each.name for each in deliveries) or "none yet"
    athletes = ", ".join(dict.fromkeys(each.athlete.name for each in deliveries)) or "nobody yet"
    return NotFoundError(
        "no such delivery",
        where=text,
        remedy=f"the deliveries are: {names}; several are written Ana 1 + Ana 2, "
        f'"{_ALL_OF.strip()}" an athlete ({athletes}), an athlete "{_ON.strip()}" a day as 2026-05-14, '
        f'or "{_PUBLISHED.strip()}" {", ".join(LEVELS)}',
    )
