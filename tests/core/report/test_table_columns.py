from __future__ import annotations

import pandas as pd
import pytest

from deliverylab.core.report.table_columns import COLUMNS, OWN_UNIT, column_unit, typed
from deliverylab.core.report.tables import RESULT_COLUMNS
from deliverylab.core.report.tables_tracks import BUDGET_COLUMNS, EVENT_COLUMNS, TRACK_COLUMNS


@pytest.mark.parametrize("columns", [RESULT_COLUMNS, TRACK_COLUMNS, EVENT_COLUMNS, BUDGET_COLUMNS])
def test_every_column_is_told(columns):
    assert [column for column in columns if column not in COLUMNS] == []
    assert all(COLUMNS[column].holds for column in columns)


@pytest.mark.parametrize(
    ("column", "unit"),
    [
        ("x_px", "px"), ("real_time_s", "s"), ("value", OWN_UNIT), ("z_m", "m"),
        ("speed_deg_s", "deg/s"), ("n_views", "1"),
    ],
)  # fmt: skip
def test_units_are_listed_or_told_by_the_ending(column, unit):
    assert column_unit(column) == unit


def test_types_do_not_depend_on_what_happens_to_be_there():
    empty = typed(pd.DataFrame({"frame": [], "value": [], "delivery": [], "rank": []}))
    full = typed(pd.DataFrame({"frame": [1], "value": [1], "delivery": ["a"], "rank": [None]}))
    assert empty.dtypes.astype(str).tolist() == full.dtypes.astype(str).tolist()
    assert full["value"].dtype == "float64"
