"""Following a clip's landmarks, and what is taken over of it."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.video.writer import write_clip
from deliverylab.core.workflow.tracking import (
    BESIDE,
    NO_ANCHOR,
    LostStretch,
    track,
    tracking_change,
)
from tests.core.workflow.slid import OFFS, PATH, N, colour_pictures, pictures, slid, true_place

KNEE = "left_knee"


def followed(delivery, **how):
    return track(delivery, delivery.cameras[0], None, pictures=pictures(), **how)


def applied(delivery, found):
    """Return the camera once the change is carried out, and the project that can take it back."""
    project = Project(ProjectRecord(deliveries=(delivery,)))
    inverse = project.apply(tracking_change(delivery, delivery.cameras[0], found))
    return project.camera("slid", "main"), project, inverse


def test_what_lies_between_placed_positions_is_followed_and_one_undo_takes_it_back():
    delivery = slid()
    found = followed(delivery)
    assert found.is_complete
    assert not found.lost
    camera, project, inverse = applied(delivery, found)
    for key in OFFS:
        whole = camera.track(key)
        assert whole.frames.tolist() == list(range(N))
        true = PATH + OFFS[key]
        assert np.abs(whole.xy_px - true).max() < 1.0
        assert [whole.at(frame).origin for frame in (0, 7, 20, 39)] == [
            "placed", "tracked", "placed", "placed",
        ]  # fmt: skip
        # places of a machine carry their own u, those of a person theirs
        assert whole.at(20).u_px == 0.5
        assert whole.at(10).u_px > 0.5
    project.apply(inverse)
    assert project.record.deliveries[0] == delivery


def test_a_clip_on_the_disk_is_followed_as_well(tmp_path):
    write_clip(tmp_path / "slid.mp4", colour_pictures(), rate=120)
    path = tmp_path / "a.delivery"
    clip = clip_reference(tmp_path / "slid.mp4", path)
    delivery = slid(clip=clip)
    found = track(delivery, delivery.cameras[0], path, landmarks=[KNEE], frames=(20, 39))
    assert sorted(found.positions[KNEE]) == list(range(21, 39))
    places = np.array([found.positions[KNEE][frame][:2] for frame in range(21, 39)])
    assert np.abs(places - (PATH + OFFS[KNEE])[21:39]).max() < 1.5


def test_without_a_clip_or_a_place_there_is_nothing_to_follow(tmp_path):
    delivery = slid()
    with pytest.raises(ClipError, match="cannot be followed"):
        track(delivery, delivery.cameras[0], tmp_path / "a.delivery")
    empty = slid(tracks={})
    with pytest.raises(InputValueError, match="nothing is placed"):
        followed(empty)
    with pytest.raises(InputValueError, match="no such frames"):
        followed(delivery, frames=(10, 70))


def test_hidden_frames_stay_empty_and_hand_placed_ones_stay():
    delivery = slid(occluded={KNEE: (5, 6, 7)})
    found = followed(delivery)
    camera, _, _ = applied(delivery, found)
    assert not set(camera.track(KNEE).frames.tolist()) & {5, 6, 7}
    assert 8 in camera.track(KNEE).frames
    assert camera.track("left_hip").at(0) == Position(*true_place("left_hip", 0), 0.5)


def test_a_landmark_that_is_placed_nowhere_says_so():
    delivery = slid()
    found = followed(delivery, landmarks=[KNEE, "right_knee"])
    assert LostStretch(landmark="right_knee", first_frame=0, last_frame=39, reason=NO_ANCHOR) in (
        found.lost
    )
    assert found.lost[0].n_frames == 40
    assert found.lost[0].text == "nothing is placed to start from"


def test_earlier_tracked_places_that_are_lost_now_are_taken_away():
    stray = {frame: Position(90.0, 60.0, 1.0, "tracked") for frame in range(1, 39)}
    wrong = Track.of(
        [(0, Position(*true_place(KNEE, 0), 0.5)), *stray.items(), (39, Position(90.0, 60.0, 0.5))]
    )
    delivery = slid(tracks={KNEE: wrong, "left_hip": slid().cameras[0].track("left_hip")})
    found = followed(delivery, landmarks=[KNEE])
    (middle,) = [one for one in found.lost if one.first_frame <= 20 <= one.last_frame]
    assert middle.reason == "disagrees"
    camera, _, _ = applied(delivery, found)
    assert camera.track(KNEE).at(20) is None
    assert len(camera.track("left_hip")) == 3


def test_detected_places_are_started_from_and_stay_where_they_are_not():
    detected = Position(*(true_place(KNEE, 20) + 1.0), 3.0, "detected")
    knee = slid(placed=(0, 14, 26, 39)).cameras[0].track(KNEE).replaced(20, detected)
    delivery = slid(tracks={**slid().cameras[0].tracks, KNEE: knee})
    camera, _, _ = applied(delivery, followed(delivery))
    assert camera.track(KNEE).at(20) == detected
    camera, _, _ = applied(delivery, followed(delivery, from_detected=False))
    replaced = camera.track(KNEE).at(20)
    assert replaced.origin == "tracked"
    assert np.hypot(*(np.array(replaced[:2]) - true_place(KNEE, 20))) < 0.8


def test_only_the_frames_asked_for_change():
    delivery = slid()
    found = followed(delivery, frames=(5, 12))
    assert {frame for places in found.positions.values() for frame in places} == set(range(5, 13))


def test_stopping_says_that_it_is_not_complete():
    found = followed(slid(), is_cancelled=lambda: True)
    assert not found.is_complete
    assert not found.positions
    assert not tracking_change(slid(), slid().cameras[0], found).positions


def test_where_it_is_not_seen_surely_the_likeliest_course_is_taken_and_looks_bridged():
    delivery = slid(placed=(0, 39))
    found = followed(delivery, landmarks=[KNEE])
    assert found.bridged[KNEE]
    assert not set(found.bridged[KNEE]) & set(found.positions[KNEE])
    camera, project, inverse = applied(delivery, found)
    origins = {frame: place.origin for frame, place in camera.track(KNEE)}
    assert {origins[frame] for frame in found.bridged[KNEE]} == {"filled"}
    assert {origins[frame] for frame in found.positions[KNEE]} == {"tracked"}
    away = camera.track(KNEE).xy_px - (PATH + OFFS[KNEE])[camera.track(KNEE).frames]
    assert np.abs(away).max() < 2.0
    project.apply(inverse)
    assert project.record.deliveries[0] == delivery


def test_what_lies_beside_all_known_places_is_told_apart():
    found = followed(slid(placed=(18, 20)), landmarks=[KNEE])
    reasons = {one.reason for one in found.lost}
    assert reasons == {BESIDE}
    assert (found.lost[0].first_frame, found.lost[-1].last_frame) == (0, 39)


def test_repeated_pictures_are_left_out():
    delivery = slid(duplicate_frames=(7, 8))
    camera, _, _ = applied(delivery, followed(delivery))
    assert not set(camera.track(KNEE).frames.tolist()) & {7, 8}
    assert replace(camera, tracks={}) == replace(delivery.cameras[0], tracks={})
