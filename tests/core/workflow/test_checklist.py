from __future__ import annotations

import pytest

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import replace
from deliverylab.core.model.delivery import Camera, ClipReference, Delivery, Mark
from deliverylab.core.model.plan import Plan, Priority
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.vocabulary.landmarks import PLACING_ORDER, key_for_role
from deliverylab.core.workflow.checklist import KEY_EVENTS, checklist

KEYS = [key_for_role(role, "right") for role in PLACING_ORDER]
FRAMES = {key: 10 * number for number, key in enumerate(KEY_EVENTS)}


def _camera(**parts):
    timing = Timing(n_frames=100, stored_rate="100")
    usual = {"name": "main", "view": "rear", "width_px": 640, "height_px": 480, "timing": timing}
    return Camera(**(usual | parts))


def _delivery(*cameras, name="one"):
    return Delivery(name=name, athlete=Athlete(name="Ana"), cameras=cameras)


SCALE = PlanarScale(a=Point(0.0, 0.0), b=Point(100.0, 0.0), length_m=1.0)
MARKS = {key: Mark(time_s=frame / 100) for key, frame in FRAMES.items()}
TRACKS = {key: Track.of((f, Position(1.0, 2.0)) for f in FRAMES.values()) for key in KEYS}
FINISHED = _camera(scale=SCALE, marks=MARKS, tracks=TRACKS)


def _states(*deliveries):
    return [step.state for step in checklist(*deliveries)]


def test_the_steps_stand_in_the_order_of_the_job():
    names = [step.name for step in checklist(None)]
    assert names == ["Clip", "Scale", "Events", "Landmarks", "Compare", "Plan", "Page"]


def test_nothing_yet_means_a_clip_is_next():
    assert _states(None) == ["next"] + ["missing"] * 6
    assert checklist(None)[0].detail == "open a clip"


def test_the_first_step_that_is_not_done_is_next():
    assert _states(_delivery(_camera())) == ["done", "next"] + ["missing"] * 5
    scaled = _camera(scale=SCALE)
    assert _states(_delivery(scaled)) == ["done", "done", "next"] + ["missing"] * 4
    late = _camera(marks=MARKS)
    assert _states(_delivery(late)) == ["done", "next", "done"] + ["missing"] * 4


def test_two_finished_deliveries_are_ready_for_a_plan_and_the_page():
    both = _delivery(FINISHED), _delivery(FINISHED, name="two")
    assert _states(*both) == ["done"] * 5 + ["next", "missing"]
    assert [step.detail for step in checklist(*both)[4:]] == [
        "one with two", "choose what to work on", "write the page",
    ]  # fmt: skip
    assert _states(both[0]) == ["done"] * 4 + ["next", "missing", "missing"]
    assert checklist(both[0])[-1].detail == "after the comparison"
    plan = Plan(
        priorities=(Priority(metric="stride_length", way="more"),), recheck_date="2026-06-04"
    )
    planned = replace(both[0], plan=plan)
    assert _states(planned, both[1]) == ["done"] * 6 + ["next"]
    assert (
        checklist(planned, both[1])[5].detail == "1 thing to work on, until 4\u00a0June\u00a02026"
    )


def test_where_nothing_differs_there_is_nothing_to_plan():
    both = _delivery(FINISHED), _delivery(FINISHED, name="two")
    steps = checklist(*both, None, lambda: False)
    assert [step.state for step in steps] == ["done"] * 6 + ["next"]
    assert steps[5].detail == "nothing clear to work on"
    assert checklist(*both, None, lambda: True)[5].state == "next"
    # it is not asked before there is a comparison
    assert checklist(both[0], None, None, pytest.fail)[5].state == "missing"


def test_published_means_are_a_partner():
    one = _delivery(FINISHED)
    record = ProjectRecord(deliveries=(one,), partner_set="published college")
    step = checklist(one, None, record)[-3]
    assert (step.state, step.detail) == ("done", "one with published college")


def test_a_step_is_done_when_it_is_done_for_both_and_says_for_whom_it_is_not():
    steps = checklist(_delivery(FINISHED), _delivery(_camera(), name="two"))
    assert [step.state for step in steps] == ["done", "next"] + ["missing"] * 5
    assert steps[1].detail == "two: two points and their distance"
    assert steps[2].detail.startswith("two: mark leg lift, foot contact")


def test_the_landmark_step_counts_what_results_need_and_says_what_comes_next():
    tracks = dict(TRACKS)
    tracks["left_knee"] = Track.of([(FRAMES["leg_lift"], Position(1.0, 2.0))])
    camera = _camera(scale=SCALE, marks=MARKS, tracks=tracks, view="open-side")
    step = checklist(_delivery(camera))[3]
    assert step.state == "next"
    # the knee at four events, each of which gives its flexion there
    assert step.detail.startswith("53 of 57 points; 1 more point gives lead knee flexion at ")
    # from behind a knee tells nothing
    assert checklist(_delivery(_camera(scale=SCALE, marks=MARKS, tracks=tracks)))[3].state == "done"


def test_a_hidden_landmark_is_settled():
    hidden = {"left_knee": tuple(FRAMES.values())}
    tracks = {key: track for key, track in TRACKS.items() if key != "left_knee"}
    camera = _camera(scale=SCALE, marks=MARKS, tracks=tracks, occluded=hidden)
    assert checklist(_delivery(camera))[3].state == "done"


def test_positions_from_elsewhere_need_no_clip():
    assert checklist(_delivery(_camera()))[0].detail == "positions from elsewhere"
    clip = ClipReference(path="a.mp4", size_bytes=1, head_sha256="", tail_sha256="")
    assert checklist(_delivery(_camera(clip=clip)))[0].detail == "1 clip"
    assert checklist(_delivery())[0].state == "next"


def test_with_two_cameras_the_one_without_a_scale_is_named():
    step = checklist(_delivery(FINISHED, _camera(name="second")))[1]
    assert step.state == "next"
    assert step.detail == "two points and their distance (second), or solve the cameras"


def test_events_without_positions_ask_for_positions_and_none_for_events_first():
    assert checklist(_delivery(_camera(scale=SCALE)))[3].detail == "after the events"
    marked = _camera(scale=SCALE, marks={"release": Mark(time_s=0.5)})
    assert checklist(_delivery(marked))[3].detail.startswith("0 of 5 points; ")
