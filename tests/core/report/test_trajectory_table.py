"""The table of landmarks in space."""

from __future__ import annotations

import io

import numpy as np
import pandas as pd

from deliverylab.core.report.trajectory_table import trajectory_csv, trajectory_frame

COLUMNS = {
    "delivery": np.array(["Ana 1", "Ana 1"], dtype=object),
    "time_s": np.array([0.1, 0.1 + 1.0 / 240.0]),
    "landmark": np.array(["neck", "left_wrist"], dtype=object),
    "x_m": np.array([0.123456789, -1.0]),
    "u_x_m": np.array([0.01, 0.02]),
    "residual_px": np.array([0.5, 0.25]),
    "n_views": np.array([2, 3]),
    "event": np.array(["", "release"], dtype=object),
}


def test_every_number_has_its_unit():
    assert trajectory_frame(COLUMNS).attrs["units"] == {
        "time_s": "s", "x_m": "m", "u_x_m": "m", "residual_px": "px", "n_views": "1",
    }  # fmt: skip
    assert "k = 1" in trajectory_frame(COLUMNS).attrs["uncertainty"]


def test_the_table_as_text_is_read_back_to_a_micrometre():
    text = trajectory_csv(COLUMNS)
    assert text.splitlines()[1] == "Ana 1,0.100000,neck,0.123457,0.010000,0.500000,2,"
    again = pd.read_csv(io.StringIO(text), keep_default_na=False)
    expected = trajectory_frame(COLUMNS)
    assert list(again.columns) == list(expected.columns)
    np.testing.assert_allclose(again["time_s"], expected["time_s"], atol=5e-7)
    np.testing.assert_allclose(again["x_m"], expected["x_m"], atol=5e-7)
    assert again["event"].tolist() == ["", "release"]
