"""Landmarks in space over time as a tidy pandas frame and as CSV: metres and seconds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd

from deliverylab.core.report.table_columns import column_unit

DECIMALS = 6
"""Of the CSV: micrometres and microseconds."""


def trajectory_frame(columns: Mapping[str, Any]) -> pd.DataFrame:
    """Return one row an instant and landmark that is known there.

    Parameters
    ----------
    columns : mapping of str to ndarray
        As ``workflow.space_export.SpaceTracks.columns`` gives them.

    Returns
    -------
    DataFrame
        ``attrs["units"]`` maps column to unit, ``attrs["uncertainty"]`` says what u is.
    """
    frame = pd.DataFrame(dict(columns))
    numbers = frame.select_dtypes("number").columns
    frame.attrs["units"] = {column: column_unit(column) for column in numbers}
    frame.attrs["uncertainty"] = "u_x_m, u_y_m, u_z_m are standard uncertainties, k = 1"
    return frame


def trajectory_csv(columns: Mapping[str, Any]) -> str:
    """Return the same as CSV text, to `DECIMALS` places."""
    frame = trajectory_frame(columns)
    text = frame.to_csv(index=False, lineterminator="\n", float_format=f"%.{DECIMALS}f")
    return str(text)
