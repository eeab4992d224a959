from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.track import Position, Track
from deliverylab.core.report.tables_tracks import (
    BUDGET_COLUMNS,
    EVENT_COLUMNS,
    TRACK_COLUMNS,
    budgets_frame,
    events_frame,
    tracks_frame,
)

replace = msgspec.structs.replace


@pytest.fixture
def slow(athlete):
    """The athlete's delivery, filmed at 240 and stored at 120 frames a second."""
    camera = athlete.cameras[0]
    timing = replace(camera.timing, capture_rate_hz=240.0)
    track = Track.of(
        [(3, Position(1.5, 2.5, 0.7, "tracked")), (5, Position(2.0, 3.0, None, "placed"))]
    )
    tracks = {"left_knee": track, "ball": Track.of()}
    return replace(athlete, cameras=(replace(camera, timing=timing, tracks=tracks),))


def test_positions_stand_on_both_clocks(slow):
    frame = tracks_frame([slow])
    assert tuple(frame.columns) == TRACK_COLUMNS
    assert frame["frame"].tolist() == [3, 5]
    assert frame["time_s"].tolist() == [3 / 120, 5 / 120]
    # twice slowed: half as much real time
    assert frame["real_time_s"].tolist() == pytest.approx([1.5 / 120, 2.5 / 120])
    assert frame["origin"].tolist() == ["tracked", "placed"]
    assert frame["u_px"][0] == 0.7
    assert np.isnan(frame["u_px"][1])
    assert frame.attrs["units"] == {
        "frame": "1", "time_s": "s", "real_time_s": "s", "x_px": "px", "y_px": "px", "u_px": "px",
    }  # fmt: skip


def test_marks_stand_with_their_nearest_frame_and_u(slow):
    frame = events_frame([slow])
    camera = slow.cameras[0]
    assert tuple(frame.columns) == EVENT_COLUMNS
    assert frame["event"].tolist() == [key for key in camera.marks if key in set(frame["event"])]
    row = frame[frame["event"] == "release"].iloc[0]
    assert row["time_s"] == camera.marks["release"].time_s
    assert row["real_time_s"] == pytest.approx(row["time_s"] / 2)
    assert row["frame"] == camera.timing.frame_at(row["time_s"])
    assert row["u_time_s"] == pytest.approx(1 / 120 / np.sqrt(12))


def test_the_parts_of_a_budget_make_its_u(athlete):
    results = evaluate(athlete)
    frame = budgets_frame(results)
    assert tuple(frame.columns) == BUDGET_COLUMNS
    sums = (frame["u"] ** 2).groupby([frame["metric"], frame["event"]]).sum()
    for result in results:
        if result.is_shown and result.budget:
            assert sums[result.metric, result.event] == pytest.approx(result.u**2)
    assert frame.attrs["units"]["release_height"] == "m"


def test_empty_tables_keep_columns_types_and_units(athlete):
    bare = replace(athlete, cameras=())
    for made, columns in (
        (tracks_frame([bare]), TRACK_COLUMNS),
        (events_frame([bare]), EVENT_COLUMNS),
        (budgets_frame([]), BUDGET_COLUMNS),
    ):
        assert tuple(made.columns) == columns
        assert len(made) == 0
    full = tracks_frame([athlete]).dtypes.astype(str).tolist()
    assert tracks_frame([bare]).dtypes.astype(str).tolist() == full
