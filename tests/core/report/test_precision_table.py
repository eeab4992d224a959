"""The table of how well people place."""

from __future__ import annotations

import numpy as np

from deliverylab.core.report.precision_table import precision_frame

ROWS = [
    {
        "kind": "repeats", "placer": "Ida", "part": "hip", "n": 6, "technical_error_m": 0.02,
        "technical_error_px": 4.0, "icc_2_1": None, "is_usable": True,
    },
    {"kind": "two people", "a": "Ida", "b": "Kim", "part": "hip", "n": 5, "bias_m": -0.01},
]  # fmt: skip


def test_every_number_has_its_unit():
    assert precision_frame(ROWS).attrs["units"] == {
        "n": "1",
        "technical_error_m": "m",
        "technical_error_px": "px",
        "icc_2_1": "1",
        "bias_m": "m",
    }


def test_what_a_row_does_not_have_is_missing_and_counts_stay_whole():
    frame = precision_frame(ROWS)
    assert frame["icc_2_1"].dtype == np.float64
    assert frame["icc_2_1"].isna().tolist() == [True, True]
    assert frame["bias_m"].isna().tolist() == [True, False]
    assert frame["n"].tolist() == [6, 5]
    assert str(frame["n"].dtype) == "Int64"
    assert frame["is_usable"].isna().tolist() == [False, True]


def test_nobody_is_an_empty_frame():
    frame = precision_frame([])
    assert frame.empty
    assert frame.attrs["units"] == {}
