"""What is drawn besides the body, at which frames."""

from __future__ import annotations

from deliverylab.shell.drawing.annotations import ScaleLine
from deliverylab.shell.drawing.measure_marks import MeasureMarks
from deliverylab.shell.stage_marks import NEAR_FRAMES, measured, stage_annotations
from tests.shell.filmed_twice import filmed_twice

__all__ = ["filmed_twice"]


def kinds(session, **options):
    drawn = stage_annotations(session, "athlete", is_scale_seen=options.get("is_scale_seen", True))
    return {type(one) for one in drawn}


def test_the_events_measurements_stand_at_its_frame_and_fade_beside_it(placed_pair):
    placed_pair.go_to_event("release")
    (here,) = measured(placed_pair, "athlete")
    assert {"lead_knee_flexion", "trunk_forward_tilt"} <= {mark.metric for mark in here.marks}
    assert (here.is_own_frame, here.event) == (True, "release")
    assert here.body
    placed_pair.step(1)
    (near,) = measured(placed_pair, "athlete")
    assert near.marks == here.marks, "they stay where they were measured"
    assert not near.is_own_frame
    placed_pair.step(NEAR_FRAMES)
    assert measured(placed_pair, "athlete") == ()


def test_they_are_left_out_when_unwanted_while_it_plays_and_when_places_are_hidden(placed_pair):
    placed_pair.go_to_event("release")
    assert MeasureMarks in kinds(placed_pair)
    placed_pair.set_measures(False)
    assert kinds(placed_pair) == {ScaleLine}
    placed_pair.set_measures(True)
    placed_pair.toggle_play()
    assert MeasureMarks not in kinds(placed_pair)
    placed_pair.pause()
    assert MeasureMarks in kinds(placed_pair)
    placed_pair.hide_places("athlete", True)
    assert kinds(placed_pair) == set()


def test_the_scale_is_left_to_the_form_that_sets_it(placed_pair):
    assert ScaleLine in kinds(placed_pair)
    assert ScaleLine not in kinds(placed_pair, is_scale_seen=False)


def test_what_one_clip_marks_is_drawn_in_the_others_of_a_solved_delivery(filmed_twice):
    filmed_twice.go_to_event("release")
    assert "release" not in filmed_twice.delivery("athlete").cameras[1].marks
    filmed_twice.select("athlete", filmed_twice.state("athlete").delivery, "rear")
    filmed_twice.go_to_event("release")
    (drawn,) = measured(filmed_twice, "athlete")
    assert "arm_slot" in {mark.metric for mark in drawn.marks}
