from __future__ import annotations

import math

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.precision import (
    PlacedAgain,
    PlacingPrecision,
    PlacingRun,
    PlacingTarget,
    part_of,
)
from deliverylab.core.vocabulary.landmarks import LANDMARKS


def test_a_part_has_no_side_and_keeps_its_other_words():
    for entry in LANDMARKS:
        expected = entry.key.removeprefix("left_").removeprefix("right_")
        assert part_of(entry.key) == expected
    assert part_of("head_top") == "head_top"


def test_a_placed_point_knows_its_target():
    placed = PlacedAgain("side", 7, "left_hip", 1.0, 2.0)
    assert placed.target == PlacingTarget("side", 7, "left_hip")


def test_who_placed_before_is_the_same_person_unless_said():
    assert PlacingRun(name="a", placer="Sam").who_placed_before == "Sam"
    assert PlacingRun(name="a", placer="Sam", original_placer="Kim").who_placed_before == "Kim"


@pytest.mark.parametrize("x_px", [math.nan, math.inf])
def test_a_place_that_is_no_number_is_refused(x_px):
    with pytest.raises(InputValueError, match="two numbers"):
        PlacingRun(name="a", placer="Sam", placed=(PlacedAgain("side", 0, "ball", x_px, 1.0),))


def test_a_run_needs_a_name():
    with pytest.raises(InputValueError, match="the name of who placed"):
        PlacingRun(name="a", placer=" ")


@pytest.mark.parametrize("u_m", [-0.01, math.nan, 3.0])
def test_a_u_that_no_placing_has_is_refused(u_m):
    with pytest.raises(InputValueError, match="cannot be true"):
        PlacingPrecision(placer="Sam", u_m={"hip": u_m})
