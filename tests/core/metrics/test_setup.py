"""Which way the picture lies in the field, and the camera as stated."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.setup import Setup, nearness
from deliverylab.core.synthetic.spec import DeliverySpec

replace = msgspec.structs.replace


def setup_of(filmed, **changes):
    camera = filmed.delivery.cameras[0]
    return Setup.of(filmed.delivery, camera, replace(camera.scale, **changes))


@pytest.mark.parametrize(
    ("view", "hand", "across"),
    [
        # A right-hander's chest faces third base at leg lift: from there the plate is on the right.
        ("open-side", "right", (0, 1.0)),
        ("closed-side", "right", (0, -1.0)),
        ("open-side", "left", (0, -1.0)),
        ("closed-side", "left", (0, 1.0)),
        # From behind a right-hander's glove is on the left of the picture.
        ("rear", "right", (1, -1.0)),
        ("front", "right", (1, 1.0)),
        ("rear", "left", (1, 1.0)),
        ("front", "left", (1, -1.0)),
    ],
)
def test_the_pictures_right_in_the_field(film, view, hand, across):
    assert setup_of(film(DeliverySpec(hand=hand), view=view)).across == across


def test_a_stated_side_of_the_plate_goes_before_the_usual_one(side):
    assert setup_of(side, toward_plate="left").across == (0, 1.0)  # the delivery's own scale counts
    camera = side.delivery.cameras[0]
    turned = replace(camera, scale=replace(camera.scale, toward_plate="left"))
    assert Setup.of(side.delivery, turned, turned.scale).across == (0, -1.0)


def test_places_of_the_plane_become_places_of_the_field(side, rear):
    plane_m = np.array([[0.5, 1.2], [np.nan, np.nan]])
    assert setup_of(side).field_m(plane_m)[0] == pytest.approx([0.5, 0.0, 1.2])
    assert setup_of(rear).field_m(plane_m)[0] == pytest.approx([0.0, -0.5, 1.2])
    assert np.isnan(setup_of(side).field_m(plane_m)[1, [0, 2]]).all()


def test_the_camera_keeps_its_ruler(side):
    camera = setup_of(side).camera
    ends = camera.to_plane(camera.ruler_px, np.zeros(1))[0]
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(2.5, rel=1e-9)


def test_equal_by_content(side):
    assert setup_of(side) == setup_of(side)
    assert hash(setup_of(side)) == hash(setup_of(side))
    assert setup_of(side) != setup_of(side, yaw_deg=1.0)


def test_unknown_distance_is_taken_near_with_a_large_u(side):
    scale = side.delivery.cameras[0].scale
    assert nearness(scale)[0] == pytest.approx(0.1)
    kappa, u_kappa = nearness(replace(scale, distance_m=None))
    assert u_kappa / kappa > 0.2
    # u(1/D) = u(D)/D²
    assert nearness(replace(scale, distance_m=8.0, u_distance_m=0.4))[1] == pytest.approx(0.00625)
