"""Table of the instants that matter in a delivery.

References
----------
.. [1] Kageyama M et al. (2015). J Sports Sci Med 14:246-255: maximal knee height, stride-foot
   contact, maximal external rotation, release; time base 0 / 100 / 200 %.
.. [2] Seroyer ST et al. (2010). Sports Health 2:135-146: 0.145 s from foot contact to release.
"""

from __future__ import annotations

from dataclasses import dataclass

from deliverylab.core.vocabulary.lookup import entry_of


@dataclass(frozen=True, kw_only=True)
class Event:
    """One defined instant.

    Attributes
    ----------
    key, name : str
        Stable key, and what a person calls it.
    definition : str
        What the instant is.
    cue : str
        How to find it in a clip.
    source : str
        Where the definition is from.
    after_previous_s : tuple of float or None
        Believable spacing from the previous event of `previous`, seconds; outside it the marks
        or the capture rate are questioned.
    previous : str or None
        The event that spacing counts from.
    phase : float or None
        Anchor on the phase scale, percent.
    key_instant : bool
        Whether positions are normally placed here.
    """

    key: str
    name: str
    definition: str
    cue: str
    source: str
    previous: str | None = None
    after_previous_s: tuple[float, float] | None = None
    phase: float | None = None
    key_instant: bool = True


EVENTS: tuple[Event, ...] = (
    Event(
        key="leg_lift",
        name="leg lift",
        phase=0.0,
        definition="instant at which the lead knee is highest",
        cue="lead knee at its highest",
        source="Kageyama 2015 (maximal knee height)",
    ),
    Event(
        key="hand_break",
        name="hand break",
        key_instant=False,
        definition="the ball leaves the glove",
        cue="first frame with the hands apart",
        source="common practice",
        previous="leg_lift",
        after_previous_s=(-0.4, 0.8),
    ),
    Event(
        key="foot_contact",
        name="foot contact",
        phase=100.0,
        definition="first touch of the front foot",
        cue="first frame in which the shoe touches the ground",
        source="Kageyama 2015 (stride-foot contact), seen rather than weighed",
        previous="leg_lift",
        after_previous_s=(0.3, 1.8),
    ),
    Event(
        key="foot_plant",
        name="foot plant",
        definition="front foot loaded and still",
        cue="sole flat, the ankle has stopped",
        source="common practice (flat foot)",
        previous="foot_contact",
        after_previous_s=(0.0, 0.1),
    ),
    Event(
        key="full_layback",
        name="full layback",
        definition="maximum external rotation of the throwing shoulder",
        cue="forearm laid back farthest; a candidate only, a single view does not show it exactly",
        source="Kageyama 2015 (maximal external rotation)",
        previous="foot_contact",
        after_previous_s=(0.05, 0.2),
    ),
    Event(
        key="release",
        name="release",
        phase=200.0,
        definition="the ball leaves the hand",
        cue="first frame with the ball off the fingers",
        source="Kageyama 2015 (release)",
        previous="foot_contact",
        after_previous_s=(0.10, 0.25),
    ),
    Event(
        key="finish",
        name="finish",
        key_instant=False,
        definition="the arm stops: maximum internal rotation",
        cue="the hand has come to its lowest, across the body",
        source="common practice",
        previous="release",
        after_previous_s=(0.01, 0.5),
    ),
)

BY_KEY: dict[str, Event] = {event.key: event for event in EVENTS}
EVENT_KEYS: tuple[str, ...] = tuple(BY_KEY)
ORDER: dict[str, int] = {key: number for number, key in enumerate(EVENT_KEYS)}
PHASE_ANCHORS: tuple[tuple[str, float], ...] = tuple(
    (event.key, event.phase) for event in EVENTS if event.phase is not None
)

TYPICAL_CONTACT_TO_RELEASE_S = 0.145
"""Typical time from foot contact to release, seconds [2]_."""
BELIEVABLE_CONTACT_TO_RELEASE_S = (0.10, 0.25)
"""Outside this the capture rate or the marks are questioned (common practice)."""


def event(key: str) -> Event:
    """Return the event of this key.

    Raises
    ------
    NotFoundError
        No such key; the message lists the keys.
    """
    return entry_of(BY_KEY, key, "event")
