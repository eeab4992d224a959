from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.clip_changes import SetPosition
from deliverylab.core.model.project import Project
from deliverylab.core.workflow.space_residuals import limb_lengths, worst_places
from tests.core.workflow.two_phones import solved_two_phones


def test_a_misplaced_point_is_found_with_clip_and_frame():
    solved = solved_two_phones()
    assert worst_places(solved.delivery) == ()
    project = Project(solved.record)
    for camera, landmark, frame in (("rear", "left_knee", 40), ("open-side", "neck", 150)):
        at = project.camera("Ana 1", camera).track(landmark).at(frame)
        project.apply(
            SetPosition(
                delivery="Ana 1",
                camera=camera,
                landmark=landmark,
                frame=frame,
                position=at._replace(y_px=at.y_px + 30.0),
            )
        )
    first, second = worst_places(project.delivery("Ana 1"))
    assert {(each.landmark, each.camera, each.frame) for each in (first, second)} == {
        ("left_knee", "rear", 40),
        ("neck", "open-side", 150),
    }
    assert first.misfit >= second.misfit > 4.0
    knee = first if first.landmark == "left_knee" else second
    # 240 frames in the first clip for 60 in the second, less the later start
    space = project.delivery("Ana 1").space
    expected = 240.0 * (40 / 60 + space.cameras[1].offset_s)
    assert knee.frames == {"rear": 40, "open-side": pytest.approx(expected, abs=0.51)}


def test_limbs_keep_their_lengths():
    solved = solved_two_phones()
    limbs = limb_lengths(solved.delivery)
    assert len(limbs) == 8
    true_m = solved.phones.truth.motion.positions_at(solved.phones.truth.times_s)
    for limb in limbs:
        # placing by 2 px, and by 10 mm at each end that stay the same: 14 and 10 mm at most here
        assert limb.spread_m < 0.018
        true_lengths_m = np.linalg.norm(true_m[limb.start] - true_m[limb.end], axis=-1)
        assert limb.length_m == pytest.approx(np.mean(true_lengths_m), abs=0.015)


def test_nothing_solved_lists_nothing():
    delivery = solved_two_phones().phones.delivery
    assert worst_places(delivery) == ()
    assert limb_lengths(delivery) == ()
