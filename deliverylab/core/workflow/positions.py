"""Read landmark positions from a table: all of it, or, when one row is wrong, nothing."""

from __future__ import annotations

import csv
import math
import re
from dataclasses import dataclass
from pathlib import Path

from deliverylab.core.errors import DeliveryLabError, InputValueError, NotFoundError
from deliverylab.core.model.track import Position
from deliverylab.core.vocabulary.landmarks import BY_KEY, Hand, key_for_role
from deliverylab.core.workflow.table_head import column_names, table_reader

COLUMNS = ("frame", "landmark", "x_px", "y_px")
OPTIONAL_COLUMN = "u_px"
_HEADER = f"{','.join(COLUMNS)}[,{OPTIONAL_COLUMN}]"
_MOST_NAMED = 8
_MOST_RUNS = 20
_FARTHEST_PX = 1e6

PositionTable = dict[str, dict[int, Position]]


@dataclass(frozen=True)
class _Limits:
    """What a row may hold: roles of this hand, frames of this clip."""

    hand: Hand | None
    n_frames: int | None
    may_be_empty: bool = False


def read_positions_csv(
    path: str | Path, *, hand: Hand | None = None, n_frames: int | None = None
) -> PositionTable:
    """Return the positions in a file; `table_text`, then `positions_from_text`."""
    return positions_from_text(table_text(path), str(path), hand=hand, n_frames=n_frames)


def table_text(path: str | Path) -> str:
    """Return the text of a table's file.

    Raises
    ------
    NotFoundError
        No such file.
    InputValueError
        It cannot be read, or is not UTF-8.
    """
    file = Path(path)
    try:
        return file.read_bytes().decode("utf-8-sig")
    except FileNotFoundError as problem:
        raise NotFoundError(
            "there is no such table", where=str(file), remedy="check the name"
        ) from problem
    except UnicodeDecodeError as problem:
        raise InputValueError(
            "the table is not UTF-8 text", where=str(file), remedy="save it as CSV in UTF-8"
        ) from problem
    except OSError as problem:
        raise InputValueError(
            f"the table cannot be read: {problem.strerror or problem}",
            where=str(file),
            remedy="check that it is a file and that you may read it",
        ) from problem


def positions_from_text(
    text: str, where: str, *, hand: Hand | None = None, n_frames: int | None = None
) -> PositionTable:
    """Return the positions in a table with the columns frame, landmark, x_px, y_px[, u_px].

    The first line names the columns, in any order.  Commas separate, or semicolons or tabs; where
    semicolons do, numbers may have a decimal comma.  An empty u_px takes the landmark's default.

    Parameters
    ----------
    text : str
        The table.
    where : str
        Where it comes from, for messages.
    hand : {"left", "right"} or None
        The throwing hand; with it, roles such as ``throwing_wrist`` are understood.
    n_frames : int or None
        Number of frames of the clip; with it, frames beyond are refused.

    Returns
    -------
    dict of str to dict of int to Position
        Positions by landmark key and frame, with the origin ``imported``.

    Raises
    ------
    InputValueError
        No header, or rows that cannot be used: each is named by its line.
    """
    rows, complaints = _read(text, where, _Limits(hand, n_frames))
    table: PositionTable = {}
    line_of: dict[tuple[str, int], int] = {}
    for line, key, frame, position in rows:
        first = line_of.setdefault((key, frame), line)
        if first != line:
            complaints.append((line, f"{key} in frame {frame} stands in line {first} already"))
            continue
        table.setdefault(key, {})[frame] = position
    if complaints:
        raise _refused(sorted(complaints), where)
    if not table:
        raise InputValueError("the table holds no positions", where=where, remedy="add rows")
    return table


def repeats_from_text(
    text: str, where: str, *, hand: Hand | None = None, n_frames: int | None = None
) -> list[tuple[str, int, Position]]:
    """Return (landmark key, frame, position) of each row in order; a point may come repeatedly.

    As `positions_from_text`, but rows whose x_px and y_px are both empty are left out: they wait,
    or cannot be seen.

    Raises
    ------
    InputValueError
        No header, no filled row, or rows that cannot be used.
    """
    rows, complaints = _read(text, where, _Limits(hand, n_frames, may_be_empty=True))
    if complaints:
        raise _refused(complaints, where)
    if not rows:
        raise InputValueError(
            "the table holds no positions", where=where, remedy="fill in x_px and y_px"
        )
    return [(key, frame, position) for _, key, frame, position in rows]


