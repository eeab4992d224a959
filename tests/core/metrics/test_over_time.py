"""Postures frame by frame."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.measures import lead_knee_flexion
from deliverylab.core.metrics.over_time import poses_over_time
from deliverylab.core.metrics.setup import Setup

LEG = ("lead_hip", "lead_knee", "lead_ankle")


def test_only_frames_that_show_all_roles_are_given(side):
    camera = side.delivery.cameras[0]
    tracks = dict(camera.tracks)
    tracks["left_knee"] = tracks["left_knee"].replaced(7, None)
    camera = msgspec.structs.replace(camera, tracks=tracks)
    frames, pose = poses_over_time(camera, Setup.of(side.delivery, camera, camera.scale), LEG)
    assert 7 not in frames
    assert len(frames) == len(tracks["left_knee"])
    assert pose["lead_knee"].shape == (len(frames), 3)
    assert np.isfinite(lead_knee_flexion(pose)).all()


def test_the_course_is_that_of_the_postures_at_the_events(side):
    setup = Setup.of(side.delivery, side.delivery.cameras[0], side.delivery.cameras[0].scale)
    frames, pose = poses_over_time(side.delivery.cameras[0], setup, LEG)
    result = next(
        r
        for r in evaluate(side.delivery)
        if (r.metric, r.event) == ("lead_knee_flexion", "release")
    )
    at_frame = side.truth.events["release"] * 240
    course = np.interp(at_frame, frames, lead_knee_flexion(pose))
    # Places are interpolated there, angles here: the same to a hundredth of a degree.
    assert course == pytest.approx(result.value, abs=0.01)
