"""What was found: questions of left and right with their answers, and what counts in two cameras."""

from __future__ import annotations

from dataclasses import replace as replaced

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.model.space import SolvedCamera, SpaceSolution
from deliverylab.core.tracking.pose import N_POINTS
from deliverylab.core.tracking.pose_checks import RawPoses
from deliverylab.core.tracking.pose_landmarks import LIMBS, ROW
from deliverylab.core.tracking.pose_sides import SideQuestion
from deliverylab.core.workflow.detection import LIMB_TEXT, answered, judged
from tests.core.tracking.posed import body
from tests.core.workflow.walked import N_FRAMES, TORSO_PX, place, walked

LEGS = np.array([25, 27, 29, 31])
CHANGED = np.arange(12, N_FRAMES)


@pytest.fixture(scope="module")
def delivery(tmp_path_factory):
    return walked(tmp_path_factory.mktemp("walk"))[0]


def _raw(changed=CHANGED):
    points = np.array([body(*place(frame), TORSO_PX) for frame in range(N_FRAMES)])
    rows = np.asarray(changed)[:, None]
    points[rows, LEGS], points[rows, LEGS + 1] = points[rows, LEGS + 1], points[rows, LEGS].copy()
    return RawPoses(
        frames=np.arange(N_FRAMES), points_px=points, mirrored_px=points.copy(),
        peaks=np.full((N_FRAMES, N_POINTS), 0.9), pixel_px=np.ones(N_FRAMES),
    )  # fmt: skip


def test_a_question_says_what_and_from_where_to_where(delivery):
    found = judged(delivery, delivery.cameras[0], _raw(), is_complete=True)
    last = N_FRAMES - 1
    assert found.side_questions == (SideQuestion(limb="leg", first_frame=12, last_frame=last),)
    assert {one.reason for one in found.waiting} == {"sides"}
    assert set(LIMB_TEXT) == set(LIMBS)


@pytest.mark.parametrize("is_swapped", [False, True])
def test_an_answer_takes_the_stretch_over_and_can_be_changed(delivery, is_swapped):
    camera = delivery.cameras[0]
    found = judged(delivery, camera, _raw(), is_complete=True)
    (question,) = found.side_questions
    first = answered(delivery, camera, found, question, not is_swapped)
    told = answered(delivery, camera, first, question, is_swapped)
    assert told.side_questions == ()
    # taken as it was, it jumps where the stretch begins
    jumped = {(11, "course"), (12, "course")}
    assert {(one.frame, one.reason) for one in told.waiting} == (set() if is_swapped else jumped)
    assert len(told.side_answers) == 1
    side = "left" if is_swapped else "right"
    knee_x = told.poses.xy_px[15, ROW[f"{side}_knee"], 0]
    assert knee_x == pytest.approx(place(15)[0] + 0.22 * TORSO_PX)


def test_an_answer_does_not_hide_what_else_is_wrong(delivery):
    camera, raw = delivery.cameras[0], _raw()
    peaks = raw.peaks.copy()
    peaks[15, 27] = 0.1
    found = judged(delivery, camera, replaced(raw, peaks=peaks), is_complete=True)
    (question,) = found.side_questions
    told = answered(delivery, camera, found, question, True)
    assert [(one.frame, one.reason) for one in told.waiting] == [(15, "peak")]


def _solved(*names, **changed):
    n = 8 * len(names) - 1
    return SpaceSolution(
        cameras=tuple(
            SolvedCamera(name=name, numbers=(0.0,) * 7, width_px=320, height_px=240)
            for name in names
        ),
        covariance=((0.0,) * n,) * n, points_m={}, residuals=(), worst_deg=0.3, field_misfit=1.0,
        **({"trust": "good"} | changed),
    )  # fmt: skip


def test_results_of_two_solved_cameras_count_too(delivery):
    camera = replace(delivery.cameras[0], view="rear")

    def needs(space):
        # foot contact is marked in frame 10
        found = judged(
            replace(delivery, space=space), camera, _raw(np.arange(10, N_FRAMES)), is_complete=True
        )
        return {one.landmark: one.n_results for one in found.waiting if one.frame == 10}

    alone, together = needs(None), needs(_solved("main", "side"))
    # from behind no knee's flexion is seen
    assert together["left_knee"] > alone["left_knee"] == 0
    assert needs(_solved("main", "side", trust="refused")) == alone
    assert needs(_solved("other", "side")) == alone
