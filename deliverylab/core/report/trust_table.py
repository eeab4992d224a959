"""What a set-up would measure, as a tidy table: pandas frame, CSV and JSON, SI and degrees."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd

_NUMBERS = ("rmse", "bias", "coverage", "expanded_u", "share_shown")


def trust_frame(rows: Sequence[Mapping[str, Any]]) -> pd.DataFrame:
    """Return one row a metric and event, NaN where nothing is shown.

    Parameters
    ----------
    rows : sequence of mapping
        As `MetricTrust.as_row` gives them.

    Returns
    -------
    DataFrame
        ``attrs["units"]`` maps metric to unit.
    """
    frame = pd.DataFrame([dict(row) for row in rows])
    for column in _NUMBERS:
        if column in frame:
            frame[column] = frame[column].astype("float64")
    frame.attrs["units"] = {row["metric"]: row["unit"] for row in rows}
    return frame


def trust_json(rows: Sequence[Mapping[str, Any]]) -> str:
    """Return the rows as a JSON array, null where nothing is shown."""
    plain = [dict(row) for row in rows]
    return json.dumps(plain, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def trust_csv(rows: Sequence[Mapping[str, Any]]) -> str:
    """Return the rows as CSV text, empty where nothing is shown."""
    return str(trust_frame(rows).to_csv(index=False, lineterminator="\n"))
