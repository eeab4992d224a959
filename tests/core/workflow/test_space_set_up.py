from __future__ import annotations

import math

import msgspec
import pytest

from deliverylab.core.cameras.control import pole, standard_field
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.field import CameraStand
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.vocabulary.field import BY_KEY, FIELDS
from deliverylab.core.workflow.space_set_up import (
    LAYOUTS,
    control_points,
    field_of,
    field_set_up,
    session_of,
    set_up_of,
    source_of,
    standard_field_set_up,
)
from tests.core.workflow.two_phones import solved_two_phones

replace = msgspec.structs.replace


def test_points_go_to_the_project_and_back():
    points = (*standard_field(BY_KEY["baseball"]), *pole("pole", None, 2.0))
    field = field_set_up(points)
    assert field.point("pole_foot").u_m == (None, None, None)
    assert control_points(field) == points


@pytest.mark.parametrize("size", [size.key for size in FIELDS])
@pytest.mark.parametrize("layout", [layout.key for layout in LAYOUTS])
def test_every_layout_on_every_field(size, layout):
    field = standard_field_set_up(size, layout)
    assert field.size == size
    keys = [point.key for point in field.points]
    assert len(keys) == len(set(keys)) >= 4
    # what a solve asks for: a point stands after the one it counts from
    assert all(
        point.above in keys[:row] or not point.above for row, point in enumerate(field.points)
    )
    width_m = BY_KEY[size].rubber_width_m
    assert field.point("rubber_front_left").place_m == (0.0, width_m / 2, 0.0)


def test_an_unknown_field_or_layout_is_refused():
    with pytest.raises(NotFoundError):
        standard_field_set_up("moon")
    with pytest.raises(NotFoundError):
        standard_field_set_up("baseball", "carpet")


def test_cameras_left_in_place_take_field_and_session_from_the_clicked_delivery():
    clicked = solved_two_phones().phones.delivery
    second = replace(clicked, name="Ana 2", field=None, cameras_from="Ana 1")
    project = Project(ProjectRecord(deliveries=(second, clicked)))
    assert source_of(project, second) == clicked
    assert field_of(project.record, second) == clicked.field
    assert [each.name for each in session_of(project, second)] == ["Ana 1", "Ana 2"]
    lost = replace(second, cameras_from="Ben 1")
    with pytest.raises(InputValueError, match="gone"):
        source_of(project, lost)
    assert field_of(project, replace(clicked, field=None)) == standard_field_set_up()


def test_a_camera_as_it_stands():
    camera = solved_two_phones().phones.delivery.cameras[0]
    turned = replace(camera, stand=CameraStand(zoom=2.0, u_level_deg=None, turn_deg=-45.0))
    set_up = set_up_of(turned, "right")
    assert set_up.azimuth_deg == 90.0 - 45.0
    assert set_up_of(turned, "left").azimuth_deg == -90.0 - 45.0
    assert set_up.focal_px == pytest.approx(2.0 * 0.70 * math.hypot(1920, 1080))
    assert not set_up.is_levelled
    with pytest.raises(NotFoundError):
        set_up_of(replace(camera, view="top"), "right")


def test_each_click_has_its_own_u():
    camera = solved_two_phones().phones.delivery.cameras[0]
    unsure = replace(camera.control["cone_left"], u_px=7.0)
    set_up = set_up_of(replace(camera, control=camera.control | {"cone_left": unsure}), "right")
    assert set_up.u_clicks_px["cone_left"] == 7.0
    assert set_up.u_clicks_px["cone_right"] == 1.0
