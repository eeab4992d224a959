"""Going from place to place, asked of the session."""

from __future__ import annotations

import pytest

from deliverylab.core.model.track import Position, Track
from tests.shell.conftest import SCALE, delivery_of, figure_tracks

ALL_MARKS = {
    "leg_lift": 0.1,
    "foot_contact": 0.6,
    "foot_plant": 0.62,
    "full_layback": 0.7,
    "release": 0.75,
}
RESULTS_AT = {24: 16, 180: 15, 144: 14, 149: 6, 168: 6}
"""Frames of the events, that with most results first, and landmarks that results need there."""


@pytest.fixture
def bo(session):
    """One delivery seen from the side, all its events marked, nothing placed, at its first event."""
    session.add_delivery(delivery_of("Bo 1", marks=ALL_MARKS, scale=SCALE))
    session.undo_stack.clear()
    return session


def _place(session, x_px=100.0, y_px=100.0):
    """Place what is asked for, and return where that was."""
    frame, key = session.state("athlete").frame, session.next_landmark("athlete")
    session.place_landmark("athlete", key, x_px, y_px)
    return frame, key


def _place_all(session, n):
    return [_place(session) for _ in range(n)]


def test_from_event_to_event_the_one_with_most_results_first(bo):
    paused = []
    bo.flow_paused.connect(paused.append)
    assert bo.first_place("athlete")
    placed = _place_all(bo, sum(RESULTS_AT.values()))
    frames = [frame for frame, _ in placed]
    assert frames == [frame for frame, n in RESULTS_AT.items() for _ in range(n)]
    assert len(set(placed)) == len(placed) == 57
    assert paused == ["athlete"]
    assert bo.event_coverage("athlete") == dict.fromkeys(ALL_MARKS, 0)
    # it stays, and goes on to less urgent things only when asked
    assert bo.state("athlete").frame == 168
    assert bo.next_place()
    assert bo.plan("athlete").purpose_of((149, "head_top")) == "tracking"
    assert bo.state("athlete").frame == 149


def test_landmark_by_landmark_the_stage_goes_through_the_frames(bo):
    bo.first_place("athlete")
    bo.set_placing_order(True)
    placed = _place_all(bo, 7)
    assert placed[:4] == [
        (24, "head_top"),
        (144, "head_top"),
        (180, "head_top"),
        (24, "neck"),
    ]


def test_it_stays_where_it_is_when_it_is_not_to_go_on(bo):
    bo.first_place("athlete")
    bo.set_going_on(False)
    placed = _place_all(bo, 20)
    assert {frame for frame, _ in placed} == {24}
    assert bo.next_landmark("athlete") == ""
    assert bo.next_place()
    assert bo.state("athlete").frame == 180


def test_hidden_and_skipped_landmarks_lead_on_as_well(bo):
    bo.first_place("athlete")
    for n in range(16):
        if n % 2:
            bo.set_hidden("athlete", bo.next_landmark("athlete"), True)
        else:
            bo.skip_landmark("athlete")
    assert bo.state("athlete").frame == 180
    # what was skipped is not come back to by itself, but on wish
    _place_all(bo, 57 - 16)
    assert bo.state("athlete").frame == 168
    assert bo.next_place()
    assert (bo.state("athlete").frame, bo.next_landmark("athlete")) == (24, "head_top")


def test_a_frame_off_the_plan_is_finished_before_it_goes_on(bo):
    bo.show_frame("athlete", 77)
    placed = _place_all(bo, 20)
    assert {frame for frame, _ in placed} == {77}
    assert bo.state("athlete").frame == 24


def test_without_events_ten_frames_are_gone_through(session):
    session.add_delivery(delivery_of("Bo 1", scale=SCALE))
    session.first_place("athlete")
    placed = _place_all(session, 200)
    assert len(set(placed)) == 200
    assert list(dict.fromkeys(frame for frame, _ in placed)) == [
        0, 27, 53, 80, 106, 133, 159, 186, 212, 239,
    ]  # fmt: skip
    assert session.plan("athlete").asks == ()
    assert not session.next_place()


def test_undo_shows_what_it_takes_back_and_back_goes_to_what_was_placed(bo):
    bo.first_place("athlete")
    placed = _place_all(bo, 17)
    assert bo.state("athlete").frame == 180
    bo.undo()
    bo.undo()
    assert (bo.state("athlete").frame, bo.next_landmark("athlete")) == placed[15]
    bo.previous_place()
    assert (bo.state("athlete").frame, bo.current_landmark("athlete")) == placed[14]
    bo.previous_place()
    assert bo.current_landmark("athlete") == placed[13][1]


def test_tracked_positions_count_as_there_and_the_least_sure_is_looked_at(bo):
    tracks = {
        key: Track.of(
            (frame, Position(p.x_px, p.y_px, 9.0 if frame == 100 else 1.0, "tracked"))
            for frame, p in track
        )
        for key, track in figure_tracks(range(240)).items()
    }
    bo.add_delivery(delivery_of("Kim 1", marks=ALL_MARKS, scale=SCALE, tracks=tracks))
    bo.select("athlete", "Kim 1")
    bo.activate("athlete")
    assert bo.next_landmark("athlete") == ""
    assert bo.next_place()
    assert (bo.state("athlete").frame, bo.current_landmark("athlete")) == (100, "head_top")
    bo.accept_guess()  # it is right
    assert bo.camera("athlete").track("head_top").at(100).origin == "placed"
    bo.undo()
    assert bo.camera("athlete").track("head_top").at(100).origin == "tracked"


def test_a_plan_is_kept_while_positions_are_only_moved(bo):
    bo.first_place("athlete")
    _place(bo)
    plan, needs = bo.plan("athlete"), bo.needs("athlete")
    bo.place_landmark("athlete", "head_top", 200.0, 50.0)
    assert bo.plan("athlete") is plan
    assert bo.needs("athlete") is needs
    _place(bo)
    assert bo.plan("athlete") is not plan
