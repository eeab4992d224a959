"""Midpoints of a pose."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.metrics.pose import Pose


def test_midpoints_and_membership():
    points = {"drive_hip": np.array([0.0, 0, 1]), "lead_hip": np.array([1.0, 2, 1])}
    pose = Pose(points, np.array(1.8))
    assert pose["mid_hip"] == pytest.approx([0.5, 1.0, 1.0])
    assert "lead_hip" in pose
    assert "lead_knee" not in pose
    with pytest.raises(KeyError):
        pose["lead_knee"]
