"""JSON as a person likes to read it: indented, with each row of numbers on one line."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Any

import msgspec

_WIDTH = 100
_STEP = "  "
_NUMBERS = {int, float, type(None)}
_SHORT_ROW = 5
_SHORT_LENGTHS = frozenset(range(1, _SHORT_ROW + 1))


def laid_out(document: Any) -> str:
    """Return a document as JSON text that ends in a newline.

    Rows of plain values, and small tables of plain values, stay on one line; long rows are wrapped.
    NaN and infinities, which JSON does not have, come out as null.
    """
    return _text(document, "") + "\n"


def _text(value: Any, indent: str) -> str:
    if isinstance(value, dict) and value:
        return _table(value, indent)
    if isinstance(value, list | tuple) and value:
        return _list(value, indent)
    return _plain(value)


def _plain(value: Any) -> str:
    return msgspec.json.encode(value).decode()


def _is_plain(value: Any) -> bool:
    return not (isinstance(value, dict | list | tuple) and value)


def _table(table: dict[str, Any], indent: str) -> str:
    if all(map(_is_plain, table.values())):
        line = ", ".join(f"{_plain(key)}: {_plain(value)}" for key, value in table.items())
        if len(line) + len(indent) <= _WIDTH:
            return f"{{ {line} }}"
    inner = indent + _STEP
    lines = (f"{inner}{_plain(key)}: {_text(value, inner)}" for key, value in table.items())
    return "{\n" + ",\n".join(lines) + f"\n{indent}}}"


def _list(values: Sequence[Any], indent: str) -> str:
    inner = indent + _STEP
    if _are_short_rows(values):
        # nearly everything in a file; no text with a comma or bracket of its own is in it
        text = _plain(values)[1:-1].replace(",", ", ").replace("], [", f"],\n{inner}[")
        return f"[\n{inner}{text}\n{indent}]"
    if len(values) <= _SHORT_ROW and all(type(value) in _NUMBERS for value in values):
        return _plain(values).replace(",", ", ")
    if not all(map(_is_plain, values)):
        lines = (f"{inner}{_text(value, inner)}" for value in values)
        return "[\n" + ",\n".join(lines) + f"\n{indent}]"
    line = ", ".join(map(_plain, values))
    if len(line) + len(indent) <= _WIDTH:
        return f"[{line}]"
    return "[\n" + _wrapped([_plain(value) for value in values], inner) + f"\n{indent}]"


def _are_short_rows(values: Sequence[Any]) -> bool:
    """Return whether these are rows of a few numbers and single words each."""
    if set(map(type, values)) != {list} or not set(map(len, values)) <= _SHORT_LENGTHS:
        return False
    kinds = set(map(type, chain.from_iterable(values)))
    if not kinds <= _NUMBERS | {str}:
        return False
    if str not in kinds:
        return True
    return all(item.isalpha() for item in chain.from_iterable(values) if type(item) is str)


def _wrapped(texts: list[str], indent: str) -> str:
    lines: list[str] = []
    line = indent
    for number, text in enumerate(texts):
        piece = text if number == len(texts) - 1 else f"{text}, "
        if len(line) + len(piece) > _WIDTH and line.strip():
            lines.append(line.rstrip())
            line = indent
        line += piece
    return "\n".join([*lines, line])