def _read(
    text: str, where: str, limits: _Limits
) -> tuple[list[tuple[int, str, int, Position]], list[tuple[int, str]]]:
    """Return the rows that can be used, with their lines, and what is wrong with the others."""
    reader, separator = table_reader(text)
    rows: list[tuple[int, str, int, Position]] = []
    complaints: list[tuple[int, str]] = []
    try:
        columns = _columns(next(reader, []), where)
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if limits.may_be_empty and _is_waiting(cells, columns):
                continue
            try:
                rows.append((reader.line_num, *_row(cells, columns, limits, separator)))
            except ValueError as problem:
                complaints.append((reader.line_num, str(problem)))
    except csv.Error as problem:
        complaints.append((reader.line_num, f"not a table ({problem})"))
    return rows, complaints


def _is_waiting(cells: list[str], columns: dict[str, int]) -> bool:
    """Return whether a row has no place yet."""
    return len(cells) == len(columns) and not any(
        cells[columns[name]].strip() for name in ("x_px", "y_px")
    )


def _columns(header: list[str], where: str) -> dict[str, int]:
    names = column_names(header, {*COLUMNS, OPTIONAL_COLUMN}, COLUMNS, where, _HEADER)
    return {name: place for place, name in enumerate(names)}


def _row(
    cells: list[str], columns: dict[str, int], limits: _Limits, separator: str
) -> tuple[str, int, Position]:
    """Return (landmark key, frame, position); a ValueError says what is wrong with the row."""
    if len(cells) != len(columns):
        raise ValueError(f"{len(cells)} values in place of {len(columns)}")
    texts = {name: cells[place].strip() for name, place in columns.items()}
    frame = _frame(texts["frame"], limits.n_frames)
    key = _key(texts["landmark"], limits.hand)
    x_px, y_px = (_number(texts[name], name, separator) for name in ("x_px", "y_px"))
    u_text = texts.get(OPTIONAL_COLUMN, "")
    u_px = _number(u_text, OPTIONAL_COLUMN, separator) if u_text else None
    if u_px is not None and u_px < 0.0:
        raise ValueError("u_px cannot be negative")
    return key, frame, Position(x_px, y_px, u_px, "imported")


def _frame(text: str, n_frames: int | None) -> int:
    # a table that went through floating point has 12.0
    if not re.fullmatch(r"[0-9]{1,11}(\.0*)?", text):
        raise ValueError(f"frame {text!r} is not a whole number from 0")
    frame = int(text.partition(".")[0])
    if n_frames is not None and frame >= n_frames:
        raise ValueError(f"frame {frame} is beyond the last, {n_frames - 1}")
    return frame


def _key(text: str, hand: Hand | None) -> str:
    name = text.lower().replace(" ", "_").replace("-", "_")
    if name in BY_KEY:
        return name
    if hand is None:
        raise ValueError(f"there is no landmark {text!r}")
    try:
        return key_for_role(name, hand)
    except DeliveryLabError:
        raise ValueError(f"there is no landmark {text!r}") from None


def _number(text: str, name: str, separator: str) -> float:
    cleaned = text.replace(",", ".") if separator == ";" else text
    try:
        number = float(cleaned)
    except ValueError:
        raise ValueError(f"{name} {text!r} is not a number") from None
    if not math.isfinite(number):
        raise ValueError(f"{name} {text!r} is not a number; leave out what cannot be seen")
    if abs(number) > _FARTHEST_PX:
        raise ValueError(f"{name} {text!r} is far outside any picture")
    return number


def _refused(complaints: list[tuple[int, str]], where: str) -> InputValueError:
    named = "; ".join(f"line {line}: {what}" for line, what in complaints[:_MOST_NAMED])
    if len(complaints) > _MOST_NAMED:
        named += f"; also lines {_runs([line for line, _ in complaints[_MOST_NAMED:]])}"
    n_bad = len(complaints)
    return InputValueError(
        f"{n_bad} row{'s' if n_bad > 1 else ''} cannot be used, so none was: {named}",
        where=where,
        remedy="correct them and place again",
    )


def _runs(lines: list[int]) -> str:
    """Return ascending line numbers as text, neighbours together: ``3-5, 9``."""
    runs: list[list[int]] = []
    for line in lines:
        if runs and line == runs[-1][-1] + 1:
            runs[-1] = [runs[-1][0], line]
        else:
            runs.append([line])
    texts = ["-".join(map(str, run)) for run in runs[:_MOST_RUNS]]
    if len(runs) > _MOST_RUNS:
        texts.append(f"and more, up to {lines[-1]}")
    return ", ".join(texts)
