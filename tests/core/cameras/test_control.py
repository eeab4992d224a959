from __future__ import annotations

import math

import pytest

from deliverylab.core.cameras.control import (
    cone,
    home_plate,
    places_of,
    pole,
    rubber,
    standard_field,
    with_place,
)
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.vocabulary.field import BY_KEY

BASEBALL = BY_KEY["baseball"]


def test_rubber_of_the_rule_book():
    # Official Baseball Rules 2.04: 24 by 6 in; the field frame begins at its front edge
    places = places_of(rubber(BASEBALL))
    assert places["rubber_front_left"] == pytest.approx((0.0, 0.3048, 0.0))
    assert places["rubber_back_right"] == pytest.approx((-0.1524, -0.3048, 0.0))
    small = places_of(rubber(BY_KEY["youth-46"]))
    assert small["rubber_back_left"] == pytest.approx((-0.1016, 0.2286, 0.0))


def test_plate_of_the_rule_book():
    # rules 2.02 and 2.04: rear point 60 ft 6 in from the rubber, front edge 17 in nearer, 10 in lower
    places = places_of(home_plate(BASEBALL))
    assert places["plate_rear"] == pytest.approx((18.4404, 0.0, -0.254))
    assert places["plate_front_left"] == pytest.approx((18.0086, 0.2159, -0.254))
    assert places["plate_side_right"] == pytest.approx((18.2245, -0.2159, -0.254))
    assert places_of(home_plate(BY_KEY["softball-43"]))["plate_rear"][2] == 0.0


def test_cones_stand_on_the_slope_unless_their_height_was_measured():
    guessed, measured = cone("a", 2.0, 0.0, BASEBALL), cone("b", 2.0, 0.0, BASEBALL, height_m=0.3)
    assert guessed.place_m[2] == pytest.approx(-(2.0 - 0.1524) / 12)
    assert measured.place_m[2] == 0.3
    assert measured.u_m[2] < guessed.u_m[2]
    assert cone("c", 2.0, 0.0, BY_KEY["softball-40"]).place_m[2] == 0.0


def test_a_pole_s_top_counts_from_its_foot():
    points = (*rubber(BASEBALL), *pole("pole", cone("left", 2.0, 0.8, BASEBALL), 2.1))
    foot, top = places_of(points)["left"], places_of(points)["pole_top"]
    assert top == pytest.approx((foot[0], foot[1], foot[2] + 2.1))


def test_a_pole_anywhere_has_an_unknown_foot():
    foot, top = pole("pole", None, 2.0)
    assert foot.kind == "unknown"
    assert all(math.isinf(u) for u in foot.u_m)
    assert top.above == foot.key
    with pytest.raises(InputValueError, match="length"):
        pole("pole", None, 0.0)


def test_places_can_be_edited_and_wrong_keys_are_named():
    field = with_place(standard_field(BASEBALL), "cone_left", (2.5, 0.9, -0.1), (0.02,) * 3)
    assert places_of(field)["cone_left"] == (2.5, 0.9, -0.1)
    assert {point.key: point.u_m for point in field}["cone_left"] == (0.02,) * 3
    with pytest.raises(NotFoundError, match="cone_middle"):
        with_place(field, "cone_middle", (0.0, 0.0, 0.0))
    with pytest.raises(InputValueError, match="does not come before"):
        places_of(pole("pole", None, 2.0)[1:])
