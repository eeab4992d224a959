from __future__ import annotations

import pytest

from deliverylab.core.vocabulary.field import BY_KEY
from deliverylab.shell.drawing.field_key import FieldKey
from deliverylab.shell.field_edits import laid
from deliverylab.shell.field_request import drawn_points
from tests.shell.conftest import camera_of


@pytest.fixture
def key(qtbot):
    made = FieldKey()
    qtbot.addWidget(made)
    made.resize(260, 160)
    made.show()
    return made


@pytest.mark.parametrize("layout", ["two-cones", "four-cones", "pole-tops", "pole", "plate"])
@pytest.mark.parametrize("azimuth_deg", [None, 90.0, 0.0, 180.0, -45.0])
def test_every_point_is_inside_and_left_is_the_pitchers_left(key, layout, azimuth_deg):
    points = drawn_points(laid("baseball", layout), camera_of())
    key.show_points(points, "rubber_front_left", BY_KEY["baseball"], azimuth_deg)
    places = {name: key.place(point) for name, point in points.items()}
    assert all(key.rect().contains(place.toPoint()) for place in places.values())
    assert places["rubber_front_left"].x() < places["rubber_front_right"].x()
    # the plate lies above
    assert places["rubber_front_left"].y() < places["rubber_back_left"].y()
    assert key.grab().toImage().width() == 260


def test_who_cannot_see_it_is_told_which_point_is_meant(key):
    points = drawn_points(laid("youth-46", "two-cones"), camera_of())
    key.show_points(points, "cone_left", BY_KEY["youth-46"], 90.0)
    assert "point 5 is meant" in key.accessibleName()
    key.show_points(points, "", BY_KEY["youth-46"], 90.0)
    assert "meant" not in key.accessibleName()


def test_a_cone_far_away_is_drawn_at_the_edge(key):
    points = drawn_points(laid("baseball", "two-cones"), camera_of())
    far = replace_point(points["cone_left"], x_m=12.0, y_m=8.0)
    key.show_points({"cone_left": far}, "cone_left", BY_KEY["baseball"], None)
    assert key.rect().contains(key.place(far).toPoint())


def replace_point(point, **fields):
    return type(point)(**{**point.__dict__, **fields})
