from __future__ import annotations

import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.vocabulary.events import (
    BELIEVABLE_CONTACT_TO_RELEASE_S,
    BY_KEY,
    EVENT_KEYS,
    EVENTS,
    ORDER,
    PHASE_ANCHORS,
    TYPICAL_CONTACT_TO_RELEASE_S,
    event,
)


def test_the_events_stand_in_their_order():
    assert (
        *("leg_lift", "hand_break", "foot_contact", "foot_plant"),
        *("full_layback", "release", "finish"),
    ) == EVENT_KEYS
    assert [ORDER[key] for key in EVENT_KEYS] == list(range(7))


@pytest.mark.parametrize("entry", EVENTS, ids=EVENT_KEYS)
def test_each_says_what_it_is_how_to_find_it_and_from_whom(entry):
    assert entry.definition
    assert entry.cue
    assert entry.source
    assert (entry.previous is None) == (entry.after_previous_s is None)
    if entry.previous is not None:
        low_s, high_s = entry.after_previous_s
        assert low_s < high_s
        assert ORDER[entry.previous] < ORDER[entry.key]


def test_the_phase_scale_is_the_published_one():
    # Kageyama et al. 2015, figure 2: 0 maximal knee height, 100 foot contact, 200 release
    assert PHASE_ANCHORS == (("leg_lift", 0.0), ("foot_contact", 100.0), ("release", 200.0))


def test_contact_to_release_is_the_published_time():
    # Seroyer et al. 2010: 0.145 s
    assert TYPICAL_CONTACT_TO_RELEASE_S == 0.145
    low_s, high_s = BELIEVABLE_CONTACT_TO_RELEASE_S
    assert low_s < TYPICAL_CONTACT_TO_RELEASE_S < high_s
    assert BY_KEY["release"].after_previous_s == (low_s, high_s)


def test_published_spacings_are_believable():
    # Kageyama et al. 2015, table 2: 0.9 (SD 0.3) s from maximal knee height to foot contact
    low_s, high_s = BY_KEY["foot_contact"].after_previous_s
    assert low_s <= 0.9 - 2 * 0.3
    assert high_s >= 0.9 + 2 * 0.3


def test_an_unknown_event_lists_the_known():
    assert event("release").name == "release"
    with pytest.raises(NotFoundError, match="leg_lift, hand_break"):
        event("kick")
