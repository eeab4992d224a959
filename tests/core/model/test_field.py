from __future__ import annotations

import math

import pytest

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.field import CameraStand, ControlClick, FieldPoint, FieldSetUp


def _cone(**changed):
    values = {"key": "cone_left", "name": "cone left", "kind": "cone", "place_m": (2.0, 0.8, -0.1)}
    return FieldPoint(**({"u_m": (0.01, 0.01, None)} | values | changed))


def test_a_field_gives_its_points_by_key():
    field = FieldSetUp(points=(_cone(),))
    assert field.point("cone_left").place_m == (2.0, 0.8, -0.1)
    with pytest.raises(NotFoundError, match="cone_left"):
        field.point("cone_right")


@pytest.mark.parametrize(
    "changed",
    [{"place_m": (math.nan, 0.0, 0.0)}, {"u_m": (0.0, 0.1, 0.1)}, {"u_m": (math.inf,) * 3}],
)
def test_a_point_that_cannot_be_one_is_refused(changed):
    with pytest.raises(InputValueError):
        _cone(**changed)


@pytest.mark.parametrize("values", [(math.nan, 1.0, 1.0), (1.0, 1.0, 0.0)])
def test_a_click_that_cannot_be_one_is_refused(values):
    x_px, y_px, u_px = values
    with pytest.raises(InputValueError):
        ControlClick(x_px=x_px, y_px=y_px, u_px=u_px)


def test_the_usual_focal_length_is_that_of_a_phone_held_level():
    """28 mm lens of a 36 x 24 mm picture: 65.5 degrees across; video shows a little less."""
    focal_px = CameraStand().focal_px_in(1920, 1080)
    across_deg = 2.0 * math.degrees(math.atan(960.0 / focal_px))
    assert 58.0 < across_deg < 70.0
    assert CameraStand(zoom=2.0).focal_px_in(1920, 1080) == pytest.approx(2.0 * focal_px)
    assert CameraStand(focal_px=1234.0).focal_px_in(1920, 1080) == 1234.0


@pytest.mark.parametrize(
    "changed",
    [
        {"zoom": 0.0},
        {"focal_px": 3.0},
        {"u_focal_share": 0.0},
        {"u_level_deg": 0.0},
        {"turn_deg": 200.0},
    ],
)
def test_a_stand_that_cannot_be_one_is_refused(changed):
    with pytest.raises(InputValueError):
        CameraStand(**changed)
