"""The table of motion: what sets it apart from the other two."""

from __future__ import annotations

from deliverylab.core.metrics.motion_table import MOTION_METRICS


def test_none_is_read_from_a_single_posture():
    assert all(spec.measure is None for spec in MOTION_METRICS)


def test_times_are_shown_from_every_view():
    for spec in MOTION_METRICS:
        if spec.kind == "interval":
            assert "top" in spec.views
