from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.clip_changes import SetPosition
from deliverylab.core.model.project import Project
from deliverylab.core.workflow.review import to_look_at
from tests.benchmarks.bench_review import filmed, listed, moved, swapped, with_tracks
from tests.core.workflow.reviewed import without
from tests.core.workflow.two_phones import solved_two_phones


@pytest.fixture(scope="module")
def clean():
    return filmed(7001, 240.0, 0.7)[0]


def test_clean_clips_list_next_to_nothing():
    n_listed = [len(listed(filmed(seed, 240.0, 0.7)[0])) for seed in range(7100, 7106)]
    assert sum(n_listed) <= 3


def test_a_hand_off_its_course_is_listed_with_what_is_wrong(clean):
    track = clean.cameras[0].track("left_hand")
    looks = listed(
        with_tracks(clean, {"left_hand": moved(track, slice(60, 63), np.array([25.0, 0.0]))})
    )
    (look,) = [each for each in looks if each.landmark == "left_hand"]
    assert look.reason == "jump"
    assert 60 <= look.frame <= 62
    assert look.text.endswith("px off the course of the frames before and after")


def test_exchanged_ankles_are_one_entry_and_come_first(clean):
    camera = clean.cameras[0]
    apart = np.hypot(*(camera.track("left_ankle").xy_px - camera.track("right_ankle").xy_px).T)
    first = int(np.argmax(apart)) - 5
    looks = listed(swapped(clean, "ankle", slice(first, first + 10)))
    assert (looks[0].reason, looks[0].frame) == ("flip", first)
    assert looks[0].text == (
        f"left and right may have changed places (ankle, frames {first} to {first + 9})"
    )
    near = [each for each in looks if "ankle" in each.landmark and abs(each.frame - first) < 20]
    assert near == [looks[0]]


def test_a_limb_too_long_at_a_few_placed_frames_is_listed(clean):
    camera = clean.cameras[0]
    few = np.linspace(10, camera.timing.n_frames - 10, 7).astype(int)
    sparse = {
        key: without(track, np.setdiff1d(track.frames, few)) for key, track in camera.tracks.items()
    }
    delivery = with_tracks(clean, sparse)
    assert listed(delivery) == ()
    knee, ankle = sparse["right_knee"], sparse["right_ankle"]
    away = 2.0 * (ankle.xy_px[3] - knee.xy_px[3])
    wrong = with_tracks(delivery, {"right_ankle": moved(ankle, slice(3, 4), away)})
    (look,) = listed(wrong)
    assert (look.reason, look.frame, look.landmark) == ("length", few[3], "right_ankle")
    assert look.text.startswith("the shank would be ")


def test_clips_that_contradict_each_other_are_one_entry_with_the_jump():
    solved = solved_two_phones()
    project = Project(solved.record)
    at = project.camera("Ana 1", "rear").track("left_knee").at(40)
    project.apply(
        SetPosition(
            delivery="Ana 1", camera="rear", landmark="left_knee", frame=40,
            position=at._replace(y_px=at.y_px + 40.0),
        )
    )  # fmt: skip
    looks = to_look_at(project.record, project.delivery("Ana 1"))
    knee = [each for each in looks if each.landmark == "left_knee"]
    assert [(each.camera, each.frame) for each in knee] == [("rear", 40)]
    assert knee[0].weight == max(each.weight for each in looks)
