"""Results and differences as tidy tables: pandas frames, CSV and JSON, always SI and degrees."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pandas as pd

from deliverylab.core.compare.published import context
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.errors import OutputError
from deliverylab.core.metrics.cross_check import CrossCheck
from deliverylab.core.metrics.spec import Result
from deliverylab.core.report.table_columns import typed

RESULT_COLUMNS = (
    "delivery",
    "metric",
    "event",
    "status",
    "value",
    "unit",
    "U",
    "reason",
    "definition",
    "u",
    "k",
    "remedy",
    "name",
    "camera",
    "view",
    "cautions",
    "basis",
    "n_degrees_of_freedom",
)
"""Columns of a table of results; the first nine are what every reader needs."""
DIFFERENCE_COLUMNS = (
    "metric",
    "event",
    "verdict",
    "rank",
    "a",
    "U_a",
    "b",
    "U_b",
    "d",
    "unit",
    "U",
    "words",
    "reason",
    "yardstick",
    "yardstick_source",
    "name",
    "k",
    "n_a",
    "n_b",
    "spread_a",
    "spread_b",
)
"""Columns of a table of differences: a is the athlete's delivery, b the model delivery, d = a − b;
n and spread (a standard deviation) are of the deliveries that a or b is the mean of."""


def _rows(
    items: Sequence[Result] | Sequence[Difference], columns: Sequence[str]
) -> list[dict[str, Any]]:
    """Return rows with the known columns first and in order; new ones follow."""
    rows = [item.as_row() for item in items]
    return [
        {column: row[column] for column in columns if column in row}
        | {column: value for column, value in row.items() if column not in columns}
        for row in rows
    ]


def _frame(rows: list[dict[str, Any]], columns: Sequence[str]) -> pd.DataFrame:
    frame = typed(pd.DataFrame(rows, columns=list(rows[0]) if rows else list(columns)))
    # the unit differs by row; frames that are pivoted find each metric's here
    frame.attrs["units"] = {row["metric"]: row["unit"] for row in rows}
    frame.attrs["uncertainty"] = "U is the expanded uncertainty k u, k in its column"
    return frame


def results_frame(results: Sequence[Result]) -> pd.DataFrame:
    """Return results as a tidy frame, one row each, NaN where nothing is shown.

    Parameters
    ----------
    results : sequence of Result
        Of one or several deliveries, in the order wanted.

    Returns
    -------
    DataFrame
        Columns as `RESULT_COLUMNS`; ``attrs["units"]`` maps metric to unit.
    """
    return _frame(_rows(results, RESULT_COLUMNS), RESULT_COLUMNS)


def differences_frame(differences: Sequence[Difference]) -> pd.DataFrame:
    """Return differences as a tidy frame, one row each, NaN where not comparable.

    Returns
    -------
    DataFrame
        Columns as `DIFFERENCE_COLUMNS`; ``attrs["units"]`` maps metric to unit.
    """
    return _frame(_rows(differences, DIFFERENCE_COLUMNS), DIFFERENCE_COLUMNS)


def results_json(
    results: Sequence[Result],
    *,
    with_budget: bool = False,
    with_context: bool = False,
    checks: Sequence[CrossCheck | None] | None = None,
) -> str:
    """Return results as a JSON array of rows, null where nothing is shown.

    Parameters
    ----------
    results : sequence of Result
        In the order wanted.
    with_budget : bool
        Whether each row holds the lines of its budget, largest first: ``source``, ``landmark``,
        ``event``, ``u``, ``share_of_variance``, ``remedy``.
    with_context : bool
        Whether each row holds what is published of the same definition under ``published``:
        ``groups`` and a ``question`` where the value is far outside; null without any.
    checks : sequence of CrossCheck or None, optional
        Of the results, in their order: each row holds the drawn figures under ``monte_carlo``,
        null where nothing is shown.
    """
    rows = _rows(results, RESULT_COLUMNS)
    if with_budget:
        for row, result in zip(rows, results, strict=True):
            row["budget"] = result.budget_rows()
    if with_context:
        for row, result in zip(rows, results, strict=True):
            found = context(result)
            row["published"] = None if found is None else found.as_row()
    if checks is not None:
        for row, check in zip(rows, checks, strict=True):
            row["monte_carlo"] = None if check is None else check.drawn_row()
    return _json(rows)


def differences_json(differences: Sequence[Difference]) -> str:
    """Return differences as a JSON array of rows, null where not comparable."""
    return _json(_rows(differences, DIFFERENCE_COLUMNS))


def _json(rows: list[dict[str, Any]]) -> str:
    # NaN is no JSON; a value that is not finite would be a fault of the measuring
    return json.dumps(rows, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def results_csv(results: Sequence[Result]) -> str:
    """Return results as CSV text, numbers as exact as they are, empty where nothing is shown."""
    return frame_csv(results_frame(results))


def differences_csv(differences: Sequence[Difference]) -> str:
    """Return differences as CSV text, empty where not comparable."""
    return frame_csv(differences_frame(differences))


def frame_csv(frame: pd.DataFrame) -> str:
    """Return a frame as CSV text: every digit, empty where there is no value."""
    return str(frame.to_csv(index=False, lineterminator="\n"))


def write_table(table: str | bytes, path: Path | str) -> Path:
    """Write CSV or JSON text, or Parquet, as a file and return its path.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    target = Path(path)
    try:
        target.write_bytes(table if isinstance(table, bytes) else table.encode())
    except OSError as error:
        raise OutputError(
            "the table cannot be written",
            where=str(target),
            remedy=f"{error.strerror}; is it open elsewhere, or the folder missing?",
        ) from error
    return target


def write_results_csv(results: Sequence[Result], path: Path | str) -> Path:
    """Write results as a CSV file and return its path; raises OutputError."""
    return write_table(results_csv(results), path)


def write_differences_csv(differences: Sequence[Difference], path: Path | str) -> Path:
    """Write differences as a CSV file and return its path; raises OutputError."""
    return write_table(differences_csv(differences), path)


def write_results_json(results: Sequence[Result], path: Path | str) -> Path:
    """Write results as a JSON file and return its path; raises OutputError."""
    return write_table(results_json(results), path)


def write_differences_json(differences: Sequence[Difference], path: Path | str) -> Path:
    """Write differences as a JSON file and return its path; raises OutputError."""
    return write_table(differences_json(differences), path)
