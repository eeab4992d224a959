from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deliverylab.core.errors import DeliveryLabError, InputValueError, NotFoundError
from deliverylab.core.model.track import Position
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.workflow.positions import (
    positions_from_text,
    read_positions_csv,
    repeats_from_text,
)

HEADER = "frame,landmark,x_px,y_px"


def _read(*rows, header=HEADER, **limits):
    return positions_from_text("\n".join([header, *rows]) + "\n", "a.csv", **limits)


def test_a_table_is_read():
    assert _read("3,left_knee,10.5,20", "4,left_knee,11,21", "3,ball,1e2,5") == {
        "left_knee": {
            3: Position(10.5, 20.0, None, "imported"),
            4: Position(11.0, 21.0, None, "imported"),
        },
        "ball": {3: Position(100.0, 5.0, None, "imported")},
    }


def test_an_uncertainty_is_read_where_there_is_one():
    table = _read("3,ball,1,2,0.5", "4,ball,1,2,", header=f"{HEADER},u_px")
    assert [position.u_px for position in table["ball"].values()] == [0.5, None]


def test_columns_may_stand_in_any_order_and_empty_lines_do_no_harm():
    table = _read("", "5,6,left_hip,2", " , , , ", header=" Y_px ,x_px,Landmark,frame")
    assert table == {"left_hip": {2: Position(6.0, 5.0, None, "imported")}}


@pytest.mark.parametrize(("mark", "x"), [(",", "10.5"), (";", "10,5"), ("\t", "10.5")])
def test_other_separators_are_understood(mark, x):
    table = _read(mark.join(["3", "ball", x, "2"]), header=HEADER.replace(",", mark))
    assert table["ball"][3].x_px == 10.5


@pytest.mark.parametrize(
    ("hand", "key"), [("right", "right_wrist"), ("left", "left_wrist"), (None, None)]
)
def test_roles_are_understood_when_the_hand_is_known(hand, key):
    if key is None:
        with pytest.raises(InputValueError, match="no landmark 'throwing_wrist'"):
            _read("3,throwing_wrist,1,2")
    else:
        assert list(_read("3,Throwing wrist,1,2", hand=hand)) == [key]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("x,ball,1,2", "line 3: frame 'x' is not a whole number"),
        ("-1,ball,1,2", "line 3: frame '-1'"),
        ("1.5,ball,1,2", "line 3: frame '1.5'"),
        ("1e1,ball,1,2", "line 3: frame '1e1'"),
        ("²,ball,1,2", "line 3: frame '²'"),
        ("50,ball,1,2", "line 3: frame 50 is beyond the last, 49"),
        ("4,wing,1,2", "line 3: there is no landmark 'wing'"),
        ("4,ball,,2", "line 3: x_px '' is not a number"),
        ("4,ball,1,nan", "line 3: y_px 'nan' is not a number; leave out"),
        ("4,ball,1,-1e300", "line 3: y_px '-1e300' is far outside any picture"),
        ("4,ball,1", "line 3: 3 values in place of 4"),
        ("3,ball,1,2", "line 3: ball in frame 3 stands in line 2 already"),
    ],
)
def test_a_bad_row_is_named_by_its_line(row, said):
    with pytest.raises(InputValueError) as caught:
        _read("3,ball,1,2", row, n_frames=50)
    assert said in caught.value.what
    assert caught.value.where == "a.csv"


def test_a_negative_uncertainty_is_refused():
    with pytest.raises(InputValueError, match="line 2: u_px cannot be negative"):
        _read("3,ball,1,2,-1", header=f"{HEADER},u_px")


def test_every_bad_row_is_named():
    rows = [f"{number},wing,1,2" for number in range(12)]
    with pytest.raises(InputValueError) as caught:
        _read("3,ball,1,2", *rows)
    assert caught.value.what.startswith("12 rows cannot be used, so none was")
    assert "line 10:" in caught.value.what
    assert "also lines 11-14 (" in str(caught.value)


