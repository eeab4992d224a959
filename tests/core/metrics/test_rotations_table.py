"""The table of rotations: what sets it apart from the other two."""

from __future__ import annotations

from deliverylab.core.metrics.rotations_table import ROTATION_METRICS


def test_none_is_shown_from_one_camera():
    assert all(not spec.views for spec in ROTATION_METRICS)


def test_speeds_ask_for_the_frame_rate_that_carries_them():
    rates = {spec.key: spec.min_rate_hz for spec in ROTATION_METRICS if spec.unit == "deg/s"}
    assert rates == {
        "peak_drive_knee_extension_speed": 60.0,
        "peak_pelvis_speed": 120.0,
        "peak_shoulder_line_speed": 120.0,
        "peak_elbow_extension_speed": 240.0,
    }
