from __future__ import annotations

import pytest

from deliverylab.core.model.field import FieldSetUp
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.space_changes import SetField
from deliverylab.core.workflow.space_set_up import LAYOUTS, standard_field_set_up
from deliverylab.shell.field_edits import (
    ADDITIONS,
    added,
    laid,
    layout_of,
    of_size,
    places_m,
    removed,
    with_place,
)
from tests.shell.conftest import delivery_of


def keys(field: FieldSetUp) -> list[str]:
    return [point.key for point in field.points]


@pytest.mark.parametrize("layout", [layout.key for layout in LAYOUTS])
def test_a_layout_is_known_until_a_point_is_edited(layout):
    field = laid("softball-43", layout)
    assert layout_of(field) == layout
    first = field.points[0]
    edited = with_place(field, first.key, (0.01, *first.place_m[1:]), first.u_m)
    assert layout_of(edited) == ""


def test_a_cone_takes_the_mounds_height_until_somebody_measures_it():
    field = standard_field_set_up()
    u_m = field.point("cone_left").u_m
    nearer = with_place(field, "cone_left", (1.0, 0.5, field.point("cone_left").place_m[2]), u_m)
    # the mound falls 1 in a foot from 6 in ahead of the rubber (Official Baseball Rules 2.01)
    assert nearer.point("cone_left").place_m[2] == pytest.approx(-(1.0 - 0.1524) / 12.0)
    measured = with_place(field, "cone_left", (1.0, 0.8, -0.2), (0.01, 0.01, 0.01))
    assert measured.point("cone_left").place_m == (1.0, 0.8, -0.2)
    again = with_place(measured, "cone_left", (1.5, 0.8, -0.2), (0.01, 0.01, 0.01))
    assert again.point("cone_left").place_m == (1.5, 0.8, -0.2)


def test_what_counts_from_a_point_goes_with_it():
    field = laid("baseball", "pole-tops")
    assert keys(removed(field, "cone_left")) == [
        key for key in keys(field) if key not in {"cone_left", "pole_left_top"}
    ]
    assert places_m(field)["pole_left_top"][:2] == (2.0, 0.8)


@pytest.mark.parametrize("kind", ADDITIONS)
def test_points_are_added_again_and_again_and_the_project_takes_them(kind):
    field = standard_field_set_up()
    for _ in range(3):
        field = added(field, kind)
    assert len(keys(field)) == len(set(keys(field))) > 6
    project = Project(ProjectRecord(deliveries=(delivery_of("Bo 1"),)))
    project.apply(SetField(delivery="Bo 1", field=field))
    assert project.delivery("Bo 1").field == field


def test_a_pole_stands_over_the_last_cone_without_one():
    field = added(added(standard_field_set_up(), "pole"), "pole")
    assert [point.above for point in field.points[-2:]] == ["cone_right", "cone_left"]
    # no cone is left: the third stands anywhere, and nobody knows where
    assert added(field, "pole").points[-2].u_m == (None, None, None)


def test_another_size_keeps_the_points():
    field = standard_field_set_up()
    smaller = of_size(field, "youth-46")
    assert smaller.size == "youth-46"
    assert smaller.points == field.points
