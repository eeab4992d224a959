"""Finding an entry of a table by its key."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from deliverylab.core.errors import NotFoundError

Entry = TypeVar("Entry")


def entry_of(table: Mapping[str, Entry], key: str, what: str) -> Entry:
    """Return a table's entry.

    Parameters
    ----------
    table : mapping of str
        Entries by key.
    key : str
        Which.
    what : str
        What the table holds, for the message: ``landmark``.

    Raises
    ------
    NotFoundError
        No such key; the message lists the keys.
    """
    try:
        return table[key]
    except KeyError:
        raise NotFoundError(
            f"unknown {what}", where=key, remedy=f"use one of {', '.join(table)}"
        ) from None
