"""Postures frame by frame."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.measures import lead_knee_flexion
from deliverylab.core.metrics.over_time import nominal_camera, poses_over_time

LEG = ("lead_hip", "lead_knee", "lead_ankle")


def test_only_frames_that_show_all_roles_are_given(side):
    camera = side.delivery.cameras[0]
    tracks = dict(camera.tracks)
    tracks["left_knee"] = tracks["left_knee"].replaced(7, None)
    camera = msgspec.structs.replace(camera, tracks=tracks)
    frames, pose = poses_over_time(side.delivery, camera, camera.scale, LEG)
    assert 7 not in frames
    assert len(frames) == len(tracks["left_knee"])
    assert pose["lead_knee"].shape == (len(frames), 3)
    assert np.isfinite(lead_knee_flexion(pose)).all()


def test_the_nominal_camera_keeps_its_ruler(side):
    camera = side.delivery.cameras[0]
    planar = nominal_camera(camera.scale, camera)
    ends = planar.to_plane(planar.ruler_px, np.zeros(1))[0]
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(camera.scale.length_m, rel=1e-9)
