from __future__ import annotations

import pytest

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.vocabulary.landmarks import PLACING_ORDER, key_for_role
from deliverylab.core.workflow.placing_needs import n_results_at
from deliverylab.core.workflow.placing_plan import Ask, placing_plan

KEYS = tuple(key_for_role(role, "right") for role in PLACING_ORDER)
FRAMES = {
    "leg_lift": 24,
    "foot_contact": 144,
    "foot_plant": 149,
    "full_layback": 168,
    "release": 180,
}


def _camera(*, at=None, origin="placed", name="main", view="open-side", events=FRAMES, **parts):
    tracks = {
        key: Track.of((frame, Position(1.0, 2.0, None, origin)) for frame in frames)
        for key, frames in (at or {}).items()
    }
    return Camera(
        name=name,
        view=view,
        width_px=640,
        height_px=480,
        timing=Timing(n_frames=240, stored_rate="240"),
        marks={event: Mark(time_s=FRAMES[event] / 240) for event in events},
        tracks=tracks,
        **parts,
    )


def _plan(*cameras, hand="right"):
    delivery = Delivery(name="one", athlete=Athlete(name="Ana", hand=hand), cameras=cameras)
    return placing_plan(delivery, cameras[0])


def _stops(plan, purpose):
    return [stop for stop in plan.stops if stop.purpose == purpose]


def test_the_event_that_opens_most_results_comes_first():
    stops = _stops(_plan(_camera()), "results")
    assert [stop.event for stop in stops] == [
        "leg_lift",
        "release",
        "foot_contact",
        "foot_plant",
        "full_layback",
    ]
    assert [stop.frame for stop in stops] == [24, 180, 144, 149, 168]


