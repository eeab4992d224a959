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


def test_each_time_of_a_peak_names_the_peak_and_needs_the_same_frames():
    by_key = {spec.key: spec for spec in ROTATION_METRICS}
    times = [spec for spec in ROTATION_METRICS if spec.kind == "peak_rate_time"]
    assert len(times) == 5
    for spec in times:
        peak = by_key[spec.peak_of]
        assert peak.kind in {"peak_rate", "extreme"}
        assert spec.landmarks == peak.landmarks
        assert spec.min_rate_hz == peak.min_rate_hz


def test_what_straightens_is_told_by_its_falling_flexion():
    falling = {spec.key for spec in ROTATION_METRICS if spec.is_falling}
    assert falling == {"peak_drive_knee_extension_speed", "peak_elbow_extension_speed"}
