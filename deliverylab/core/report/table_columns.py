"""What the columns of the tidy tables hold, each with its unit: one list for CSV, Parquet and JSON."""

from __future__ import annotations

from typing import Final, NamedTuple

import pandas as pd

OWN_UNIT: Final = "as the row's unit"
"""Stands for the unit of a number that is told by the row's own column ``unit``."""


class Column(NamedTuple):
    """One column: its unit (empty for text and flags) and what it holds."""

    unit: str
    holds: str


COLUMNS: Final[dict[str, Column]] = {
    "delivery": Column("", "name of the delivery"),
    "athlete": Column("", "who threw"),
    "camera": Column("", "name of the camera within the delivery"),
    "view": Column("", "where the camera stood"),
    "metric": Column("", "key of the metric"),
    "event": Column("", "key of the event; empty for an interval or an extreme"),
    "name": Column("", "what a person calls it"),
    "status": Column("", "measured, estimated, or not_shown"),
    "value": Column(OWN_UNIT, "what was measured; empty where it is not shown"),
    "unit": Column("", "unit of the row's numbers: SI, deg, or a share"),
    "U": Column(OWN_UNIT, "expanded uncertainty, k u; of the difference in a table of differences"),
    "u": Column(OWN_UNIT, "standard uncertainty, k = 1; of one part in a table of budgets"),
    "k": Column("1", "coverage factor of U"),
    "n_degrees_of_freedom": Column("1", "of u, where it rests on few repeats"),
    "basis": Column("", "which way it was measured, where the definition leaves two"),
    "cautions": Column("", "what to mind when the value is read"),
    "definition": Column("", "how the metric is defined"),
    "reason": Column("", "why there is no number"),
    "remedy": Column("", "what would help"),
    "a": Column(OWN_UNIT, "the athlete's value"),
    "U_a": Column(OWN_UNIT, "its expanded uncertainty"),
    "b": Column(OWN_UNIT, "the partner's value"),
    "U_b": Column(OWN_UNIT, "its expanded uncertainty"),
    "d": Column(OWN_UNIT, "difference a - b"),
    "verdict": Column("", "clear, within_error, or not_comparable"),
    "rank": Column("1", "place among the clear differences, from 1"),
    "words": Column("", "the difference in words, where it is clear"),
    "yardstick": Column(OWN_UNIT, "spread that the difference is ranked by"),
    "yardstick_source": Column("", "where that spread is from"),
    "n_a": Column("1", "deliveries on the athlete's side"),
    "n_b": Column("1", "deliveries, or people, on the partner's side"),
    "spread_a": Column(OWN_UNIT, "standard deviation among them, where there are several"),
    "spread_b": Column(OWN_UNIT, "standard deviation among them, where there are several"),
    "source": Column("", "what the part of the budget comes from"),
    "landmark": Column("", "key of the landmark, or its role in a table of budgets"),
    "at_event": Column("", "event at which that part enters"),
    "share_of_variance": Column("1", "share of u squared, 0 to 1"),
    "frame": Column("1", "index from 0 in presentation order"),
    "time_s": Column("s", "the clip's own clock, zero at its first frame"),
    "real_time_s": Column("s", "real seconds since that frame, by capture rate and repaired times"),
    "u_time_s": Column("s", "standard uncertainty of time_s, k = 1"),
    "x_px": Column("px", "to the right; the top left pixel's centre is 0, upright picture"),
    "y_px": Column("px", "downward"),
    "u_px": Column(
        "px", "standard uncertainty of either coordinate; empty: the landmark's default"
    ),
    "origin": Column(
        "", "placed, tracked, detected, filled or imported; of a mark: seen or suggested"
    ),
}
"""By name; what a table has besides is told by its own ``attrs``."""


def column_unit(column: str) -> str:
    """Return the unit of a column of numbers, by the list or by the name's ending; else ``1``."""
    if column in COLUMNS:
        return COLUMNS[column].unit
    if column.endswith("_deg_s"):
        return "deg/s"
    ending = column.rpartition("_")[2]
    return ending if ending in {"m", "px", "s", "deg"} else "1"


def typed(frame: pd.DataFrame) -> pd.DataFrame:
    """Return a frame whose types do not depend on which values happen to be in it."""
    kinds = {"frame": "int64", "rank": "Int64", "n_a": "Int64", "n_b": "Int64"}
    return frame.astype(
        {
            column: kinds.get(column, "float64" if COLUMNS[column].unit else "str")
            for column in frame.columns
            if column in COLUMNS
        }
    )