@pytest.mark.parametrize("view", ["open-side", "closed-side", "rear", "front"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_at_an_event_what_its_results_need_from_this_view_comes_first(view, hand):
    plan = _plan(_camera(view=view), hand=hand)
    for stop in _stops(plan, "results"):
        wanted = n_results_at(stop.event, hand, view)
        assert set(stop.landmarks) == {key for key in wanted if key != "ball"}
        order = [plan.landmarks.index(key) for key in stop.landmarks]
        assert order == sorted(order)
        assert stop.landmarks
        assert plan.in_frame(stop.frame)[: len(stop.landmarks)] == stop.landmarks
        assert sorted(plan.in_frame(stop.frame)) == sorted(plan.landmarks)


def test_where_two_filmed_every_landmark_that_any_result_needs_comes_first():
    plan = _plan(_camera(view="rear"), _camera(name="side"))
    stops = {stop.event: stop for stop in _stops(plan, "results")}
    # from behind alone a knee is of no use
    assert "left_knee" in stops["foot_contact"].landmarks
    assert len(plan.asks) > len(_plan(_camera(view="rear")).asks) / 2


def test_without_events_ten_frames_are_spread_over_the_trimmed_clip():
    plan = _plan(_camera(events=(), first_frame=30, last_frame=210))
    assert [stop.frame for stop in plan.stops] == [30, 50, 70, 90, 110, 130, 150, 170, 190, 210]
    assert {stop.landmarks for stop in plan.stops} == {KEYS}
    assert plan.asks[:2] == (Ask(30, "head_top"), Ask(30, "neck"))
    assert _plan(_camera(events=(), last_frame=3)).n_of("tracking") == (0, 80)


def test_events_outside_the_trimmed_clip_are_not_gone_to():
    plan = _plan(_camera(first_frame=100, last_frame=175))
    assert [stop.event for stop in _stops(plan, "results")] == [
        "foot_contact",
        "foot_plant",
        "full_layback",
    ]
    assert all(100 <= stop.frame <= 175 for stop in plan.stops)


def test_what_is_there_from_anywhere_or_hidden_is_not_asked_for():
    for origin in ("placed", "tracked", "detected", "filled", "imported"):
        camera = _camera(at={"head_top": [24]}, origin=origin)
        assert Ask(24, "head_top") not in _plan(camera).asks
        assert Ask(180, "head_top") in _plan(camera).asks
    hidden = _camera(occluded={"head_top": (24,)})
    assert Ask(24, "head_top") not in _plan(hidden).asks


def test_positions_are_counted_by_what_they_are_for():
    plan = _plan(_camera(at={"head_top": [24, 180]}))
    assert plan.n_of("results") == (2, 57)
    assert sum(plan.n_of(purpose)[1] for purpose in ("results", "tracking", "rest")) == 200


def test_every_position_is_asked_for_once():
    plan = _plan(_camera())
    assert len(plan.asks) == len(set(plan.asks)) == 200


def _walk(plan, start, order, n):
    """Return where `after` leads, each place being passed over."""
    places, passed = [start], [start]
    while len(places) < n:
        following = plan.after(places[-1], order, passed)
        if following is None:
            break
        places.append(following)
        passed.append(following)
    return places


def test_frame_by_frame_a_pair_is_asked_for_together_and_then_the_next_event():
    plan = _plan(_camera())
    walk = _walk(plan, plan.asks[0], "frame", 500)
    assert walk == list(plan.asks[:57])
    first = [ask.landmark for ask in walk if ask.frame == 24]
    knee = first.index("right_knee")
    assert first[knee + 1] == "left_knee"


def test_landmark_by_landmark_the_frames_are_gone_through_in_order_of_time():
    plan = _plan(_camera())
    walk = _walk(plan, Ask(24, "head_top"), "landmark", 500)
    assert len(walk) == 57
    assert [ask.frame for ask in walk if ask.landmark == "left_knee"] == [24, 144, 149, 168, 180]
    keys = list(dict.fromkeys(ask.landmark for ask in walk))
    assert keys == [key for key in KEYS if key in keys]


def test_going_on_from_the_middle_comes_back_to_what_was_left():
    plan = _plan(_camera())
    # one landmark chosen out of turn: the frame goes on behind it, and round
    assert plan.after(Ask(24, "left_knee"), "frame") == Ask(24, "right_ankle")
    assert plan.after(Ask(24, "right_toe"), "frame") == Ask(24, "head_top")
    assert plan.after(Ask(149, "left_knee"), "landmark") == Ask(168, "left_knee")
    assert plan.after(Ask(180, "left_knee"), "landmark") == Ask(24, "left_knee")
    # off the plan: the most urgent place there is
    assert plan.after(Ask(77, "neck"), "frame").frame == 24


def test_a_frame_that_somebody_went_to_is_finished_first():
    needed = {stop.event: stop.landmarks for stop in _stops(_plan(_camera()), "results")}
    plan = _plan(_camera(at={key: [149] for key in needed["foot_plant"]}))
    rest = [key for key in KEYS if key not in needed["foot_plant"]]
    assert plan.in_frame(149) == (
        *[key for key in rest if plan.purpose_of(Ask(149, key)) == "tracking"],
        *[key for key in rest if plan.purpose_of(Ask(149, key)) == "rest"],
    )
    n_moving = sum(plan.purpose_of(Ask(149, key)) == "tracking" for key in rest)
    walk = _walk(plan, Ask(149, plan.in_frame(149)[0]), "frame", n_moving + 1)
    # what speeds need is finished here before the events elsewhere, the feet and hands later
    assert {ask.frame for ask in walk[:-1]} == {149}
    assert walk[-1] == Ask(24, "head_top")


def test_in_a_frame_what_is_urgent_comes_first_from_where_the_hand_is():
    plan = _plan(_camera())
    assert plan.next_in_frame(KEYS, 149, "") == "right_shoulder"
    assert plan.next_in_frame(KEYS, 149, "left_hip") == "left_hip"
    assert plan.next_in_frame(["neck", "head_top"], 149, "left_hip") == "head_top"
    assert plan.next_in_frame(KEYS, 77, "neck") == "neck"
    assert plan.next_in_frame([], 77, "neck") == ""


def test_to_less_urgent_things_it_does_not_lead_by_itself():
    needed = {}
    for stop in _stops(_plan(_camera()), "results"):
        for key in stop.landmarks:
            needed.setdefault(key, []).append(stop.frame)
    last = Ask(168, "left_ankle")
    assert last in _plan(_camera()).asks
    done = _plan(_camera(at=needed))
    assert done.n_of("results") == (57, 57)
    assert done.after(last, "frame") is None
    # but a person may go there, and from there it leads on
    place = done.place_after(168)
    assert done.purpose_of(place) == "tracking"
    assert done.purpose_of(done.after(place, "frame")) == "tracking"


def test_from_place_to_place_it_goes_round():
    plan = _plan(_camera())
    frames, frame = [], 24
    for _ in range(10):
        frame = plan.place_after(frame).frame
        frames.append(frame)
    assert frames[:4] == [180, 144, 149, 168]
    assert len(set(frames)) == 10
    assert frames[-1] == 24
    assert plan.place_after(77) == plan.asks[0]
    everything = _plan(_camera(at=dict.fromkeys(KEYS, range(240)), origin="tracked"))
    assert everything.asks == ()
    assert everything.place_after(24) is None
