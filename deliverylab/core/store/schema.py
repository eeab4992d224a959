"""The form of a project file: an envelope with a format and a version, and the record in it."""

from __future__ import annotations

import math
from typing import Any, Literal

import msgspec
import numpy as np

from deliverylab import __version__
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.track import ORIGINS, Position, Track

FORMAT = "deliverylab-project"
VERSION = 1
_DEFAULT_ORIGIN = Position(0.0, 0.0).origin
_LARGEST_FRAME = 2**40
_ORIGIN_NUMBERS = {origin: number for number, origin in enumerate(ORIGINS)}


class Envelope(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a project file holds at its top.

    Attributes
    ----------
    format : str
        Always ``deliverylab-project``.
    version : int
        Version of the form; see `deliverylab.core.store.migrate`.
    written_by : str
        Release that wrote the file; for people.
    project : ProjectRecord
        The record.
    """

    format: Literal["deliverylab-project"]
    version: Literal[1]
    project: ProjectRecord
    written_by: str = ""


def to_document(record: ProjectRecord) -> dict[str, Any]:
    """Return the file's content as plain dicts, lists, texts and numbers."""
    envelope = Envelope(
        format="deliverylab-project",
        version=1,
        written_by=f"deliverylab {__version__}",
        project=record,
    )
    document = msgspec.to_builtins(envelope, enc_hook=_encoded)
    # format and version first, so that a person who opens the file sees at once what it is
    order = ("format", "version", "written_by", "project")
    return {key: document[key] for key in order}


def from_document(document: Any) -> ProjectRecord:
    """Return the record of a document of the current version.

    Raises
    ------
    msgspec.ValidationError
        An unknown field or a wrong type; the message ends in the place.
    InputValueError
        A value that the model refuses.
    """
    return msgspec.convert(document, Envelope, dec_hook=decoded).project


def track_rows(track: Track) -> list[list[Any]]:
    """Return a track as rows ``[frame, x_px, y_px]``, with u_px and origin where they differ.

    The fourth value is u_px, or null for the landmark's default; the fifth the origin, left out
    for positions placed by hand.
    """
    # by whole columns: a long project has a hundred thousand rows
    u_px = [None if u != u else u for u in track.u_px.tolist()]  # noqa: PLR0124 - NaN, quickly
    origins = [ORIGINS[number] for number in track.origins.tolist()]
    columns = zip(track.frames.tolist(), track.xy_px.tolist(), u_px, origins, strict=True)
    return [
        [frame, x_px, y_px, u, origin]
        if origin != _DEFAULT_ORIGIN
        else [frame, x_px, y_px]
        if u is None
        else [frame, x_px, y_px, u]
        for frame, (x_px, y_px), u, origin in columns
    ]


def track_from_rows(rows: Any) -> Track:
    """Return the track of such rows.

    Raises
    ------
    ValueError
        Not rows of that kind; the message names the row, counted from 0.
    """
    if not isinstance(rows, list):
        raise ValueError("expected a list of rows [frame, x_px, y_px, u_px, origin]")  # noqa: TRY004
    track = _track_at_once(rows)
    if track is not None:
        return track
    seen: set[int] = set()
    for number, row in enumerate(rows):
        problem = _row_problem(row)
        if not problem and row[0] in seen:
            problem = f"frame {row[0]} stands twice"
        if problem:
            raise ValueError(f"row {number}: {problem}")
        seen.add(row[0])
    raise AssertionError("rows without a fault were refused")


def _track_at_once(rows: list[Any]) -> Track | None:
    """Return the track of rows without a fault; None where there is one, to be named row by row.

    By whole columns: a project of many tracked deliveries has some hundred thousand rows.
    """
    if not set(map(type, rows)) <= {list} or not set(map(len, rows)) <= {3, 4, 5}:
        return None
    frames, x_px, y_px = ([row[place] for row in rows] for place in range(3))
    u_px = [row[3] if len(row) > 3 else None for row in rows]
    origins = [row[4] if len(row) > 4 else _DEFAULT_ORIGIN for row in rows]
    if (
        not set(map(type, frames)) <= {int}
        or not set(map(type, x_px)) | set(map(type, y_px)) <= {int, float}
        or not set(map(type, u_px)) <= {int, float, type(None)}
        or not set(map(type, origins)) <= {str}
        or not set(origins) <= _ORIGIN_NUMBERS.keys()
        or len(set(frames)) < len(frames)
        or (frames and not 0 <= min(frames) <= max(frames) <= _LARGEST_FRAME)
    ):
        return None
    try:
        places = np.array([x_px, y_px], np.float64).T
        given = np.array([u for u in u_px if u is not None], np.float64)
    except OverflowError:  # a whole number beyond what a float holds
        return None
    if not (np.isfinite(places).all() and np.isfinite(given).all() and (given >= 0).all()):
        return None
    order = np.argsort(np.array(frames, np.int64), kind="stable")
    numbers = np.array([_ORIGIN_NUMBERS[origin] for origin in origins], np.uint8)
    return Track(
        np.array(frames, np.int64)[order],
        np.ascontiguousarray(places[order]),
        np.array(u_px, np.float64)[order],
        numbers[order],
    )


def _row_problem(row: Any) -> str:
    """Return what is wrong with one row, or nothing."""
    if not isinstance(row, list) or not 3 <= len(row) <= 5:
        return "expected [frame, x_px, y_px], then u_px and origin if wanted"
    frame, *numbers = row[:4]
    if type(frame) is not int or not 0 <= frame <= _LARGEST_FRAME:
        return "a frame is a whole number from 0"
    if len(numbers) == 3 and numbers[2] is None:
        numbers.pop()
    for number in numbers:
        if type(number) not in {int, float} or not _is_finite(number):
            return "a place and its u_px are numbers"
    if len(numbers) == 3 and numbers[2] < 0:
        return "u_px cannot be negative"
    if len(row) == 5 and row[4] not in ORIGINS:
        return f"the origin is one of {', '.join(ORIGINS)}"
    return ""


def _is_finite(number: float) -> bool:
    try:
        return math.isfinite(number)
    except OverflowError:  # a whole number beyond what a float holds
        return False


def _encoded(value: Any) -> Any:
    if isinstance(value, Track):
        return track_rows(value)
    raise NotImplementedError(f"no form for {type(value).__name__}")


def decoded(kind: type, value: Any) -> Any:
    """Build what the file holds in a form of its own: tracks."""
    if kind is Track:
        return track_from_rows(value)
    raise NotImplementedError(f"no form for {kind.__name__}")


def _schema_of(kind: type) -> dict[str, Any]:
    if kind is not Track:
        raise NotImplementedError(f"no form for {kind.__name__}")
    return {
        "type": "array",
        "description": "Positions of one landmark, one row a frame: frame, x_px, y_px, then u_px "
        "(null: the landmark's default) and origin (left out: placed).",
        "items": {
            "type": "array",
            "prefixItems": [
                {"type": "integer", "minimum": 0},
                {"type": "number"},
                {"type": "number"},
                {"type": ["number", "null"], "minimum": 0},
                {"enum": list(ORIGINS)},
            ],
            "minItems": 3,
            "maxItems": 5,
        },
    }


def json_schema() -> dict[str, Any]:
    """Return the JSON schema of a whole project file."""
    schema = msgspec.json.schema(Envelope, schema_hook=_schema_of)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema"} | schema
