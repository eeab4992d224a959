from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.events.rules import SPREADS
from deliverylab.core.events.suggest import nothing_found, suggest, suggest_in_space
from deliverylab.core.vocabulary.events import EVENT_KEYS
from tests.core.events.moving import SUGGESTION_ROLES, courses, drawn, places

FOUND = tuple(event for event in EVENT_KEYS if event != "finish")


@pytest.fixture(scope="module")
def truth():
    return drawn()


def test_one_suggestion_an_event_in_their_order(truth):
    found = suggest(courses(truth))
    assert tuple(each.event for each in found) == EVENT_KEYS
    assert tuple(each.event for each in found if each.is_found) == FOUND
    times_s = [each.time_s for each in found if each.is_found]
    assert times_s == sorted(times_s)


def test_u_holds_the_rules_spread_and_the_noise(truth):
    still = {each.event: each for each in suggest(courses(truth))}
    noisy = {each.event: each for each in suggest(courses(truth, noise_m=0.012))}
    assert still["release"].u_s >= SPREADS["release_by_ball"].u_s
    assert still["foot_contact"].u_s == pytest.approx(SPREADS["foot_contact"].u_s, rel=0.05)
    assert noisy["foot_contact"].u_s > 1.3 * still["foot_contact"].u_s
    assert noisy["leg_lift"].u_s > still["leg_lift"].u_s


@pytest.mark.parametrize("rate_hz", [60.0, 120.0, 240.0])
def test_suggestions_lie_within_their_u(rate_hz):
    truth = drawn(rate_hz)
    found = [each for each in suggest(courses(truth, noise_m=0.005, seed=3)) if each.is_found]
    assert tuple(each.event for each in found) == FOUND
    for each in found:
        # three u: one draw of six events, the mean figure
        assert abs(each.time_s - truth.events[each.event]) < 3.0 * each.u_s, each


def test_a_part_of_the_tracks_gives_a_part_of_the_events(truth):
    legs = {e.event for e in suggest(courses(truth, roles=("lead_knee",))) if e.is_found}
    assert legs == {"leg_lift"}
    arm = {e.event for e in suggest(courses(truth, roles=("throwing_hand",))) if e.is_found}
    assert arm == {"full_layback", "release"}
    missing = suggest(courses(truth, roles=()))
    assert not any(each.is_found for each in missing)
    assert all(each.why and each.u_s is None for each in missing)


def test_a_rear_view_says_what_it_does_not_show(truth):
    found = {each.event for each in suggest(courses(truth, "end")) if each.is_found}
    assert found == {"leg_lift", "foot_plant"}


def test_space_finds_the_same_and_the_true_layback(truth):
    points_m = {role: places(truth, role) for role in SUGGESTION_ROLES}
    turn = 170.0 - 3e4 * (truth.times_s - truth.events["full_layback"]) ** 2
    found = {each.event: each for each in suggest_in_space(truth.times_s, points_m, turn)}
    assert {event for event, each in found.items() if each.is_found} == set(FOUND)
    assert found["full_layback"].time_s == pytest.approx(truth.events["full_layback"], abs=1e-3)
    without = suggest_in_space(truth.times_s, points_m, np.full(len(turn), np.nan))
    assert {each.event for each in without if each.is_found} == set(FOUND)


def test_nothing_found_says_why_for_all():
    assert {each.why for each in nothing_found("film from the side")} == {"film from the side"}
    assert len(nothing_found("")) == len(EVENT_KEYS)


def test_what_the_tracks_leave_too_unsure_is_not_suggested(truth):
    found = {each.event: each for each in suggest(courses(truth, noise_m=0.2, seed=1))}
    assert all(each.u_s is None or each.u_s < 0.05 for each in found.values())
    assert "too unsure" in found["leg_lift"].why
