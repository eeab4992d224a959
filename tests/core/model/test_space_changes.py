from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.field import CameraStand, ControlClick, FieldPoint, FieldSetUp
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.space_changes import (
    SetControlClick,
    SetField,
    SetStand,
    cameras_left_in_place,
)
from deliverylab.core.model.timing import Timing


def _delivery(name, *cameras):
    timing = Timing(n_frames=10, stored_rate="240")
    return Delivery(
        name=name,
        athlete=Athlete(name="Ana"),
        cameras=tuple(
            Camera(name=each, view="open-side", width_px=640, height_px=480, timing=timing)
            for each in cameras or ("side", "rear")
        ),
    )


@pytest.fixture
def project():
    return Project(
        ProjectRecord(deliveries=(_delivery("one"), _delivery("two"), _delivery("three", "a")))
    )


def test_a_click_is_set_and_taken_back(project):
    click = ControlClick(x_px=10.0, y_px=20.0)
    change = SetControlClick(delivery="one", camera="rear", point="cone_left", click=click)
    assert change.label == "Click cone left"
    inverse = project.apply(change)
    assert project.camera("one", "rear").control == {"cone_left": click}
    project.apply(inverse)
    assert project.camera("one", "rear").control == {}


def test_a_stand_is_set(project):
    project.apply(SetStand(delivery="one", camera="side", stand=CameraStand(zoom=2.0)))
    assert project.camera("one", "side").stand.zoom == 2.0


def _point(key, above=""):
    return FieldPoint(
        key=key, name=key, kind="pole", place_m=(0, 0, 2), u_m=(0.02,) * 3, above=above
    )


@pytest.mark.parametrize("points", [("a", "a"), ("top>foot", "foot")])
def test_a_field_whose_points_do_not_hold_together_is_refused(project, points):
    made = tuple(_point(*each.split(">")) for each in points)
    with pytest.raises(InputValueError):
        project.apply(SetField(delivery="one", field=FieldSetUp(points=made)))
    assert project.delivery("one").field is None


def test_cameras_left_in_place_are_those_of_a_delivery_with_the_same_ones(project):
    project.apply(cameras_left_in_place(project, "two", "one"))
    assert project.delivery("two").cameras_from == "one"
    for delivery, source in (("one", "one"), ("one", "two"), ("three", "one")):
        with pytest.raises(InputValueError):
            cameras_left_in_place(project, delivery, source)
    with pytest.raises(NotFoundError):
        cameras_left_in_place(project, "one", "nine")
