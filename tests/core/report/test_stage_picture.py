from __future__ import annotations

import numpy as np

from deliverylab.core.report.figures import points_at
from deliverylab.core.report.stage_picture import marked_in, stage_picture


def test_the_skeleton_lies_where_the_landmarks_are(athlete):
    camera = athlete.cameras[0]
    frame = camera.timing.frame_at(camera.marks["release"].time_s)
    picture = np.full((camera.height_px, camera.width_px, 3), 90, np.uint8)
    drawn = stage_picture(athlete, camera, frame, picture)
    assert drawn.shape == picture.shape
    assert (picture == 90).all()
    changed = (drawn != picture).any(axis=2)
    for x, y in points_at(camera, frame).values():
        if 5 < x < camera.width_px - 5 and 5 < y < camera.height_px - 5:
            assert changed[round(y) - 4 : round(y) + 5, round(x) - 4 : round(x) + 5].any()
    # where nothing is drawn the pixels are the clip's own
    assert 0.5 < (~changed).mean() < 1.0


def test_events_of_the_frame_are_named(athlete):
    camera = athlete.cameras[0]
    frame = camera.timing.frame_at(camera.marks["release"].time_s)
    assert "Release" in marked_in(camera, frame)
    assert marked_in(camera, 0) == ()


def test_without_a_picture_the_ground_is_plain(athlete):
    camera = athlete.cameras[0]
    drawn = stage_picture(athlete, camera, 0, None)
    assert drawn.shape == (camera.height_px, camera.width_px, 3)
    assert len(np.unique(drawn.reshape(-1, 3), axis=0)) > 2
