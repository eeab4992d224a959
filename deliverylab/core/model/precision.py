"""How well somebody places landmarks: runs of placing again, and the figures that come of them."""

from __future__ import annotations

import math
from typing import NamedTuple

import msgspec

from deliverylab.core.errors import InputValueError

REPLACED_ORIGINS = frozenset({"placed", "imported"})
"""Origins of positions that a person placed, so that placing them again is a repeat."""


class PlacingTarget(NamedTuple):
    """A landmark to be placed again: which camera, frame (from 0) and landmark key."""

    camera: str
    frame: int
    landmark: str


class PlacedAgain(NamedTuple):
    """A landmark placed again, and where it was before.

    Attributes
    ----------
    camera, frame, landmark : str, int, str
        The target.
    x_px, y_px : float
        Place in the upright frame, px.
    before_x_px, before_y_px : float or None
        Where it stood in the record then, kept because that may be moved later; None where nobody
        had placed it by hand.
    """

    camera: str
    frame: int
    landmark: str
    x_px: float
    y_px: float
    before_x_px: float | None = None
    before_y_px: float | None = None

    @property
    def target(self) -> PlacingTarget:
        """What was placed."""
        return PlacingTarget(self.camera, self.frame, self.landmark)


class PlacingRun(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One person's repeat-placing of one delivery; unfinished while targets wait.

    Attributes
    ----------
    name : str
        Unique within the delivery.
    placer, date : str
        Who placed, and on which day (ISO 8601).
    original_placer : str
        Who had placed the positions of the record; empty is the same person.
    placed : tuple of PlacedAgain
        In the order in which they were placed.
    waiting : tuple of PlacingTarget
        Still to be placed, in their hidden order.
    """

    name: str
    placer: str
    date: str = ""
    original_placer: str = ""
    placed: tuple[PlacedAgain, ...] = ()
    waiting: tuple[PlacingTarget, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a run of nobody, and places that are no numbers.

        Raises
        ------
        InputValueError
            What is wrong.
        """
        if not self.placer.strip() or not self.name.strip():
            raise InputValueError(
                "a run of placing again needs the name of who placed", remedy="give a name"
            )
        for each in self.placed:
            places = (each.x_px, each.y_px, each.before_x_px or 0.0, each.before_y_px or 0.0)
            if not all(map(math.isfinite, places)):
                raise InputValueError(
                    "a position must be two numbers", where=f"{each.landmark}, frame {each.frame}"
                )

    @property
    def who_placed_before(self) -> str:
        """Who had placed the positions of the record."""
        return self.original_placer or self.placer


class PlacingPrecision(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A person's own standard uncertainty of a placed landmark, instead of the judged default.

    Attributes
    ----------
    placer, date : str
        Whose figures, and the day of the latest run in them.
    u_m : dict of str to float
        Standard uncertainty by landmark part (``shoulder``, ``head_top``; both sides together),
        metres, without the click itself, which depends on the picture and is added in pixels.
        Parts that were not repeated often enough are left out and keep the judged default.
    n_degrees_of_freedom : dict of str to int
        Of each u.
    u_between_m : dict of str to float
        The part of `u_m` that comes from the difference between people, where a second person
        placed the same targets.
    """

    placer: str
    date: str = ""
    u_m: dict[str, float] = {}
    n_degrees_of_freedom: dict[str, int] = {}
    u_between_m: dict[str, float] = {}

    def __post_init__(self) -> None:
        """Refuse figures that no placing has.

        Raises
        ------
        InputValueError
            A u that is negative or not a number.
        """
        for part, u_m in (*self.u_m.items(), *self.u_between_m.items()):
            if not 0.0 <= u_m < 1.0:
                raise InputValueError(
                    "the uncertainty of a placed point cannot be true", where=f"{part}: {u_m} m"
                )


def part_of(landmark: str) -> str:
    """Return the part of the body that a landmark key names, without its side."""
    side, _, part = landmark.partition("_")
    return part if side in {"left", "right"} else landmark