def test_many_bad_rows_are_named_in_a_few_words():
    rows = [f"{number},{'wing' if number % 2 else 'ball'},1,2" for number in range(10_000)]
    with pytest.raises(InputValueError) as caught:
        _read(*rows)
    assert len(caught.value.what) < 1000
    assert ", and more, up to 10001" in caught.value.what


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_kind_of_line_end_is_understood(end):
    text = end.join([HEADER, "3,ball,1,2", "x,ball,1,2"])
    with pytest.raises(InputValueError, match="line 3: frame 'x'"):
        positions_from_text(text, "a.csv")


def test_frames_that_went_through_floating_point_are_understood():
    assert list(_read("12.0,ball,1,2", "13.,ball,1,2")["ball"]) == [12, 13]


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("", "frame, landmark, x_px, y_px missing"),
        ("3,ball,1,2", "missing"),
        ("frame,landmark,x_px", "y_px missing"),
        (f"{HEADER},colour", "'colour' is not known"),
        (f"{HEADER},frame", "'frame' is not known"),
    ],
)
def test_a_header_is_required(header, said):
    with pytest.raises(InputValueError, match=said) as caught:
        _read("3,ball,1,2", header=header)
    assert caught.value.where == "a.csv, line 1"


def test_a_table_without_rows_is_refused():
    with pytest.raises(InputValueError, match="no positions"):
        _read()


def test_files_are_read_and_their_faults_told_apart(tmp_path):
    path = tmp_path / "a.csv"
    with pytest.raises(NotFoundError, match="no such table"):
        read_positions_csv(path)
    with pytest.raises(InputValueError, match="cannot be read"):
        read_positions_csv(tmp_path)
    path.write_bytes(b"\xef\xbb\xbf" + f"{HEADER}\r\n3,ball,1,2\r\n".encode())
    assert read_positions_csv(path)["ball"][3].y_px == 2.0
    path.write_bytes(f"{HEADER}\n3,b\xe4ll,1,2\n".encode("latin-1"))
    with pytest.raises(InputValueError, match="not UTF-8"):
        read_positions_csv(path)


@given(text=st.text(max_size=80))
def test_any_text_is_refused_politely(text):
    with pytest.raises(InputValueError):
        positions_from_text(text, "a.csv")


@given(
    rows=st.dictionaries(
        st.tuples(st.integers(0, 999), st.sampled_from(LANDMARK_KEYS)),
        st.tuples(*[st.floats(-1e6, 1e6)] * 2, st.floats(0, 99)),
        min_size=1,
    )
)
def test_what_is_written_is_read(rows):
    lines = [f"{f},{key},{x!r},{y!r},{u!r}" for (f, key), (x, y, u) in rows.items()]
    table = _read(*lines, header=f"{HEADER},u_px")
    found = {(f, key): place[:3] for key, track in table.items() for f, place in track.items()}
    assert found == rows


@given(text=st.text(max_size=60))
def test_any_row_is_read_or_refused_politely(text):
    outcome = None
    try:
        _read(text, hand="right", n_frames=10)
    except DeliveryLabError as error:
        outcome = type(error)
    assert outcome in {None, InputValueError}


def test_repeats_keep_their_order_and_may_come_twice():
    text = "frame,landmark,x_px,y_px\n4,neck,1,2\n7,left_hip,3,4\n4,neck,5,6\n9,neck,,\n"
    rows = repeats_from_text(text, "t", n_frames=10)
    assert [(key, frame, p.x_px, p.y_px) for key, frame, p in rows] == [
        ("neck", 4, 1.0, 2.0), ("left_hip", 7, 3.0, 4.0), ("neck", 4, 5.0, 6.0),
    ]  # fmt: skip
    with pytest.raises(InputValueError, match="line 3"):
        repeats_from_text("frame,landmark,x_px,y_px\n4,neck,1,2\n9,neck,3,\n", "t")
    with pytest.raises(InputValueError, match="no positions"):
        repeats_from_text("frame,landmark,x_px,y_px\n4,neck,,\n", "t")
