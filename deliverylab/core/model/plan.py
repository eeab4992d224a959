"""What an athlete works on until the next visit."""

from __future__ import annotations

import datetime as dt
import math
from typing import Literal

import msgspec

from deliverylab.core.errors import InputValueError

Way = Literal["more", "less"]
"""Towards a larger or a smaller value of the metric."""
THROWS_CAUTION = (
    "Throwing counts towards today’s pitches: your league’s pitch-count rules come first."
)
LIGHT_CAUTION = "A towel or a light throw works the arm as well: stop when it is tired."
"""What to mind where a drill throws, or loads the arm a little."""
MOST_PRIORITIES = 3
"""Nobody works on more than this at a time (common practice)."""
ArmLoad = Literal["none", "light", "throwing"]
"""Whether a drill loads the arm: not at all, a little (towel, light throws), or by throws."""


class Priority(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One thing to work on: what was measured, where it shall go, and how.

    Attributes
    ----------
    metric, event : str
        Keys of what is measured; no event for an interval or an extreme.
    way : {"more", "less"}
        Towards a larger or a smaller value.
    value, u : float or None
        What was measured when the plan was made, and its standard uncertainty, in the metric's unit;
        None where it was not shown.
    partner : float or None
        What it was compared with then, same unit.
    target : float or None
        Value to reach at least (at most, where less is wanted), in the metric's unit.
    cue : str
        What the athlete is told, in a few words.
    drill, how : str
        Name of the drill, and how it is done.
    arm_load : {"none", "light", "throwing"}
        Whether the drill loads the arm.
    caution : str
        What to mind while doing it; empty where there is nothing.
    """

    metric: str
    event: str = ""
    way: Way
    value: float | None = None
    u: float | None = None
    partner: float | None = None
    target: float | None = None
    cue: str = ""
    drill: str = ""
    how: str = ""
    arm_load: ArmLoad = "none"
    caution: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """What identifies it in a plan: metric and event."""
        return self.metric, self.event

    def __post_init__(self) -> None:
        """Refuse numbers that are none.

        Raises
        ------
        InputValueError
            A number that is not finite, or a u below zero.
        """
        numbers = (self.value, self.u, self.partner, self.target)
        if any(number is not None and not math.isfinite(number) for number in numbers):
            raise InputValueError("a priority's numbers are finite", where=self.metric)
        if self.u is not None and self.u < 0.0:
            raise InputValueError("u cannot be negative", where=self.metric)


class Plan(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What to work on after this delivery.

    Attributes
    ----------
    priorities : tuple of Priority
        One to three, the first one first.
    recheck_date : str
        Day of the next look, ISO 8601, or empty.
    note : str
        In the instructor's words, for the page.
    """

    priorities: tuple[Priority, ...] = ()
    recheck_date: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse more than anybody can work on, and days that are none.

        Raises
        ------
        InputValueError
            More than three priorities, one of them twice, or no date.
        """
        if len(self.priorities) > MOST_PRIORITIES:
            raise InputValueError(
                f"a plan has at most {MOST_PRIORITIES} priorities",
                remedy="leave the others for the next visit",
            )
        keys = [priority.key for priority in self.priorities]
        if len(set(keys)) < len(keys):
            raise InputValueError(
                "a plan has the same priority twice", remedy="take one of them out"
            )
        if self.recheck_date:
            try:
                dt.date.fromisoformat(self.recheck_date)
            except ValueError as problem:
                raise InputValueError(
                    "the day of the next look is no date",
                    where=self.recheck_date,
                    remedy="write it as 2026-05-14",
                ) from problem
