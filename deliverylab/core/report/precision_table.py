"""How well people place landmarks, as a pandas frame in metres and pixels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd

from deliverylab.core.report.table_columns import column_unit

_TEXTS = frozenset({"kind", "placer", "a", "b", "part", "axis"})
_WHOLE = frozenset({"n", "degrees_of_freedom", "u_degrees_of_freedom"})
_FLAG = "is_usable"


def precision_frame(rows: Sequence[Mapping[str, Any]]) -> pd.DataFrame:
    """Return one row a person and part, then one a pair, part and coordinate.

    Parameters
    ----------
    rows : sequence of mapping
        As ``workflow.precision_sheet.report_rows`` gives them.

    Returns
    -------
    DataFrame
        What the other kind of row alone has is missing; numbers that repeats do not give are NaN.
        ``attrs["units"]`` maps column to unit, ``m``, ``px``, or ``1`` for a pure number.
    """
    frame = pd.DataFrame([dict(row) for row in rows])
    frame = frame.astype({column: _type_of(column) for column in frame.columns})
    numbers = [column for column in frame.columns if _type_of(column) in {"float64", "Int64"}]
    frame.attrs["units"] = {column: column_unit(column) for column in numbers}
    return frame


def _type_of(column: str) -> str:
    if column in _TEXTS:
        return "object"
    if column in _WHOLE:
        return "Int64"
    return "boolean" if column == _FLAG else "float64"
