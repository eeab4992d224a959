"""Read points of the field and where they are in a picture from a table: all of it, or nothing."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from typing import NamedTuple

from deliverylab.core.cameras.control import U_TAPE_M, cone
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.field import (
    POINT_KINDS,
    U_CLICK_PX,
    ControlClick,
    FieldPoint,
    FieldSetUp,
    Place,
    PointKind,
)
from deliverylab.core.model.space_changes import replace
from deliverylab.core.workflow.space_set_up import field_set_up, field_size
from deliverylab.core.workflow.table_head import column_names, table_reader

NEEDED = ("point", "x_px", "y_px")
COLUMNS = ("point", "x_m", "y_m", "z_m", "x_px", "y_px", "u_px", "u_m")
HEADER = "point,x_m,y_m,z_m,x_px,y_px[,u_px,u_m]"
_MOST_NAMED = 8


@dataclass(frozen=True, kw_only=True)
class ControlTable:
    """What a table says.

    Attributes
    ----------
    field : FieldSetUp
        The field with the places that the table gives.
    clicks : dict of str to ControlClick
        By key of the point; a row without x_px and y_px gives none.
    """

    field: FieldSetUp
    clicks: dict[str, ControlClick]


class _Line(NamedTuple):
    point: str
    place: tuple[float | None, float | None, float | None]
    click: tuple[float | None, float | None]
    u_px: float | None
    u_m: float | None


def control_from_text(text: str, where: str, field: FieldSetUp) -> ControlTable:
    """Return the points and clicks in a table.

    The first line names the columns, in any order.  Commas separate, or semicolons or tabs; where
    semicolons do, numbers may have a decimal comma.  A point that the field holds needs no place; a
    place without z_m lies on the ground.

    Parameters
    ----------
    text : str
        The table.
    where : str
        Where it comes from, for messages.
    field : FieldSetUp
        Points that are known already.

    Raises
    ------
    InputValueError
        No header, or rows that cannot be used: each is named by its line.
    """
    points = {point.key: point for point in field.points}
    clicks: dict[str, ControlClick] = {}
    complaints: list[str] = []
    seen: dict[str, int] = {}
    names, rows = _rows(text, where)
    for number, cells in rows:
        try:
            line = _line(names, cells)
            key = _known_key(line.point, points) or _as_key(line.point)
            if seen.setdefault(key, number) != number:
                complaints.append(f"line {number}: {line.point} stands in line {seen[key]} already")
                continue
            points[key] = _point(key, line, points.get(key), field)
            if line.click[0] is not None and line.click[1] is not None:
                clicks[key] = ControlClick(
                    x_px=line.click[0], y_px=line.click[1], u_px=line.u_px or U_CLICK_PX
                )
        except (ValueError, InputValueError) as problem:
            complaints.append(f"line {number}: {problem}")
    if complaints:
        more = (
            f"; and {len(complaints) - _MOST_NAMED} more" if len(complaints) > _MOST_NAMED else ""
        )
        raise InputValueError(
            f"rows cannot be used, so none was: {'; '.join(complaints[:_MOST_NAMED])}{more}",
            where=where,
            remedy=f"columns are {HEADER}; points without a place are known by these names: "
            + ", ".join(point.key for point in field.points),
        )
    if not seen:
        raise InputValueError("the table holds no points", where=where, remedy="add rows")
    return ControlTable(field=replace(field, points=tuple(points.values())), clicks=clicks)


def _rows(text: str, where: str) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Return the columns, and the filled rows with their lines; numbers have a decimal point."""
    reader, separator = table_reader(text)
    rows = []
    try:
        names = column_names(next(reader, []), COLUMNS, NEEDED, where, HEADER)
        for cells in reader:
            tidy = [cell.strip() for cell in cells]
            if separator == ";":
                tidy = [cell.replace(",", ".") for cell in tidy]
            if any(tidy):
                rows.append((reader.line_num, tidy))
    except csv.Error as problem:
        raise InputValueError(
            f"this is not a table: {problem}",
            where=f"{where}, line {reader.line_num}",
            remedy=f"columns are {HEADER}",
        ) from problem
    return names, rows


def _line(names: list[str], row: list[str]) -> _Line:
    """Return a row's values; a ValueError says what is wrong with it."""
    if len(row) > len(names):
        # a decimal comma between commas would shift all that follows
        raise ValueError(f"{len(row)} values in place of {len(names)}")
    cells = dict.fromkeys(names, "") | dict(zip(names, row, strict=False))
    numbers = {name: _number(cells.get(name, ""), name) for name in COLUMNS[1:]}
    if not cells["point"]:
        raise ValueError("the point has no name")
    if (numbers["x_px"] is None) != (numbers["y_px"] is None):
        raise ValueError("x_px and y_px go together")
    if (numbers["x_m"] is None) != (numbers["y_m"] is None):
        raise ValueError("x_m and y_m go together")
    for name in ("u_px", "u_m"):
        u = numbers[name]
        if u is not None and u <= 0.0:
            raise ValueError(f"{name} is above zero")
    return _Line(
        cells["point"],
        (numbers["x_m"], numbers["y_m"], numbers["z_m"]),
        (numbers["x_px"], numbers["y_px"]),
        numbers["u_px"],
        numbers["u_m"],
    )


def _number(text: str, name: str) -> float | None:
    if not text:
        return None
    try:
        value = float(text)
    except ValueError:
        raise ValueError(f"{name} {text!r} is not a number") from None
    if not math.isfinite(value):
        raise ValueError(f"{name} {text!r} is not a number")
    return value


def _as_key(name: str) -> str:
    return "_".join(name.lower().replace("-", " ").replace(",", " ").replace("_", " ").split())


def _known_key(name: str, points: dict[str, FieldPoint]) -> str | None:
    """Return the key of the point that is meant by a key or a name."""
    meant = _as_key(name)
    for point in points.values():
        if meant in {_as_key(point.key), _as_key(point.name)}:
            return point.key
    return None


def _point(key: str, line: _Line, known: FieldPoint | None, field: FieldSetUp) -> FieldPoint:
    """Return a point with the place that its row gives."""
    x_m, y_m, z_m = line.place
    if x_m is None or y_m is None:
        if known is None:
            raise ValueError(
                f"where {line.point!r} is on the field is not known: give x_m, y_m and z_m"
            )
        return known if line.u_m is None else replace(known, u_m=(line.u_m,) * 3)
    kind: PointKind = known.kind if known is not None else _kind_of(key)
    usual = field_set_up((cone(key, x_m, y_m, field_size(field), height_m=z_m),)).points[0]
    place: Place = usual.place_m
    u_m = known.u_m if known is not None and not known.above else usual.u_m
    if known is not None and z_m is None and kind in {"rubber", "plate"} and not known.above:
        place = (x_m, y_m, known.place_m[2])
    if None in u_m:
        u_m = (U_TAPE_M,) * 3
    if line.u_m is not None:
        u_m = (line.u_m,) * 3
    return FieldPoint(
        key=key,
        name=known.name if known is not None else " ".join(line.point.split()),
        kind="cone" if kind == "unknown" else kind,
        place_m=place,
        u_m=u_m,
    )


def _kind_of(key: str) -> PointKind:
    """Return what a new point is by its name; a cone where that tells nothing."""
    return next((kind for kind in POINT_KINDS if key.startswith(kind)), "cone")
