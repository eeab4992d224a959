"""How a table that somebody brings along begins: what separates its cells, and its first line."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from deliverylab.core.errors import InputValueError

if TYPE_CHECKING:
    from _csv import Reader


def table_reader(text: str) -> tuple[Reader, str]:
    """Return a reader of a table's rows, and what separates cells: a comma, a semicolon or a tab."""
    # every kind of line end becomes a plain one, also that of old spreadsheets
    lines = io.StringIO(text, newline=None)
    head = lines.readline()
    separator = next((mark for mark in (",", ";", "\t") if mark in head), ",")
    lines.seek(0)
    return csv.reader(lines, delimiter=separator), separator


def column_names(
    cells: Sequence[str], known: Collection[str], needed: Sequence[str], where: str, example: str
) -> list[str]:
    """Return a table's column names, small and without blanks.

    Parameters
    ----------
    cells : sequence of str
        The first line.
    known, needed : collection of str
        What may stand there, each once; what must.
    where, example : str
        The table's name; a first line that is right.

    Raises
    ------
    InputValueError
        A column is missing, unknown or twice there.
    """
    names = [cell.strip().lower() for cell in cells]
    wrong = [name for name in names if name not in known or names.count(name) > 1]
    missing = [name for name in needed if name not in names]
    if missing or wrong:
        said = f"{', '.join(missing)} missing" if missing else f"{wrong[0]!r} is not known"
        raise InputValueError(
            f"the table's first line does not name its columns: {said}",
            where=f"{where}, line 1",
            remedy=f"begin the table with {example}",
        )
    return names
