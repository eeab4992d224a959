"""Courses and repeatability as tidy tables: pandas frames, CSV and JSON, always SI and degrees."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd

from deliverylab.core.compare.course import Course
from deliverylab.core.compare.repeatability import Repeatability
from deliverylab.core.report.tables import frame_csv

PROGRESS_COLUMNS = (
    "athlete",
    "metric",
    "event",
    "date",
    "n",
    "value",
    "unit",
    "U",
    "spread",
    "SEM",
    "SEM_n_degrees_of_freedom",
    "change",
    "detectable_change",
    "verdict",
    "words",
    "target",
    "target_way",
    "target_reached",
    "name",
    "u",
    "deliveries",
)
"""Columns of a table of courses, one row a metric and visit; what changed is from the first visit to
the last, and stands in every row."""
REPEATABILITY_COLUMNS = (
    "metric",
    "event",
    "n",
    "mean",
    "spread",
    "unit",
    "spread_low",
    "spread_high",
    "u_placing",
    "spread_athlete",
    "name",
)
"""Columns of a table of repeatability: `spread` is a standard deviation, with both ends of its 95 %
interval; `u_placing` what measuring alone lets it be, `spread_athlete` what is left."""

_NUMBERS = (
    "value", "U", "u", "spread", "SEM", "change", "detectable_change", "target",
    "mean", "spread_low", "spread_high", "u_placing", "spread_athlete",
)  # fmt: skip


def progress_frame(courses: Mapping[str, Sequence[Course]]) -> pd.DataFrame:
    """Return courses by athlete as a tidy frame, one row a metric and visit.

    Returns
    -------
    DataFrame
        Columns as `PROGRESS_COLUMNS`; ``attrs["units"]`` maps metric to unit.
    """
    return _frame(_progress_rows(courses), PROGRESS_COLUMNS)


def progress_json(courses: Mapping[str, Sequence[Course]]) -> str:
    """Return courses by athlete as a JSON array of rows, null where nothing is told."""
    rows = [{key: row[key] for key in PROGRESS_COLUMNS} for row in _progress_rows(courses)]
    return json.dumps(rows, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def progress_csv(courses: Mapping[str, Sequence[Course]]) -> str:
    """Return courses by athlete as CSV text, empty where nothing is told."""
    return frame_csv(progress_frame(courses))


def repeatability_frame(found: Sequence[Repeatability]) -> pd.DataFrame:
    """Return a session's spreads as a tidy frame, one row a metric.

    Returns
    -------
    DataFrame
        Columns as `REPEATABILITY_COLUMNS`; ``attrs["units"]`` maps metric to unit.
    """
    return _frame([each.as_row() for each in found], REPEATABILITY_COLUMNS)


def _progress_rows(courses: Mapping[str, Sequence[Course]]) -> list[dict[str, Any]]:
    return [
        {"athlete": athlete, **row}
        for athlete, ones in courses.items()
        for course in ones
        for row in course.as_rows()
    ]


def _frame(rows: list[dict[str, Any]], columns: Sequence[str]) -> pd.DataFrame:
    frame = pd.DataFrame(rows, columns=list(columns))
    for column in _NUMBERS:
        if column in frame:
            frame[column] = frame[column].astype("float64")
    frame.attrs["units"] = {row["metric"]: row["unit"] for row in rows}
    frame.attrs["uncertainty"] = "U is the expanded uncertainty; a spread is a standard deviation"
    return frame
