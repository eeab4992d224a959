"""Following as the session has it: one step, nothing of a person's replaced, corrections followed."""

from __future__ import annotations

import pytest

from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import replace
from tests.core.workflow.walked import N_FRAMES
from tests.shell.detected import show_walk
from tests.shell.tracked import stand_in


def report(_share):
    """Take a share and say nothing."""


@pytest.fixture
def walk(session, monkeypatch, tmp_path):
    """A session whose left wrist is placed in frames 2 and 12."""
    stand_in(monkeypatch)
    show_walk(session, tmp_path / "walk")
    for frame, x_px in ((2, 100.0), (12, 150.0)):
        session.show_frame("athlete", frame)
        session.place_landmark("athlete", "left_wrist", x_px, 80.0)
    session.undo_stack.clear()
    return session


def followed(session):
    footage = session.footage("athlete")
    found = session.tracking_work("athlete")(report)
    return session.take_tracking("athlete", footage, found)


def origins(session):
    return {f: p.origin for f, p in session.camera("athlete").track("left_wrist")}


def test_tracking_is_one_step_and_says_what_was_lost(walk):
    done = followed(walk)
    assert (done.n_points, done.n_landmarks) == (9, 1)
    assert [one.what for one in done.lost] == [f"Glove wrist, frames 13 to {N_FRAMES - 1}"]
    assert done.lost[0].why.startswith("The picture shows too little")
    assert walk.undo_stack.undoText() == "Track landmarks"
    assert set(origins(walk).values()) == {"placed", "tracked"}
    walk.undo()
    assert list(origins(walk)) == [2, 12]


def test_what_was_placed_or_hidden_meanwhile_stays(walk):
    footage = walk.footage("athlete")
    found = walk.tracking_work("athlete")(report)
    walk.show_frame("athlete", 5)
    walk.place_landmark("athlete", "left_wrist", 7.0, 8.0)
    walk.show_frame("athlete", 6)
    walk.set_hidden("athlete", "left_wrist", True)
    walk.take_tracking("athlete", footage, found)
    track = walk.camera("athlete").track("left_wrist")
    assert track.at(5).origin == "placed"
    assert track.at(5).x_px == 7.0
    assert track.at(6) is None
    assert track.at(7).origin == "tracked"


def test_other_pictures_take_nothing(walk):
    footage = walk.footage("athlete")
    found = walk.tracking_work("athlete")(report)
    camera = walk.camera("athlete")
    timing = replace(camera.timing, capture_rate_hz=240.0)
    changed = replace(walk.delivery("athlete"), cameras=(replace(camera, timing=timing),))
    walk.set_delivery("walk", changed)
    with pytest.raises(UsageError, match="changed while"):
        walk.take_tracking("athlete", footage, found)


def correct(session, frame=7, x_px=200.0):
    """Move the tracked wrist by hand; return what is heard of it."""
    heard = []
    session.corrected.connect(heard.append)
    session.show_frame("athlete", frame)
    session.place_landmark("athlete", "left_wrist", x_px, 80.0)
    session.corrected.disconnect(heard.append)
    return heard


def test_a_correction_is_told_only_where_something_is_tracked(walk):
    assert correct(walk) == []
    followed(walk)
    (one,) = correct(walk, 6)
    assert one == ("walk", "main", "left_wrist", 6)
    walk.set_following_corrections(False)
    assert correct(walk, 8) == []


def test_gaps_beside_a_correction_go_with_it_in_one_step(walk):
    followed(walk)
    n_steps = walk.undo_stack.count()
    heard = correct(walk)
    edit = walk.last_edit()
    walk.take_corrections(edit, walk.correction_work(heard)(report))
    track = walk.camera("athlete").track("left_wrist")
    # straight from 100 px in frame 2 to 200 in frame 7, and to 150 in frame 12
    assert track.at(6).x_px == pytest.approx(180.0)
    assert track.at(8).x_px == pytest.approx(190.0)
    assert walk.undo_stack.count() == n_steps + 1
    assert walk.undo_stack.undoText() == "Place left wrist"
    walk.undo()
    assert walk.camera("athlete").track("left_wrist").at(7).x_px == pytest.approx(125.0)
    walk.redo()
    assert walk.camera("athlete").track("left_wrist").at(6).x_px == pytest.approx(180.0)


def test_after_another_edit_they_are_a_step_of_their_own(walk):
    followed(walk)
    heard = correct(walk)
    edit = walk.last_edit()
    done = walk.correction_work(heard)(report)
    walk.mark_event("athlete", "release", 0.2)
    walk.take_corrections(edit, done)
    assert walk.undo_stack.undoText() == "Follow glove wrist anew"
    walk.undo()
    assert walk.camera("athlete").track("left_wrist").at(6).x_px == pytest.approx(120.0)
    assert "release" in walk.camera("athlete").marks
