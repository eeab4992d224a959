from __future__ import annotations

import math

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.scale import PlanarScale, Point

GOOD = {"a": Point(0.0, 0.0), "b": Point(300.0, 0.0), "length_m": 1.5}


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"b": Point(3.0, 3.0)}, "4.2 px"),
        ({"length_m": 0.0}, "scale length"),
        ({"length_m": 150.0}, "in metres"),
        ({"length_m": float("nan")}, "scale length"),
        ({"distance_m": 0.5}, "camera distance"),
        ({"distance_m": 300.0}, "camera distance"),
        ({"yaw_deg": 90.0}, "yaw"),
        ({"yaw_deg": float("nan")}, "yaw"),
        ({"vertical_deg": -46.0}, "lean of the vertical"),
        ({"u_length_m": -0.1}, "cannot be negative"),
        ({"u_point_px": -1.0}, "cannot be negative"),
        ({"u_yaw_deg": -1.0}, "cannot be negative"),
        ({"distance_m": 8.0, "u_distance_m": -0.1}, "cannot be negative"),
        ({"u_yaw_deg": math.nan}, "cannot be negative"),
    ],
)
def test_what_cannot_be_a_scale_is_refused(change, said):
    with pytest.raises(InputValueError, match=said):
        PlanarScale(**(GOOD | change))


def test_what_was_not_said_has_a_cautious_default():
    scale = PlanarScale(**GOOD)
    assert scale.distance_m is None
    assert scale.toward_plate is None
    assert scale.u_length_m > 0.0
    assert scale.u_point_px > 0.0
    assert scale.u_vertical_deg > 0.0
    # a camera set up by eye is square to a few degrees only
    assert scale.u_yaw_deg >= 2.0


def test_points_are_pairs_with_names():
    assert Point(1.0, 2.0) == (1.0, 2.0)
    assert Point(1.0, 2.0).y_px == 2.0
