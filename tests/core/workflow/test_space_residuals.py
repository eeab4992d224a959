from __future__ import annotations

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
    for limb in limbs:
        # placing by 2 px and 10 mm in each picture
        assert limb.spread_m < 0.025
        assert 0.15 < limb.length_m < 0.6


def test_nothing_solved_lists_nothing():
    delivery = solved_two_phones().phones.delivery
    assert worst_places(delivery) == ()
    assert limb_lengths(delivery) == ()
