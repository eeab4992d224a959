"""What an instructor adds to, or takes from, the tables that come with the program."""

from __future__ import annotations

import msgspec

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.plan import ArmLoad, Way

COMMON_PRACTICE = "common practice"


class LinkEnd(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One end of a link: a metric at an event (empty for an interval), and which way it differs."""

    metric: str
    event: str
    way: Way


class Link(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """An earlier difference and a later one that commonly goes together with it.

    Attributes
    ----------
    cause, effect : LinkEnd
        The earlier and the later difference.
    why : str
        One plain sentence, small first letter and no full stop: why they go together.
    source : str
        Authors and year, ``common practice``, or whose it is.
    strength : float
        Share of what comes before that it carries on, above 0 and up to 1.
    is_mirrored : bool
        Whether it holds as well with both ways turned round.
    """

    cause: LinkEnd
    effect: LinkEnd
    why: str
    source: str = COMMON_PRACTICE
    strength: float = 0.6
    is_mirrored: bool = True

    def __post_init__(self) -> None:
        """Refuse a strength that is none, and a link to itself.

        Raises
        ------
        InputValueError
            Strength outside 0 to 1, no reason, or both ends the same.
        """
        where = f"{self.cause.metric} to {self.effect.metric}"
        if not 0.0 < self.strength <= 1.0:
            raise InputValueError(
                "a link's strength lies above 0 and up to 1",
                where=where,
                remedy="0.6 suits common practice, 0.8 what somebody measured",
            )
        if not self.why.strip():
            raise InputValueError("a link needs its reason", where=where)
        if self.key[:2] == self.key[2:]:
            raise InputValueError("a link cannot lead to where it starts", where=where)

    @property
    def key(self) -> tuple[str, str, str, str]:
        """What identifies it: both ends' metric and event."""
        return (self.cause.metric, self.cause.event, self.effect.metric, self.effect.event)


class Cue(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What an athlete is told so that a metric goes one way.

    Attributes
    ----------
    metric, event, way : str
        What it is for.
    text : str
        A sentence to an athlete.
    text_for_minors : str
        The same to a child; empty where `text` serves both.
    """

    metric: str
    event: str
    way: Way
    text: str
    text_for_minors: str = ""


class Drill(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """An exercise.

    Attributes
    ----------
    name : str
        Unique within the library.
    serves : tuple of LinkEnd
        What it is for: metric, event and the way that is wanted.
    how : str
        How it is done, with repetitions.
    arm_load : {"none", "light", "throwing"}
        Decides the caution that goes with it.
    caution : str
        What to mind besides; empty where there is nothing.
    """

    name: str
    serves: tuple[LinkEnd, ...]
    how: str
    arm_load: ArmLoad = "none"
    caution: str = ""


class Library(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The instructor's own links, cues and drills; they come before those of the program.

    Attributes
    ----------
    owner : str
        Whose it is: provenance of the links.
    links : tuple of Link
        Further links, or others in the place of the program's of the same ends.
    without_links : tuple of tuple of str
        Keys of the program's links that are left out.
    cues, drills : tuple
        One's own.
    """

    owner: str = ""
    links: tuple[Link, ...] = ()
    without_links: tuple[tuple[str, str, str, str], ...] = ()
    cues: tuple[Cue, ...] = ()
    drills: tuple[Drill, ...] = ()
