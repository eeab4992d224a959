"""Positions, event marks and budgets of deliveries as tidy pandas frames, SI, px and degrees."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Final

import numpy as np
import pandas as pd

from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import ORIGINS, Track
from deliverylab.core.report.table_columns import COLUMNS, OWN_UNIT, column_unit, typed
from deliverylab.core.vocabulary.events import EVENTS

TRACK_COLUMNS: Final = (
    "delivery", "camera", "landmark", "frame", "time_s", "real_time_s", "x_px", "y_px", "u_px",
    "origin",
)  # fmt: skip
EVENT_COLUMNS: Final = (
    "delivery", "camera", "event", "name", "frame", "time_s", "real_time_s", "u_time_s", "origin",
)  # fmt: skip
BUDGET_COLUMNS: Final = (
    "delivery", "metric", "event", "source", "landmark", "at_event", "u", "share_of_variance",
    "unit", "remedy",
)  # fmt: skip


def tracks_frame(deliveries: Iterable[Delivery]) -> pd.DataFrame:
    """Return every position of every camera, one row each.

    Parameters
    ----------
    deliveries : iterable of Delivery
        In the order wanted.

    Returns
    -------
    DataFrame
        Columns as `TRACK_COLUMNS`, by landmark and frame within each camera; ``u_px`` is NaN where
        the landmark's default holds.  ``attrs["units"]`` maps column to unit.
    """
    parts = [
        _track_part(delivery, camera, landmark, camera.tracks[landmark])
        for delivery in deliveries
        for camera in delivery.cameras
        for landmark in sorted(camera.tracks)
        if len(camera.tracks[landmark])
    ]
    if not parts:
        return _finished(pd.DataFrame(columns=list(TRACK_COLUMNS)))
    return _finished(pd.concat(parts, ignore_index=True))


def _track_part(delivery: Delivery, camera: Camera, landmark: str, track: Track) -> pd.DataFrame:
    timing = camera.timing
    time_s = timing.times_s[track.frames]
    return pd.DataFrame(
        {
            "delivery": delivery.name,
            "camera": camera.name,
            "landmark": landmark,
            "frame": track.frames,
            "time_s": time_s,
            "real_time_s": timing.real_s(time_s),
            "x_px": track.xy_px[:, 0],
            "y_px": track.xy_px[:, 1],
            "u_px": track.u_px,
            "origin": np.array(ORIGINS)[track.origins],
        },
        columns=list(TRACK_COLUMNS),
    )


def events_frame(deliveries: Iterable[Delivery]) -> pd.DataFrame:
    """Return every event mark of every camera, one row each, in the order of the events.

    Returns
    -------
    DataFrame
        Columns as `EVENT_COLUMNS`; ``frame`` is the nearest one.  ``attrs["units"]`` maps column to
        unit.
    """
    rows = [
        _event_row(delivery, camera, event.key, event.name)
        for delivery in deliveries
        for camera in delivery.cameras
        for event in EVENTS
        if event.key in camera.marks
    ]
    return _finished(pd.DataFrame(rows, columns=list(EVENT_COLUMNS)))


def _event_row(delivery: Delivery, camera: Camera, event: str, name: str) -> dict[str, Any]:
    mark, timing = camera.marks[event], camera.timing
    return {
        "delivery": delivery.name,
        "camera": camera.name,
        "event": event,
        "name": name,
        "frame": timing.frame_at(mark.time_s),
        "time_s": mark.time_s,
        "real_time_s": float(timing.real_s(mark.time_s)),
        "u_time_s": camera.u_mark_s(event),
        "origin": mark.origin,
    }


def budgets_frame(results: Sequence[Result]) -> pd.DataFrame:
    """Return what every shown result's u is made of, one row a part, the largest first.

    Parameters
    ----------
    results : sequence of Result
        Of one or several deliveries, in the order wanted.

    Returns
    -------
    DataFrame
        Columns as `BUDGET_COLUMNS`: ``event`` is the result's, ``at_event`` the one at which the
        part enters.  The squares of ``u`` add up to the result's; ``attrs["units"]`` maps metric to
        unit.
    """
    rows = [
        {
            "delivery": result.delivery,
            "metric": result.metric,
            "event": result.event,
            "source": part["source"],
            "landmark": part["landmark"],
            "at_event": part["event"],
            "u": part["u"],
            "share_of_variance": part["share_of_variance"],
            "unit": result.unit,
            "remedy": part["remedy"],
        }
        for result in results
        for part in result.budget_rows()
    ]
    frame = _finished(pd.DataFrame(rows, columns=list(BUDGET_COLUMNS)))
    frame.attrs["units"] = {row["metric"]: row["unit"] for row in rows}
    return frame


def _finished(frame: pd.DataFrame) -> pd.DataFrame:
    told = typed(frame)
    units = {column: column_unit(column) for column in told.columns if COLUMNS[column].unit}
    told.attrs["units"] = {column: unit for column, unit in units.items() if unit != OWN_UNIT}
    told.attrs["uncertainty"] = "standard uncertainties, k = 1"
    return told
