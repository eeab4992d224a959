from __future__ import annotations

import csv
import io
import json
import math

import pytest

from deliverylab.core.compare.course import Target
from deliverylab.core.compare.repeatability import Repeatability
from deliverylab.core.numerics.agreement import Interval
from deliverylab.core.report.progress_table import (
    PROGRESS_COLUMNS,
    REPEATABILITY_COLUMNS,
    progress_csv,
    progress_frame,
    progress_json,
    repeatability_frame,
)
from tests.core.report.courses_drawn import course

COURSES = {
    "Ana": [course(0, target=Target(50.0, "more", "2026-03-01", "reached"))],
    "Ben": [course(1, n_visits=1, detectable=None)],
}


def test_a_frame_has_a_row_a_metric_and_visit_and_knows_its_units():
    frame = progress_frame(COURSES)
    assert tuple(frame.columns) == PROGRESS_COLUMNS
    assert list(frame["athlete"]) == ["Ana", "Ana", "Ben"]
    assert frame["change"].tolist()[:2] == [6.0, 6.0]
    assert math.isnan(frame["change"].iloc[2])
    assert frame["value"].dtype == frame["target"].dtype == "float64"
    assert frame.attrs["units"] == {each.metric: each.unit for (each,) in COURSES.values()}


def test_json_and_csv_say_the_same():
    rows = json.loads(progress_json(COURSES))
    assert [tuple(row) for row in rows] == [PROGRESS_COLUMNS] * 3
    assert rows[2]["SEM"] is None
    read = list(csv.DictReader(io.StringIO(progress_csv(COURSES))))
    assert [row["date"] for row in read] == [row["date"] for row in rows]
    assert float(read[0]["detectable_change"]) == rows[0]["detectable_change"] == 4.0
    assert read[2]["SEM"] == ""


def test_nothing_is_an_empty_table():
    assert progress_frame({}).empty
    assert json.loads(progress_json({})) == []
    assert progress_csv({}).strip() == ",".join(PROGRESS_COLUMNS)


def test_repeatability_is_one_row_a_metric():
    one = Repeatability(
        metric="stride_length", event="", name="Stride", unit="% height", decimals=1, n=4,
        mean=80.0, spread=1.0, spread_interval=Interval(0.6, 3.7), placing_u=1.2,
    )  # fmt: skip
    frame = repeatability_frame([one])
    assert tuple(frame.columns) == REPEATABILITY_COLUMNS
    assert frame["spread_high"].iloc[0] == pytest.approx(3.7)
    assert math.isnan(frame["spread_athlete"].iloc[0])
    assert frame.attrs["units"] == {"stride_length": "% height"}
