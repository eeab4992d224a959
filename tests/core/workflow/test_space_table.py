from __future__ import annotations

import csv

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.field import ControlClick
from deliverylab.core.workflow.space_set_up import standard_field_set_up
from deliverylab.core.workflow.space_table import control_from_text

FIELD = standard_field_set_up()
HEAD = "point,x_m,y_m,z_m,x_px,y_px,u_px,u_m\n"


def test_known_points_need_no_place_and_go_by_key_or_name():
    table = control_from_text(
        "point,x_px,y_px\nrubber_front_left,10,20\nCone Right,30.5,40\n"
        '"rubber, back left corner",1,2\n',
        "a.csv",
        FIELD,
    )
    assert table.field == FIELD
    assert table.clicks == {
        "rubber_front_left": ControlClick(x_px=10.0, y_px=20.0),
        "cone_right": ControlClick(x_px=30.5, y_px=40.0),
        "rubber_back_left": ControlClick(x_px=1.0, y_px=2.0),
    }


def test_places_are_taken_with_their_u():
    text = HEAD + "cone_left,2.5,0.9,,1,2,3,\nflag 7,4,-1,0.5,,,,0.03\npole_b,3,0.5,,5,6,,\n"
    table = control_from_text(text, "a.csv", FIELD)
    known = FIELD.point("cone_left")
    moved = table.field.point("cone_left")
    # the ground lies lower there; how well a tape tells a place stays
    assert moved.place_m[:2] == (2.5, 0.9)
    assert moved.place_m[2] < known.place_m[2] - 0.03
    assert moved.u_m == known.u_m
    assert table.clicks["cone_left"].u_px == 3.0
    flag = table.field.point("flag_7")
    assert (flag.name, flag.kind, flag.place_m) == ("flag 7", "cone", (4.0, -1.0, 0.5))
    assert flag.u_m == (0.03, 0.03, 0.03)
    assert "flag_7" not in table.clicks
    pole = table.field.point("pole_b")
    assert pole.kind == "pole"
    # on the slope of the mound: an inch a foot from six inches on
    assert pole.place_m[2] == pytest.approx(-(3.0 - 0.1524) / 12.0, abs=1e-3)


def test_semicolons_with_decimal_commas():
    table = control_from_text("point;x_px;y_px\ncone_left;10,5;20,25\n", "a.csv", FIELD)
    assert table.clicks == {"cone_left": ControlClick(x_px=10.5, y_px=20.25)}


def test_a_point_of_unknown_place_gets_one():
    field = standard_field_set_up(layout="pole")
    table = control_from_text(HEAD + "pole_foot,1.5,0.5,0,1,2,,\n", "a.csv", field)
    foot = table.field.point("pole_foot")
    assert foot.kind == "cone"
    assert None not in foot.u_m
    # what stands over it still counts from it
    assert table.field.point("pole_top").above == "pole_foot"


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("ball_bucket,,,,1,2,,\n", "where 'ball_bucket' is on the field is not known"),
        ("cone_left,,,,1,,,\n", "x_px and y_px go together"),
        ("cone_left,1,,,1,2,,\n", "x_m and y_m go together"),
        ("cone_left,,,,x,2,,\n", "x_px 'x' is not a number"),
        ("cone_left,,,,nan,2,,\n", "is not a number"),
        ("cone_left,,,,1,2,0,\n", "u_px is above zero"),
        (",,,,1,2,,\n", "the point has no name"),
        ("cone_left,2,0,0,8,0,1,2,,\n", "10 values in place of 8"),
        ("cone_left,,,,1,2,,\ncone-left,,,,1,2,,\n", "stands in line 2 already"),
    ],
)
def test_wrong_rows_are_named_and_nothing_is_taken(rows, said):
    with pytest.raises(InputValueError) as caught:
        control_from_text(HEAD + rows, "a.csv", FIELD)
    assert said in caught.value.what
    assert "line " in caught.value.what
    assert "rubber_front_left" in caught.value.remedy


def test_rows_may_end_early():
    table = control_from_text("point,x_px,y_px,u_px\ncone_left,1,2\n", "a.csv", FIELD)
    assert table.clicks == {"cone_left": ControlClick(x_px=1.0, y_px=2.0)}


def test_a_quote_that_never_ends_is_said_with_its_line():
    text = 'point,x_px,y_px\n"cone_left,1,2\n' + "x" * csv.field_size_limit()
    with pytest.raises(InputValueError, match="not a table") as caught:
        control_from_text(text, "a.csv", FIELD)
    assert caught.value.where == "a.csv, line 3"


def test_a_table_without_header_or_rows():
    with pytest.raises(InputValueError, match="missing"):
        control_from_text("cone_left,1,2\n", "a.csv", FIELD)
    with pytest.raises(InputValueError, match="not known"):
        control_from_text("point,x_px,y_px,colour\n", "a.csv", FIELD)
    with pytest.raises(InputValueError, match="no points"):
        control_from_text(HEAD, "a.csv", FIELD)
