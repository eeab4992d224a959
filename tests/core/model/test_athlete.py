from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.athlete import Athlete


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"name": "  "}, "needs a name"),
        ({"height_m": 185.0}, "in metres"),
        ({"height_m": 0.0}, "height cannot be 0"),
        ({"height_m": float("nan")}, "height cannot be nan"),
        ({"mass_kg": 5.0}, "in kilograms"),
        ({"mass_kg": 400.0}, "mass cannot be 400"),
    ],
)
def test_what_nobody_has_is_refused_with_the_unit_that_was_meant(facts, said):
    with pytest.raises(InputValueError, match=said):
        Athlete(**({"name": "Ana"} | facts))


def test_most_facts_may_be_unknown():
    athlete = Athlete(name="Ana")
    assert (athlete.hand, athlete.height_m, athlete.mass_kg, athlete.sex) == (
        "right",
        None,
        None,
        None,
    )
    assert athlete.u_height_m > 0.0


def test_children_and_giants_are_people():
    assert Athlete(name="a", height_m=0.95, mass_kg=16.0).height_m == 0.95
    assert Athlete(name="b", height_m=2.3, mass_kg=180.0).mass_kg == 180.0


@pytest.mark.parametrize(("sex", "share"), [("female", 1.0), ("male", 0.0), (None, 0.5)])
def test_without_a_sex_the_mass_tables_are_mixed(sex, share):
    assert Athlete(name="Ana", sex=sex).female_share == share


@pytest.mark.parametrize(
    ("birth_year", "expected"),
    [(None, None), (1999, False), (2007, False), (2008, True), (2014, True)],
)
def test_who_comes_of_age_in_a_year_counts_as_a_minor_in_it(birth_year, expected):
    assert Athlete(name="Ana", birth_year=birth_year).is_minor_in(2026) is expected
