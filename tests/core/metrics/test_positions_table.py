"""The table of positions: what sets it apart from the other two."""

from __future__ import annotations

from deliverylab.core.metrics.positions_table import POSITION_METRICS


def test_all_are_read_from_postures_that_one_camera_shows():
    for spec in POSITION_METRICS:
        assert spec.measure is not None
        assert spec.views
        assert spec.projection_u, "seeing one plane is never free"


def test_joint_angles_are_guarded_against_foreshortening():
    for spec in POSITION_METRICS:
        if "knee_flexion" in spec.key or "knee_extension" in spec.key:
            assert len(spec.segments) == 2
