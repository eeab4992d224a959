"""Trajectories of points in space as C3D files, the open exchange format of movement laboratories.

References
----------
.. [1] The C3D File Format: User Guide (c3d.org), "The POINT group", "The EVENT Group".
"""

from __future__ import annotations

import os
import struct
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

from deliverylab import __version__
from deliverylab.core.errors import (
    DeliveryLabError,
    InputValueError,
    NotFoundError,
    OutputError,
)
from deliverylab.core.store.c3d_residuals import put_residuals, residual_step_m, residuals_of
from deliverylab.core.store.replacing import write_atomically
from deliverylab.core.store.trajectories import NamedInstant, Trajectories

UNIT_M = {"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254, "ft": 0.3048}
OWN_GROUP = "DELIVERYLAB"
"""Our parameters in a file: when its first frame was, and how its axes lie."""
_MOST_FRAMES, _LONGEST_TEXT = 0xFFFF, 0xFF


def write_c3d(path: str | Path, trajectories: Trajectories) -> Path:
    """Write trajectories as a C3D file in metres and return its path.

    Parameters
    ----------
    path : str or pathlib.Path
        Where to.  The file is whole at every instant.
    trajectories : Trajectories
        Events before its first or after its last frame are left out: the format counts their time
        from the first frame.

    Raises
    ------
    DeliveryLabError
        The library that writes the format is not installed.
    InputValueError
        More frames or longer texts than the format holds.
    OutputError
        The file cannot be written there.

    Notes
    -----
    The time of the first frame and the words about the axes stand in a group of our own, which
    other programs pass over.  A point that is not known has a residual below zero.  A residual
    takes one byte, in steps of |POINT:SCALE| metres, which is as small as the largest one allows.
    Which cameras saw a point is left open, as the format has it for points that were smoothed.
    """
    _check_room(trajectories)
    library = _library()
    step_m = residual_step_m(trajectories)
    record = library.c3d()
    _fill(record, trajectories, step_m)
    with tempfile.TemporaryDirectory() as folder:
        aside = Path(folder) / "points.c3d"
        try:
            record.write(str(aside))
        except OSError as problem:
            raise OutputError(
                f"the file cannot be written: {problem}", where=folder, remedy="free space there"
            ) from problem
        data = bytearray(aside.read_bytes())
    put_residuals(data, trajectories, step_m)
    write_atomically(Path(os.path.realpath(path)), bytes(data))
    return Path(path)


def read_c3d(path: str | Path) -> Trajectories:
    """Read the points of a C3D file, in metres.

    Parameters
    ----------
    path : str or pathlib.Path
        The file.  What else it holds (forces, other channels) is passed over; some laboratories keep
        angles or forces among the points, which are read as if they were points.

    Raises
    ------
    NotFoundError
        There is no such file.
    InputValueError
        It is no C3D file, is cut off, holds no points, or has no known unit of length.
    DeliveryLabError
        The library that reads the format is not installed.
    """
    library = _library()
    file = Path(path)
    if not file.is_file():
        raise NotFoundError("there is no such file", where=str(path))
    try:
        record = library.c3d(str(file))
        return _read(record, file.read_bytes())
    except (OSError, ValueError, RuntimeError, LookupError, struct.error) as problem:
        raise InputValueError(
            "this is no C3D file that can be read", where=str(path), remedy=str(problem)
        ) from problem


def _library() -> Any:
    """Return the library for the format, which loads slowly and is not always there."""
    try:
        import ezc3d
    except ImportError as problem:
        raise DeliveryLabError(
            "C3D files need a library that is not installed",
            where="ezc3d",
            remedy='install it with: pip install "deliverylab[c3d]"',
        ) from problem
    return ezc3d


# ------------------------------------------------------------------------------------- writing


def _check_room(trajectories: Trajectories) -> None:
    """Refuse what the format has no room for."""
    n_frames = len(trajectories.points_m)
    if n_frames > _MOST_FRAMES:
        raise InputValueError(
            f"a C3D file holds {_MOST_FRAMES} frames at most",
            where=f"{n_frames} frames",
            remedy="leave out what is not needed",
        )
    events = (text for event in trajectories.events for text in (event.name, event.description))
    for text in (*trajectories.labels, *trajectories.descriptions, *trajectories.axes, *events):
        if len(text.encode()) > _LONGEST_TEXT:
            raise InputValueError(
                f"a text in a C3D file has {_LONGEST_TEXT} bytes at most",
                where=text[:40],
                remedy="shorten it",
            )


def _fill(record: Any, trajectories: Trajectories, step_m: float) -> None:
    """Put points and parameters into the library's record."""
    points = np.ones((4, len(trajectories.labels), len(trajectories.points_m)))
    points[:3] = np.transpose(trajectories.points_m, (2, 1, 0))
    is_known = np.all(np.isfinite(points), axis=0)
    record["data"]["points"] = points
    # the sign is what the library reads; the numbers are put in afterwards
    record["data"]["meta_points"]["residuals"] = np.where(is_known, 0.0, -1.0)[None]
    descriptions = trajectories.descriptions or ("",) * len(trajectories.labels)
    for name, value in {
        "UNITS": ["m"],
        "RATE": [trajectories.rate_hz],
        "SCALE": [-step_m],
        "LABELS": list(trajectories.labels),
        "DESCRIPTIONS": list(descriptions),
        # seen from the open side: to the plate is to the right, and Z is up
        "X_SCREEN": ["+X"],
        "Y_SCREEN": ["+Z"],
    }.items():
        record.add_parameter("POINT", name, value)
    for name, text in {
        "COMPANY": "deliverylab",
        "SOFTWARE": "deliverylab",
        "VERSION_LABEL": __version__,
    }.items():
        record.add_parameter("MANUFACTURER", name, [text])
    record.add_parameter(
        OWN_GROUP, "START", [trajectories.start_s], "Time of the first frame, seconds"
    )
    if trajectories.axes:
        record.add_parameter(OWN_GROUP, "AXES", list(trajectories.axes), "Frame of reference")
    _fill_events(record, trajectories)


def _fill_events(record: Any, trajectories: Trajectories) -> None:
    """Put the events into the groups that the user guide gives them."""
    times_s = trajectories.times_s
    events = [e for e in trajectories.events if times_s[0] <= e.time_s <= times_s[-1]]
    _whole(record, "EVENT", "USED", len(events))
    if not events:
        return
    n = len(events)
    since_start = np.array([event.time_s - times_s[0] for event in events])
    record.add_parameter("EVENT", "CONTEXTS", ["General"] * n)
    record.add_parameter("EVENT", "LABELS", [event.name for event in events])
    record.add_parameter("EVENT", "DESCRIPTIONS", [event.description for event in events])
    # whole minutes, then seconds
    record.add_parameter("EVENT", "TIMES", np.stack([since_start // 60.0, since_start % 60.0]))
    record.add_parameter("EVENT", "SUBJECTS", [""] * n)
    _whole(record, "EVENT", "ICON_IDS", *[0] * n)
    _whole(record, "EVENT", "GENERIC_FLAGS", *[0] * n)
    _whole(record, "EVENT_CONTEXT", "USED", 1)
    _whole(record, "EVENT_CONTEXT", "ICON_IDS", 0)
    record.add_parameter("EVENT_CONTEXT", "LABELS", ["General"])
    record.add_parameter("EVENT_CONTEXT", "DESCRIPTIONS", ["Of the whole body"])


def _whole(record: Any, group: str, name: str, *values: int) -> None:
    """Add whole numbers; the library makes floating-point of all but a single one."""
    record.add_parameter(group, name, values[0])
    record["parameters"][group][name]["value"] = np.array(values)


# ------------------------------------------------------------------------------------- reading


def _read(record: Any, data: bytes) -> Trajectories:
    """Return what the library read, in our terms."""
    parameters = record["parameters"]
    point = parameters["POINT"]
    unit = _first(point, "UNITS", "").strip().lower()
    if unit not in UNIT_M:
        raise InputValueError(
            f"the file's unit of length is not known: {unit or 'none'}",
            where="POINT:UNITS",
            remedy=f"known are {', '.join(UNIT_M)}",
        )
    points = np.moveaxis(record["data"]["points"][:3], 0, -1).swapaxes(0, 1)
    residuals = residuals_of(
        data,
        float(_first(point, "SCALE", -1.0)),
        record["data"]["meta_points"]["residuals"][0].T,
    )
    is_known = (residuals >= 0.0) | np.isnan(residuals)
    own = parameters.get(OWN_GROUP, {})
    zero_s = float(_first(own, "START", 0.0))
    rate_hz = float(_first(point, "RATE", 0.0))
    # the library counts frames from 0
    first_s = record["header"]["points"]["first_frame"] / rate_hz if rate_hz else 0.0
    labels = _texts(point, "LABELS")
    return Trajectories(
        labels=labels,
        rate_hz=rate_hz,
        points_m=np.where(is_known[..., None], UNIT_M[unit] * points, np.nan),
        residuals_m=np.where(is_known, UNIT_M[unit] * residuals, np.nan),
        start_s=zero_s + first_s,
        descriptions=_texts(point, "DESCRIPTIONS", len(labels)),
        events=_events(parameters, zero_s),
        axes=_texts(own, "AXES"),
    )


def _events(parameters: Any, zero_s: float) -> tuple[NamedInstant, ...]:
    """Return the events of the group that has room for any number of them."""
    group = parameters.get("EVENT", {})
    labels = _texts(group, "LABELS")
    if not labels or "TIMES" not in group:
        return ()
    minutes, seconds = np.reshape(group["TIMES"]["value"], (2, -1))
    times_s = (zero_s + 60.0 * minutes + seconds).tolist()
    texts = _texts(group, "DESCRIPTIONS", len(labels))
    return tuple(NamedInstant(*each) for each in zip(labels, times_s, texts, strict=True))


def _texts(group: Any, name: str, n: int | None = None) -> tuple[str, ...]:
    """Return the texts of a parameter and of its continuations, NAME2, NAME3, ...; `n` if given."""
    found: list[str] = []
    number = 1
    while (key := name if number == 1 else f"{name}{number}") in group:
        found += group[key]["value"]
        number += 1
    return tuple(found) if n is None else (*found, *[""] * n)[:n]


def _first(group: Any, name: str, otherwise: Any) -> Any:
    """Return the first value of a parameter."""
    return group[name]["value"][0] if name in group and len(group[name]["value"]) else otherwise
