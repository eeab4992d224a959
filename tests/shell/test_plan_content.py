from __future__ import annotations

import datetime as dt

import pytest
from msgspec.structs import replace

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.library import Cue, Library
from deliverylab.core.model.plan import Priority
from deliverylab.shell.plan_content import choice_words, priority_card, read_target, target_text
from tests.core.compare.chain_cases import FOOT, compared

TODAY = dt.date(2026, 5, 14)
ANA = Athlete(name="Ana", birth_year=1999)
SPEED = Priority(
    metric="com_forward_speed", event="leg_lift", way="more",
    value=0.3, u=0.02, partner=0.6, target=0.45, cue="Go.", drill="Hip to the wall", how="Do it.",
)  # fmt: skip


def card_of(priority, library=None, athlete=ANA, system="metric"):
    return priority_card(priority, athlete, library or Library(), system, TODAY)


def test_a_card_says_what_from_where_and_where_to():
    card = card_of(SPEED)
    assert card.title == "Forward speed of the body at leg lift, faster"
    assert card.gap == "now 0.30 ± 0.04 m/s, partner 0.60 m/s"
    assert (card.target, card.target_unit, card.no_target) == ("0.45", "m/s or more", "")
    assert not card.is_own_drill
    assert "Walk into the delivery" in card.drills
    assert "Hip to the wall" not in card.drills


def test_units_are_the_readers():
    card = card_of(SPEED, system="imperial")
    # 0.45 m/s = 1.007 mph
    assert (card.target, card.target_unit) == ("1.0", "mph or more")
    assert read_target(SPEED, "1", "imperial") == pytest.approx(0.44704)


def test_other_cues_are_offered_in_the_wording_that_suits():
    own = Cue(
        metric="com_forward_speed", event="leg_lift", way="more", text="A.", text_for_minors="B."
    )
    library = Library(cues=(own,))
    assert card_of(SPEED, library).cues[0] == "A."
    child = replace(ANA, birth_year=2014)
    assert card_of(SPEED, library, child).cues[0] == "B."
    assert card_of(replace(SPEED, cue="A."), library).cues != card_of(SPEED, library).cues


def test_a_drill_that_no_library_has_is_the_instructors_own():
    card = card_of(replace(SPEED, drill="Mine", arm_load="throwing"))
    assert card.is_own_drill
    assert card.arm_load_words == "throws"
    assert not card_of(replace(SPEED, drill="")).is_own_drill


def test_what_has_no_target_says_why():
    tilt = Priority(metric="trunk_lateral_tilt", event="release", way="less")
    card = card_of(tilt)
    assert card.target == ""
    assert "nothing to seek" in card.no_target


def test_a_metric_that_is_gone_is_still_shown():
    card = card_of(replace(SPEED, metric="gone"))
    assert (card.title, card.gap, card.target) == ("gone", "", "")


@pytest.mark.parametrize(
    ("text", "expected"), [("", None), (" 0,5 ", 0.5), ("\u22120.2", -0.2), ("0.50", 0.5)]
)
def test_a_target_is_read_as_it_is_typed(text, expected):
    assert read_target(SPEED, text, "metric") == expected


@pytest.mark.parametrize("text", ["far", "nan", "inf", "1e9"])
def test_what_is_no_number_is_refused(text):
    with pytest.raises(ValueError):
        read_target(SPEED, text, "metric")


def test_a_target_is_written_as_it_is_read():
    assert target_text(replace(SPEED, target=-0.2), "metric") == "\u22120.20"
    assert target_text(replace(SPEED, target=None), "metric") == ""


def test_a_choice_says_which_way_it_differs():
    assert choice_words(compared(*FOOT, -3.0)) == "Front foot direction at foot plant: more open"
