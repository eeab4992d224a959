from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.workflow.table_head import column_names, table_reader


def _names(*cells):
    return column_names(cells, {"point", "x_px", "u_px"}, ("point", "x_px"), "a.csv", "point,x_px")


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_what_separates_cells_and_lines_is_found(separator, end):
    reader, found = table_reader(f"a{separator}b{end}1{separator}2{end}")
    assert found == separator
    assert list(reader) == [["a", "b"], ["1", "2"]]


def test_names_are_small_and_without_blanks():
    assert _names(" Point", "X_PX ") == ["point", "x_px"]


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (("point",), "x_px missing"),
        (("point", "x_px", "z"), "'z' is not known"),
        (("point", "x_px", "point"), "'point' is not known"),
        ((), "point, x_px missing"),
    ],
)
def test_a_wrong_first_line_is_said_with_one_that_is_right(cells, said):
    with pytest.raises(InputValueError, match=said) as caught:
        _names(*cells)
    assert caught.value.remedy == "begin the table with point,x_px"
