"""The table of what a set-up would measure."""

from __future__ import annotations

import json

import numpy as np

from deliverylab.core.report.trust_table import trust_csv, trust_frame, trust_json

ROWS = [
    {"metric": "a", "unit": "deg", "rmse": 1.5, "bias": 0.1, "coverage": 0.95, "n": 10},
    {"metric": "b", "unit": "m", "rmse": None, "bias": None, "coverage": None, "n": 10},
]


def test_what_is_not_shown_is_nan_in_a_frame():
    frame = trust_frame(ROWS)
    assert frame["rmse"].dtype == np.float64
    assert frame["rmse"].isna().tolist() == [False, True]
    assert frame.attrs["units"] == {"a": "deg", "b": "m"}


def test_null_in_json_and_empty_in_csv():
    assert json.loads(trust_json(ROWS)) == ROWS
    assert trust_csv(ROWS).splitlines()[2] == "b,m,,,,10"
