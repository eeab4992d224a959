from __future__ import annotations

import io
import json

import numpy as np
import pandas as pd
import pytest

from deliverylab.core.errors import OutputError
from deliverylab.core.report.tables import (
    DIFFERENCE_COLUMNS,
    RESULT_COLUMNS,
    differences_csv,
    differences_frame,
    differences_json,
    results_csv,
    results_frame,
    results_json,
    write_differences_csv,
    write_differences_json,
    write_results_csv,
    write_results_json,
    write_table,
)

HIDDEN = {"status": "not_shown", "value": None, "u": None, "reason": "no scale, yet"}


@pytest.fixture
def results(make_result):
    return [
        make_result(value=25.123456789, u=1.25),
        make_result("release_height", "", 1.6, 0.01),
        make_result("stride_length", "", **HIDDEN),
    ]


def test_the_first_columns_are_those_that_every_reader_needs():
    assert RESULT_COLUMNS[:9] == (
        "delivery", "metric", "event", "status", "value", "unit", "U", "reason", "definition",
    )  # fmt: skip


def test_the_columns_are_those_of_the_rows(results, make_difference):
    assert sorted(RESULT_COLUMNS) == sorted(results[0].as_row())
    difference = make_difference("arm_slot", "release", 40.0, 20.0)
    assert sorted(DIFFERENCE_COLUMNS) == sorted(difference.as_row())


def test_results_become_a_frame_with_units(results):
    frame = results_frame(results)
    assert tuple(frame.columns) == RESULT_COLUMNS
    assert frame["U"].tolist()[:2] == [2.5, 0.02]
    assert np.isnan(frame["value"][2])
    assert frame["value"].dtype == np.float64
    assert frame.attrs["units"]["release_height"] == "m"


def test_an_empty_table_keeps_its_columns():
    assert tuple(results_frame([]).columns) == RESULT_COLUMNS
    assert tuple(differences_frame([]).columns) == DIFFERENCE_COLUMNS
    assert results_csv([]).strip() == ",".join(RESULT_COLUMNS)
    assert json.loads(results_json([])) == []


def test_csv_keeps_every_digit_and_leaves_out_what_is_not_shown(results):
    back = pd.read_csv(io.StringIO(results_csv(results)), keep_default_na=False)
    assert float(back["value"][0]) == 25.123456789
    assert back["value"][2] == ""
    assert back["reason"][2] == "no scale, yet"


def test_json_is_strict_and_in_order(results):
    rows = json.loads(results_json(results))
    assert list(rows[0]) == list(RESULT_COLUMNS)
    assert rows[2]["value"] is None
    assert rows[0]["value"] == 25.123456789


def test_json_refuses_what_is_no_number(make_result):
    with pytest.raises(ValueError):
        results_json([make_result(value=float("nan"))])


def test_differences_keep_rank_as_a_whole_number(make_differences):
    found = make_differences(2, 1, 1)
    frame = differences_frame(found)
    assert frame["rank"].tolist()[:2] == [1, 2]
    assert frame["rank"].isna().tolist() == [False, False, True, True]
    assert frame["d"][0] == pytest.approx(12.1)
    assert differences_csv(found).splitlines()[1].split(",")[3] == "1"
    assert json.loads(differences_json(found))[3]["d"] is None


def test_files_are_written(results, make_differences, tmp_path):
    found = make_differences(1)
    assert write_results_csv(results, tmp_path / "r.csv").read_text("utf-8") == results_csv(results)
    assert json.loads(write_results_json(results, tmp_path / "r.json").read_text("utf-8"))
    assert write_differences_csv(found, tmp_path / "d.csv").stat().st_size > 100
    assert len(json.loads(write_differences_json(found, tmp_path / "d.json").read_text())) == 13
    with pytest.raises(OutputError, match="cannot be written"):
        write_table("x", tmp_path / "no" / "r.csv")
