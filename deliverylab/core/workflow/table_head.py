"""The first line of a table that somebody brings along."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from deliverylab.core.errors import InputValueError


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
