"""Landmarks suggested in a clip: what is taken over, what stays, what waits."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.errors import ClipError, InputValueError, NotFoundError
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.track import Position, Track
from deliverylab.core.tracking.pose import BodyPoints
from deliverylab.core.tracking.pose_landmarks import KEYS
from deliverylab.core.workflow import detecting
from deliverylab.core.workflow.detecting import (
    detect,
    detection_change,
    frames_to_look_at,
    installed_network,
)
from tests.core.tracking.posed import RedBoxNetwork, drawn
from tests.core.workflow.walked import N_FRAMES, TORSO_PX, place, walked


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    return walked(tmp_path_factory.mktemp("walk"))


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    return tmp_path_factory.mktemp("answers")


def _detect(clip, answers, network=None, **settings):
    delivery, path = clip
    return detect(
        delivery, delivery.cameras[0], path, network or RedBoxNetwork(), answers_folder=answers,
        **settings,
    )  # fmt: skip


def _with(clip, **parts):
    delivery, path = clip
    return replace(delivery, cameras=(replace(delivery.cameras[0], **parts),)), path


class UnclearLead(RedBoxNetwork):
    """See the left ankle poorly, always."""

    def run(self, cut):
        points, peaks, score = super().run(cut)
        # in the mirrored picture it is named the right one
        peaks[[27, 28]] = 0.1
        return BodyPoints(points, peaks, score)


def test_one_change_takes_everything_over_and_one_undo_takes_it_back(clip, answers):
    delivery, _ = clip
    found = _detect(clip, answers)
    assert found.is_complete
    assert found.frames.tolist() == list(range(N_FRAMES))
    assert found.waiting == ()
    project = Project(ProjectRecord(deliveries=(delivery,)))
    change = detection_change(delivery, delivery.cameras[0], found)
    assert change.label == "Detect landmarks"
    undo = project.apply(change)
    tracks = project.camera("walk").tracks
    assert sorted(tracks) == sorted(KEYS)
    position = tracks["left_wrist"].at(5)
    assert position is not None
    assert position.origin == "detected"
    assert position.x_px == pytest.approx(place(5)[0] + 0.6 * TORSO_PX, abs=2.5)
    # three pixels of the network's input: the region is five trunks wide
    assert position.u_px == pytest.approx(3.0 * 5 * TORSO_PX / 256, rel=0.3)
    project.apply(undo)
    assert project.camera("walk").tracks == {}


def test_what_a_person_did_stays(clip, answers):
    placed, tracked = Position(1.0, 2.0), Position(3.0, 4.0, 1.0, "tracked")
    own = _with(
        clip,
        tracks={"left_wrist": Track.of([(3, placed), (4, tracked)])},
        occluded={"right_wrist": (6,)},
    )
    delivery = own[0]
    change = detection_change(delivery, delivery.cameras[0], _detect(own, answers))
    project = Project(ProjectRecord(deliveries=(delivery,)))
    project.apply(change)
    camera = project.camera("walk")
    assert camera.track("left_wrist").at(3) == placed
    assert camera.track("left_wrist").at(4) == tracked
    assert camera.track("left_wrist").at(5) is not None
    assert camera.track("right_wrist").at(6) is None


def test_an_earlier_detection_is_replaced_and_taken_back_where_it_is_not_believed(clip, tmp_path):
    stale = Position(1.0, 1.0, 1.0, "detected")
    own = _with(clip, tracks={"left_ankle": Track.of([(4, stale)]), "neck": Track.of([(4, stale)])})
    found = _detect(own, tmp_path, UnclearLead())
    change = detection_change(own[0], own[0].cameras[0], found)
    assert change.positions["left_ankle"] == {4: None}
    neck = change.positions["neck"][4]
    assert neck is not None
    assert neck.x_px != 1.0


def test_what_waits_is_in_the_order_of_what_it_serves(clip, tmp_path):
    found = _detect(clip, tmp_path, UnclearLead())
    assert len(found.waiting) == 2 * N_FRAMES
    assert {one.landmark for one in found.waiting} == {"left_ankle", "right_ankle"}
    assert {one.reason for one in found.waiting} == {"peak"}
    first, second, third = found.waiting[:3]
    # foot contact is marked in frame 10; the lead ankle gives the stride besides
    assert (first.landmark, first.frame) == ("left_ankle", 10)
    assert (second.landmark, second.frame) == ("right_ankle", 10)
    assert first.n_results > second.n_results > 0
    assert (third.frame, third.n_results) == (0, 0)


def test_an_event_outside_the_frames_needs_none_of_them(clip, tmp_path):
    found = _detect(clip, tmp_path, UnclearLead(), frames=(0, 6))
    assert {one.n_results for one in found.waiting} == {0}


def test_what_is_placed_or_hidden_does_not_wait(clip, tmp_path):
    own = _with(
        clip,
        tracks={"left_ankle": Track.of([(10, Position(5.0, 5.0))])},
        occluded={"right_ankle": (10,)},
    )
    found = _detect(own, tmp_path, UnclearLead())
    assert not any(one.frame == 10 for one in found.waiting)


def test_a_part_of_the_frames_can_be_asked_for(clip, answers):
    assert _detect(clip, answers, frames=(3, 9), step=3).frames.tolist() == [3, 6, 9]
    camera = replace(clip[0].cameras[0], first_frame=2, last_frame=7, duplicate_frames=(5,))
    assert frames_to_look_at(camera) == [2, 3, 4, 6, 7]


def test_the_frames_of_marked_events_are_looked_at_whatever_the_step(clip):
    # foot contact is marked in frame 10
    camera = clip[0].cameras[0]
    assert frames_to_look_at(camera, (0, 19), 8) == [0, 8, 10, 16]
    assert frames_to_look_at(camera, (12, 19), 4) == [12, 16]
    unmarked = replace(camera, marks={})
    assert frames_to_look_at(unmarked, (0, 19), 8) == [0, 8, 16]
    # a picture that repeats the one before is looked at once
    repeated = replace(camera, duplicate_frames=(9, 10))
    assert frames_to_look_at(repeated, (0, 19), 6) == [0, 6, 8, 12, 18]


@pytest.mark.parametrize(
    ("frames", "step"), [((5, 3), 1), ((0, N_FRAMES), 1), ((-1, 4), 1), ((0, 4), 0)]
)
def test_frames_that_are_not_there_are_refused(clip, frames, step):
    with pytest.raises(InputValueError, match="no such frames"):
        frames_to_look_at(clip[0].cameras[0], frames, step)


def test_a_search_that_is_broken_off_gives_what_it_has(clip, tmp_path):
    seen = []
    found = _detect(clip, tmp_path, progress=seen.append, is_cancelled=lambda: len(seen) == 5)
    assert not found.is_complete
    assert found.frames.tolist() == [0, 1, 2, 3, 4]


def test_a_search_that_is_broken_off_at_once_says_so(clip, tmp_path):
    with pytest.raises(ClipError, match="no frame was looked at"):
        _detect(clip, tmp_path, is_cancelled=lambda: True)


def test_nobody_in_the_clip_is_said(tmp_path):
    with pytest.raises(ClipError, match="nobody is found"):
        _detect(walked(tmp_path, [drawn()] * 4), tmp_path)


def test_height_and_scale_tell_how_long_limbs_can_be(clip, answers):
    # a scale by which the athlete would be twice as tall as drawn: limbs seem collapsed
    torso_m = 0.288 * 1.8
    ends = Point(10.0, 10.0), Point(10.0 + 2 * TORSO_PX, 10.0)
    scale = PlanarScale(a=ends[0], b=ends[1], length_m=torso_m)
    found = _detect(_with(clip, scale=scale), answers)
    assert found.poses.torso_px == pytest.approx(2 * TORSO_PX)
    assert not found.poses.is_believed[:, KEYS.index("left_knee")].any()
    assert np.all(_detect(clip, answers).poses.is_believed)


def test_an_absent_detector_is_said_in_words(monkeypatch):
    monkeypatch.setattr(detecting, "detector_weights", lambda: None)
    with pytest.raises(NotFoundError, match="get-detector"):
        installed_network()
