"""The balls' sizes and weights against the rule books, and their drag against a textbook case."""

from __future__ import annotations

import math

import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.vocabulary.balls import BALLS, ball


@pytest.mark.parametrize(
    ("key", "diameter_mm", "mass_g"),
    [
        # Official Baseball Rules 3.01, in millimetres and grams
        ("baseball", (72.77, 74.79), (141.7, 148.8)),
        # rule text of the 12-inch softball
        ("softball-12", (96.0, 98.0), (177.2, 198.4)),
        # rule text of the 11-inch softball; its weight from memory
        ("softball-11", (87.9, 89.9), (166.0, 174.0)),
    ],
)
def test_the_middle_of_the_rule_lies_within_the_rule(key, diameter_mm, mass_g):
    entry = ball(key)
    assert diameter_mm[0] < 1000 * entry.diameter_m < diameter_mm[1]
    assert mass_g[0] < 1000 * entry.mass_kg < mass_g[1]


def test_a_baseball_loses_about_a_tenth_of_its_speed_on_its_way_to_the_plate():
    # 8 to 10 % over 55 ft is common practice among those who track pitches
    left = math.exp(-ball("baseball").drag_per_m * 16.8)
    assert 0.89 < left < 0.93


def test_every_ball_says_where_it_is_from():
    assert len({entry.key for entry in BALLS}) == len(BALLS)
    assert all(entry.source and entry.u_drag_per_m > 0.0 for entry in BALLS)


def test_an_unknown_ball_is_named_with_the_known_ones():
    with pytest.raises(NotFoundError, match="baseball, softball-12"):
        ball("cricket")
