"""Tidy tables as files: CSV for a spreadsheet, Parquet for a notebook, JSON for a program."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any, Final

import pandas as pd

from deliverylab.core.errors import InputValueError, NotFoundError, UsageError
from deliverylab.core.report.table_columns import COLUMNS, typed
from deliverylab.core.report.tables import frame_csv, write_table

FORMATS: Final = (".csv", ".parquet", ".json")
_NEEDS_PARQUET = 'install the part that can: pip install "deliverylab[parquet]"; CSV needs nothing'


def format_of(path: Path | str) -> str:
    """Return the format that a file's name asks for: its ending.

    Raises
    ------
    UsageError
        Another ending than `FORMATS`.
    """
    ending = Path(path).suffix.lower()
    if ending not in FORMATS:
        raise UsageError(
            "a table's name says its format",
            where=str(path),
            remedy="let it end in .csv, .parquet or .json",
        )
    return ending


def frame_json(frame: pd.DataFrame) -> str:
    """Return a frame as a JSON object: ``units``, ``uncertainty`` and ``rows``.

    Every digit is kept, and null stands where there is no value.
    """
    columns = {column: frame[column].astype(object).tolist() for column in frame.columns}
    rows = [
        {
            column: None if pd.isna(values[row]) else values[row]
            for column, values in columns.items()
        }
        for row in range(len(frame))
    ]
    return json.dumps({**frame.attrs, "rows": rows}, ensure_ascii=False, indent=2) + "\n"


def frame_parquet(frame: pd.DataFrame) -> bytes:
    """Return a frame as Parquet, with its ``attrs`` and, in each field's metadata, its unit.

    The frame's ``attrs`` come back with ``pandas.read_parquet``; other readers find ``unit`` and
    ``holds`` with each column.

    Raises
    ------
    NotFoundError
        The optional library for Parquet is not installed.
    """
    try:
        import pyarrow as pa
        from pyarrow import parquet
    except ImportError as problem:
        raise NotFoundError(
            "Parquet cannot be written here", where="pyarrow", remedy=_NEEDS_PARQUET
        ) from problem
    table: Any = pa.Table.from_pandas(frame, preserve_index=False)
    units: dict[str, str] = frame.attrs.get("units", {})
    for number, name in enumerate(table.column_names):
        known = COLUMNS.get(name)
        told = {
            "unit": units.get(name, known.unit if known else ""),
            "holds": known.holds if known else "",
        }
        field = table.schema.field(number).with_metadata({k: v for k, v in told.items() if v})
        table = table.set_column(number, field, table.column(number))
    out = io.BytesIO()
    parquet.write_table(table, out)
    return out.getvalue()


def write_frame(frame: pd.DataFrame, path: Path | str) -> Path:
    """Write a frame in the format of the file's ending, and return the path.

    Parameters
    ----------
    frame : DataFrame
        One of the tidy tables.
    path : path or str
        Ends in ``.csv``, ``.parquet`` or ``.json``.

    Raises
    ------
    UsageError
        Another ending.
    NotFoundError
        Parquet without the optional library.
    OutputError
        The file cannot be written.
    """
    kind = format_of(path)
    if kind == ".parquet":
        return write_table(frame_parquet(frame), path)
    return write_table(frame_csv(frame) if kind == ".csv" else frame_json(frame), path)


def read_frame(path: Path | str) -> pd.DataFrame:
    """Read a table that `write_frame` wrote; units come back from Parquet and JSON.

    Raises
    ------
    UsageError
        Another ending.
    NotFoundError
        No such file, or Parquet without the optional library.
    InputValueError
        The file is no such table.
    """
    kind, source = format_of(path), Path(path)
    if not source.is_file():
        raise NotFoundError("there is no such table", where=str(path), remedy="check its name")
    try:
        if kind == ".csv":
            # an athlete called NA is no gap
            gaps = {column: [""] for column, known in COLUMNS.items() if known.unit}
            return typed(pd.read_csv(source, keep_default_na=False, na_values=gaps))
        if kind == ".parquet":
            return pd.read_parquet(source, engine="pyarrow")
        whole = json.loads(source.read_text(encoding="utf-8"))
        frame = typed(pd.DataFrame(whole.pop("rows")))
    except ImportError as problem:
        raise NotFoundError(
            "Parquet cannot be read here", where="pyarrow", remedy=_NEEDS_PARQUET
        ) from problem
    except (ValueError, KeyError, TypeError, AttributeError, OSError) as problem:
        raise InputValueError(
            "this is no table that can be read", where=str(path), remedy="export it again"
        ) from problem
    frame.attrs.update(whole)
    return frame
