"""Definition and result as values."""

from __future__ import annotations

import msgspec

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.spec import COVERAGE_FACTOR, Result


def test_expanded_u_is_twice_u():
    result = Result(
        delivery="a", metric="stride_length", event="", name="Stride", phase="stride",
        unit="% height", decimals=1, status="measured", value=80.0, u=1.2,
    )  # fmt: skip
    assert COVERAGE_FACTOR == 2.0
    assert result.expanded_u == 2.4
    assert result.as_row()["U"] == 2.4
    absent = msgspec.structs.replace(result, status="not_shown", value=None, u=None)
    assert absent.expanded_u is None
    assert not absent.is_shown


def test_rows_begin_with_what_every_table_needs():
    result = Result(
        delivery="a", metric="m", event="e", name="M", phase="stride", unit="m", decimals=1,
        status="not_shown", reason="r",
    )  # fmt: skip
    wanted = ["delivery", "metric", "event", "status", "value", "unit", "U"]
    assert list(result.as_row())[: len(wanted)] == wanted


def test_views_and_projection_may_differ_by_event():
    knee = BY_KEY["drive_knee_flexion"]
    assert knee.views_at("leg_lift") != knee.views_at("foot_contact")
    assert knee.projection_u_at("leg_lift") == 0.7
    assert knee.projection_u_at("foot_contact") == 4.8


def test_a_standing_foot_is_needed_at_the_start_only():
    stride, knee = BY_KEY["stride_length"], BY_KEY["lead_knee_extension"]
    assert stride.landmarks_at(0) == ("drive_ankle",)
    assert stride.landmarks_at(1) == ("lead_ankle",)
    assert knee.landmarks_at(0) == knee.landmarks_at(1) == knee.landmarks
