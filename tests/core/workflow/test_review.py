from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.clip_changes import SetPosition
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.track import ORIGINS, Track
from deliverylab.core.workflow.review import to_look_at
from tests.benchmarks.bench_review import filmed, listed, moved, swapped, with_tracks
from tests.core.workflow.two_phones import solved_two_phones


@pytest.fixture(scope="module")
def clean():
    return filmed(7001, 240.0, 0.7)[0]


def as_tracked(track, u_px=1.0):
    origins = np.full(len(track), ORIGINS.index("tracked"), np.uint8)
    return Track(track.frames, track.xy_px, np.full(len(track), u_px), origins)


def without(track, frames):
    kept = ~np.isin(track.frames, frames)
    return Track(track.frames[kept], track.xy_px[kept], track.u_px[kept], track.origins[kept])


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


def test_what_a_tracker_lost_at_an_event_is_listed_and_what_is_hidden_is_not(clean):
    camera = clean.cameras[0]
    at = camera.timing.frame_at(camera.marks["foot_contact"].time_s)
    key = "left_knee" if clean.athlete.hand == "right" else "right_knee"
    track = without(as_tracked(camera.track(key)), range(at - 4, at + 5))
    lost = with_tracks(clean, {key: track})
    (look,) = [each for each in listed(lost) if each.reason == "lost"]
    assert (look.landmark, look.frame) == (key, at)
    assert "no position at foot contact" in look.text
    hidden = msgspec.structs.replace(lost.cameras[0], occluded={key: (at,)})
    looks = listed(msgspec.structs.replace(lost, cameras=(hidden,)))
    assert all(each.reason != "lost" for each in looks)


def test_an_unsure_position_that_costs_a_result_is_listed(clean):
    camera = clean.cameras[0]
    key = "left_knee" if clean.athlete.hand == "right" else "right_knee"
    delivery = with_tracks(clean, {key: as_tracked(camera.track(key), u_px=9.0)})
    record = ProjectRecord(deliveries=(delivery,))
    looks = [e for e in to_look_at(record, delivery, evaluate(delivery)) if e.reason == "unsure"]
    assert looks
    assert {each.landmark for each in looks} == {key}
    assert "times a hand's" in looks[0].text
    assert all(each.reason != "unsure" for each in to_look_at(record, clean, evaluate(clean)))


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
