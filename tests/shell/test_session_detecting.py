"""What a session says of the detector, and what becomes of what it found."""

from __future__ import annotations

import pytest

from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import replace
from deliverylab.core.tracking.pose import BodyPoints
from tests.core.tracking.posed import RedBoxNetwork, drawn
from tests.core.workflow.walked import N_FRAMES, TORSO_PX, place
from tests.shell.detected import nobody_fetched_it, show_walk, stand_in


class UnclearLead(RedBoxNetwork):
    """See the left ankle poorly, always."""

    def run(self, cut):
        points, peaks, score = super().run(cut)
        peaks[[27, 28]] = 0.1  # in the mirrored picture it is named the right one
        return BodyPoints(points, peaks, score)


def found_by(session, step=1):
    return session.detection_work("athlete", step)(lambda _share: None)


def test_absence_is_a_normal_state(session, monkeypatch):
    nobody_fetched_it(monkeypatch)
    assert not session.has_detector()
    assert session.waiting("athlete").n_all == 0
    assert session.waiting_frames("athlete") == ()


def test_what_is_believed_is_one_step_and_the_rest_waits(session, monkeypatch, tmp_path):
    stand_in(monkeypatch, tmp_path, UnclearLead())
    show_walk(session, tmp_path / "walk")
    footage = session.footage("athlete")
    n_taken = session.take_detection("athlete", footage, found_by(session))
    camera = session.camera("athlete")
    assert n_taken == sum(map(len, camera.tracks.values())) > 300
    assert session.undo_stack.count() == 1
    assert session.undo_stack.undoText() == "Detect landmarks"
    queue = session.waiting("athlete")
    # the results need it where the foot lands; the other frames are nobody's first concern
    assert [(one.landmark, one.frame) for one in queue.places] == [
        ("left_ankle", 10),
        ("right_ankle", 10),
    ]
    assert queue.places[0].what == "Lead ankle, frame 10, foot contact"
    assert queue.places[0].why.endswith("the detector sees no clear point there")
    assert "results need it: " in queue.places[0].why
    assert queue.n_others == 2 * (N_FRAMES - 1)
    assert session.waiting_frames("athlete") == (10,)
    session.show_frame("athlete", 10)
    session.place_landmark("athlete", "left_ankle", 100.0, 170.0)
    session.set_hidden("athlete", "right_ankle", True)
    assert session.waiting("athlete").places == ()
    session.undo()
    assert [one.landmark for one in session.waiting("athlete").places] == ["right_ankle"]


def test_without_marks_all_that_waits_is_listed(session, monkeypatch, tmp_path):
    stand_in(monkeypatch, tmp_path, UnclearLead())
    show_walk(session, tmp_path / "walk")
    session.remove_mark("athlete", "foot_contact")
    session.take_detection("athlete", session.footage("athlete"), found_by(session, 10))
    queue = session.waiting("athlete")
    assert (len(queue.places), queue.n_others, queue.has_marks) == (4, 0, False)
    assert not queue.places[0].why.startswith("0 ")


def test_points_placed_meanwhile_stay(session, monkeypatch, tmp_path):
    stand_in(monkeypatch, tmp_path)
    show_walk(session, tmp_path / "walk")
    footage, found = session.footage("athlete"), found_by(session)
    session.show_frame("athlete", 4)
    session.place_landmark("athlete", "left_wrist", 11.0, 12.0)
    session.take_detection("athlete", footage, found)
    position = session.camera("athlete").track("left_wrist").at(4)
    assert (position.x_px, position.origin) == (11.0, "placed")


def test_another_clip_takes_nothing_of_this_one(session, monkeypatch, tmp_path):
    stand_in(monkeypatch, tmp_path)
    show_walk(session, tmp_path / "walk")
    footage, found = session.footage("athlete"), found_by(session)
    camera = session.camera("athlete")
    timing = replace(camera.timing, capture_rate_hz=240.0)
    session.set_delivery(
        "walk", replace(session.delivery("athlete"), cameras=(replace(camera, timing=timing),))
    )
    with pytest.raises(UsageError, match="changed while"):
        session.take_detection("athlete", footage, found)
    assert session.detection("athlete") is None
    session.new_project()
    assert session.waiting("athlete").n_all == 0


def test_of_several_people_the_boxes_are_told_and_one_is_kept(session, monkeypatch, tmp_path):
    stand_in(monkeypatch, tmp_path)
    show_walk(session, tmp_path / "walk", [drawn((80, 118, 36), (240, 118, 30))] * 3)
    with pytest.raises(Exception, match="2 people") as problem:
        found_by(session)
    people = session.people_in(problem.value)
    assert len(people) == 2
    assert people[1][0] < 240 < people[1][2]
    assert session.people_in(ValueError()) == ()
    session.set_detection_box("athlete", people[1])
    found = found_by(session)
    assert abs(found.poses.xy_px[0, 0, 0] - 240) < 30
    session.set_detection_box("athlete", None)
    assert session.detection_box("athlete") is None


def test_a_box_is_kept_in_whole_pixels_counted_from_their_edges(session, monkeypatch, tmp_path):
    stand_in(monkeypatch, tmp_path)
    show_walk(session, tmp_path / "walk")
    x_px, y_px = place(0)
    session.set_detection_box("athlete", (x_px - TORSO_PX, 60.2, x_px + TORSO_PX, y_px + 60.8))
    assert session.detection_box("athlete") == (56.0, 61.0, 68.0, 118.0)
