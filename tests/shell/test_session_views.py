from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import SetDelivery
from tests.shell.conftest import MARKS_A, camera_of, delivery_of, figure_tracks
from tests.shell.filmed_twice import filmed_twice, named, put

__all__ = ["filmed_twice"]


def _offset_s(session):
    return session.delivery("athlete").space.camera("rear").offset_s


def test_the_other_clip_comes_beside_and_nothing_is_edited(filmed_twice):
    session = filmed_twice
    session.set_both_clips(True)
    assert session.shows_both_clips
    shown = [
        (session.state(side).delivery, session.state(side).camera) for side in ("athlete", "model")
    ]
    assert shown == [("Ana 3", "open-side"), ("Ana 3", "rear")]
    assert session.partner().name == "Bo model", "what is compared stays"
    assert session.record.pair == ("Ana 3", "Bo model")
    assert not session.undo_stack.count()
    session.set_both_clips(False)
    assert session.delivery("model").name == "Bo model"
    assert not session.undo_stack.count()


def test_the_other_clip_shows_the_same_instant(filmed_twice):
    session = filmed_twice
    session.set_both_clips(True)
    offset_s = _offset_s(session)
    for frame in (60, 150, 290):
        session.show_frame("athlete", frame)
        other_s = session.time_s("model") + offset_s
        assert other_s == pytest.approx(session.time_s("athlete"), abs=0.5 / 240 + 1e-6)
    session.activate("model")
    session.step(10)
    own_s = session.time_s("model") + offset_s
    assert session.time_s("athlete") == pytest.approx(own_s, abs=0.5 / 240 + 1e-6)


def test_unlinked_the_other_clip_stays(filmed_twice):
    session = filmed_twice
    session.set_both_clips(True)
    session.set_linked(False)
    before = session.state("model").frame
    session.show_frame("athlete", 200)
    assert session.state("model").frame == before


def test_events_of_one_clip_are_known_in_the_other(filmed_twice):
    session = filmed_twice
    session.select("athlete", "Ana 3", "rear")
    assert not session.camera("athlete").marks
    session.go_to_event("foot_contact")
    assert session.event_at_frame("athlete") == "foot_contact"
    contact_s = session.delivery("athlete").camera("open-side").marks["foot_contact"].time_s
    assert session.time_s("athlete") + _offset_s(session) == pytest.approx(contact_s, abs=0.5 / 240)
    assert session.phase("athlete") == pytest.approx(100.0, abs=1.0)
    assert session.event_at_frame("model") == "foot_contact", "the partner is at its own"
    session.next_event(1)
    assert session.event_at_frame("athlete") == "foot_plant"


def test_a_mark_moved_in_one_clip_moves_the_phase_of_the_other(filmed_twice):
    session = filmed_twice
    session.select("athlete", "Ana 3", "rear")
    session.go_to_event("foot_contact")
    before = session.phase("athlete")
    side = session.delivery("athlete").camera("open-side")
    marks = side.marks | {
        "foot_contact": msgspec.structs.replace(
            side.marks["foot_contact"], time_s=side.marks["foot_contact"].time_s + 0.05
        )
    }
    cameras = tuple(
        msgspec.structs.replace(one, marks=marks) if one.name == "open-side" else one
        for one in session.delivery("athlete").cameras
    )
    changed = msgspec.structs.replace(session.delivery("athlete"), cameras=cameras)
    session.project.apply(SetDelivery(name="Ana 3", delivery=changed))
    assert session.phase("athlete") < before - 2.0


def test_a_delivery_of_one_clip_has_no_other(placed_pair):
    with pytest.raises(InputValueError, match="one clip"):
        placed_pair.set_both_clips(True)
    assert placed_pair.delivery("model").name == "Kim model"


def test_two_clips_that_are_not_solved_follow_by_phase_where_both_are_marked(session):
    tracks = figure_tracks([24])
    first = delivery_of("Bo 1", marks=MARKS_A, tracks=tracks)
    rear = camera_of(name="rear", view="rear", marks={"leg_lift": 0.2, "foot_contact": 0.7})
    put(session, msgspec.structs.replace(first, cameras=(*first.cameras, rear)))
    session.set_both_clips(True)
    assert session.partner() is None
    session.show_frame("athlete", 144)
    assert session.time_s("model") == pytest.approx(0.7, abs=0.003)


def test_the_other_clip_stays_beside_while_facts_change(filmed_twice):
    session = filmed_twice
    session.set_both_clips(True)
    session.set_title("Visit three")
    assert session.shows_both_clips
    session.select("model", "Bo model")
    assert not session.shows_both_clips
    assert session.record.pair == ("Ana 3", "Bo model")


def test_another_clip_chosen_on_the_stage_is_no_pair(filmed_twice):
    session = filmed_twice
    session.set_both_clips(True)
    session.select("athlete", "Ana 3", "rear")
    assert session.record.pair == ("Ana 3", "Bo model")
    assert not session.undo_stack.count()


def test_guides_are_for_the_landmark_asked_for_and_the_current_one(filmed_twice):
    session = filmed_twice
    session.select("athlete", "Ana 3", "rear")
    session.show_frame("athlete", 200)
    session.remove_landmark("athlete", "left_elbow")
    session.choose_landmark("athlete", "left_elbow")
    session.choose_landmark("athlete", "right_knee")
    asked, current = session.guides("athlete")
    assert [one.landmark for one in asked] == ["left_elbow"]
    assert [one.landmark for one in current] == ["right_knee"]
    assert current[0].is_beyond_chance
    session.set_sight_lines(False)
    assert session.guides("athlete") == ((), ())


def test_a_point_is_looked_at_where_its_clip_is_shown(filmed_twice):
    session = filmed_twice
    assert session.look_at_point("Ana 3", "rear", 200, "right_knee") == "athlete"
    assert session.state("athlete").camera == "rear"
    assert session.state("athlete").frame == 200
    assert session.current_landmark("athlete") == "right_knee"
    session.select("athlete", "Ana 3", "open-side")
    session.set_both_clips(True)
    assert session.look_at_point("Ana 3", "rear", 240, "left_wrist") == "model"
    assert session.active_side == "model"
    assert session.current_landmark("model") == "left_wrist"
    assert not session.undo_stack.count()


def test_differences_are_still_those_with_the_partner(filmed_twice):
    session = filmed_twice
    before = {(one.metric, one.event): one.d for one in session.differences()}
    session.set_both_clips(True)
    assert {(one.metric, one.event): one.d for one in session.differences()} == before
    assert named(2, "Bo model").name in session.checklist()[4].detail


def test_a_refused_solve_links_no_clocks(filmed_twice):
    session = filmed_twice
    own = session.delivery("athlete")
    refused = msgspec.structs.replace(own.space, trust="refused")
    changed = msgspec.structs.replace(own, space=refused)
    session.project.apply(SetDelivery(name="Ana 3", delivery=changed))
    session.set_both_clips(True)
    assert session.on_other_clock_s("athlete", 0.5) is None
    assert session.partner_time_s("athlete") is None
    assert session.guides("athlete") == ((), ())
