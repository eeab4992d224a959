"""Suggest the instants that matter from the courses of landmarks, each with its u and how it was found.

A suggestion is a start for a person's own mark, and so unsure as its rule leaves it: the constants in
`deliverylab.core.events.rules` are common practice, and people differ.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.events.arm_rules import (
    fastest_forearm,
    fastest_hand,
    full_layback,
    hand_break,
    release,
)
from deliverylab.core.events.body_courses import BodyCourses
from deliverylab.core.events.course import Outcome
from deliverylab.core.events.leg_rules import foot_contact, foot_plant, landing, leg_lift
from deliverylab.core.events.rules import MOST_U_S, SPREADS
from deliverylab.core.vocabulary.events import EVENT_KEYS

FloatArray = NDArray[np.float64]

NO_FINISH = Outcome.nothing(
    "the forearm's turn is not seen while the elbow is nearly straight: mark it by eye"
)


@dataclass(frozen=True, kw_only=True)
class Suggestion:
    """Where an event may be marked.

    Attributes
    ----------
    event : str
    time_s, u_s : float or None
        Instant and standard uncertainty, in seconds of the courses; None where nothing was found.
    why : str
        How it was found, or what would let it be found.
    """

    event: str
    time_s: float | None
    u_s: float | None
    why: str

    @property
    def is_found(self) -> bool:
        """Whether there is anything to accept."""
        return self.time_s is not None


def suggest(body: BodyCourses) -> tuple[Suggestion, ...]:
    """Suggest all events.

    Parameters
    ----------
    body : BodyCourses
        From one camera or in space.

    Returns
    -------
    tuple of Suggestion
        One an event, in their order; those not found say what is missing.
    """
    lift, peak = leg_lift(body), fastest_hand(body)
    swing = fastest_forearm(body, peak)
    lift_s = None if lift.found is None else lift.found.time_s
    when = landing(body, lift_s, None if peak.found is None else peak.found.time_s)
    if isinstance(when, str):
        contact = plant = Outcome.nothing(when)
    else:
        contact, plant = foot_contact(body, when), foot_plant(body, when)
    rest_s = None if isinstance(when, str) else when.rest_s
    outcomes = {
        "leg_lift": lift,
        "hand_break": hand_break(body, lift_s, rest_s),
        "foot_contact": contact,
        "foot_plant": plant,
        "full_layback": full_layback(body, peak, swing),
        "release": release(body, peak, swing),
        "finish": NO_FINISH,
    }
    return tuple(_suggestion(event, outcomes[event]) for event in EVENT_KEYS)


def suggest_in_space(
    times_s: FloatArray, points_m: Mapping[str, FloatArray], external_rotation_deg: FloatArray
) -> tuple[Suggestion, ...]:
    """Suggest all events from places in space.

    Parameters
    ----------
    times_s : ndarray, shape (n,), s
        Rising.
    points_m : mapping of str to ndarray, shape (n, 3), m
        By role, unsmoothed, X to the plate, Z up, left-handers mirrored; NaN is a gap.
    external_rotation_deg : ndarray, shape (n,), degrees
        Of the throwing shoulder; NaN where it is not known.
    """
    return suggest(BodyCourses.in_space(times_s, points_m, external_rotation_deg))


def nothing_found(why: str) -> tuple[Suggestion, ...]:
    """Return that no event can be suggested, and why."""
    return tuple(_suggestion(event, Outcome.nothing(why)) for event in EVENT_KEYS)


def _suggestion(event: str, outcome: Outcome) -> Suggestion:
    if outcome.found is None:
        return Suggestion(event=event, time_s=None, u_s=None, why=outcome.why)
    u_s = math.hypot(outcome.found.u_s, SPREADS[outcome.rule].u_s)
    if u_s > MOST_U_S:
        why = "the tracks leave it too unsure: track more frames around it, or mark it by eye"
        return Suggestion(event=event, time_s=None, u_s=None, why=why)
    return Suggestion(event=event, time_s=outcome.found.time_s, u_s=u_s, why=outcome.why)
