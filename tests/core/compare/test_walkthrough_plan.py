from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.compare.walkthrough_plan import LEAD_S, cues_of, walked
from deliverylab.core.errors import UsageError
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.walkthrough import Stop, Walkthrough
from tests.core import walked_pair
from tests.core.walked_pair import MARKS_A, MARKS_B, delivery, pair

replace = msgspec.structs.replace
NAMES = ("Ana 1", "Model")


def _script(*stops, **fields):
    return Walkthrough(pair=NAMES, stops=stops, **fields)


def timeline(script, a, b, **fields):
    return cues_of(script, walked(a, b), **fields)


LIFT = Stop(event="leg_lift", pause_s=1.0)
CONTACT = Stop(event="foot_contact", pause_s=0.5)
RELEASE = Stop(event="release", pause_s=0.0)


def test_the_number_of_pictures_is_exact():
    cues = timeline(_script(LIFT, CONTACT, RELEASE), *pair())
    stops = [cue.stop for cue in cues]
    # one step is 1/120 real second: a quarter of real time at 30 pictures a second
    before, after = round(LEAD_S * 120), round(LEAD_S * 120)
    assert stops[:before] == [None] * before
    assert stops[before : before + 30] == [0] * 30
    assert stops.count(1) == 15
    assert stops.count(2) == 1, "an instant without a pause is seen once"
    between = (round(0.8 * 120) - 1) + (round(0.15 * 120) - 1)
    assert len(cues) == before + 30 + between + 15 + 1 + after


@pytest.mark.parametrize(("rate_hz", "speed"), [(30, 0.25), (60, 0.5), (25, 1.0), (30, 0.1)])
def test_the_movement_runs_at_the_scripts_speed(rate_hz, speed):
    cues = timeline(_script(LIFT, CONTACT, speed=speed), *pair(), rate_hz=rate_hz)
    running = [cue.athlete_s for cue in cues if cue.next_stop == 1 and cue.stop is None]
    steps_s = np.diff([MARKS_A["leg_lift"], *running, MARKS_A["foot_contact"]])
    np.testing.assert_allclose(steps_s, steps_s[0])
    n = max(1, round(0.8 * rate_hz / speed))
    assert steps_s[0] == pytest.approx(0.8 / n)


def test_both_stand_still_at_their_own_marks():
    cues = timeline(_script(LIFT, CONTACT, RELEASE), *pair())
    for number, event in enumerate(("leg_lift", "foot_contact", "release")):
        still = [cue for cue in cues if cue.stop == number]
        assert len(set(still)) == 1
        assert (still[0].athlete_s, still[0].model_s) == (MARKS_A[event], MARKS_B[event])
        assert still[0].athlete_frame == round(MARKS_A[event] * walked_pair.RATE_HZ)


def test_the_model_passes_an_event_between_the_stops_at_the_same_instant():
    cues = timeline(_script(LIFT, CONTACT), *pair())
    nearest = min(cues, key=lambda cue: abs(cue.athlete_s - MARKS_A["hand_break"]))
    assert nearest.model_s == pytest.approx(MARKS_B["hand_break"], abs=1.0 / 120)
    phases = [cue.phase for cue in cues]
    assert phases == sorted(phases)
    models = [cue.model_s for cue in cues]
    assert models == sorted(models)


def test_an_event_in_another_order_is_no_hinge():
    marks = MARKS_B | {"hand_break": 0.3}
    cues = timeline(_script(LIFT, CONTACT), pair()[0], delivery("Model", marks))
    models = [cue.model_s for cue in cues]
    assert models == sorted(models)


def test_slow_motion_counts_in_real_seconds():
    a, b = pair()
    slow = Timing(n_frames=120, stored_rate="60", capture_rate_hz=240.0)
    a = replace(a, cameras=(replace(a.cameras[0], timing=slow),))
    cues = timeline(_script(LIFT, CONTACT), a, b)
    between = [cue for cue in cues if cue.next_stop == 1 and cue.stop is None]
    assert len(between) == round(0.8 / 4.0 * 120) - 1


def test_going_back_is_a_cut():
    cues = timeline(_script(CONTACT, LIFT, CONTACT), *pair())
    stops = [cue.stop for cue in cues]
    assert stops[36 : 36 + 46] == [0] * 15 + [1] * 30 + [None]
    assert stops.count(2) == 15


def test_the_same_instant_twice_has_nothing_between():
    cues = timeline(_script(CONTACT, replace(CONTACT, caption="once more")), *pair())
    stops = [cue.stop for cue in cues]
    assert stops == [None] * 36 + [0] * 15 + [1] * 15 + [None] * 36


def test_it_begins_and_ends_within_the_trimmed_clip():
    a, b = pair()
    a = replace(a, cameras=(replace(a.cameras[0], first_frame=27, last_frame=93),))
    cues = timeline(_script(LIFT, RELEASE), a, b)
    assert cues[0].athlete_s == pytest.approx(27 / 60)
    assert cues[-1].athlete_s == pytest.approx(93 / 60)
    assert [cue.stop for cue in cues].index(0) == round((0.5 - 27 / 60) * 120)


def test_a_model_clip_that_is_shorter_stands_at_its_edge():
    a, _ = pair()
    b = delivery("Model", MARKS_B, first_frame=20, last_frame=100)
    frames = [cue.model_frame for cue in timeline(_script(LIFT, RELEASE), a, b)]
    assert (min(frames), max(frames)) == (20, 100)


def test_a_stop_may_be_at_a_phase():
    cues = timeline(_script(Stop(phase=50.0, pause_s=1.0)), *pair())
    (still,) = {cue for cue in cues if cue.stop is not None}
    assert still.phase == pytest.approx(50.0)
    assert still.athlete_s == pytest.approx(0.9)


def test_without_stops_the_movement_runs_through():
    cues = timeline(_script(), *pair())
    assert not any(cue.stop is not None for cue in cues)
    assert len(cues) == round((0.95 + 2 * LEAD_S) * 120) + 1
    assert cues[0].athlete_s == pytest.approx(MARKS_A["leg_lift"] - LEAD_S)


def test_a_stop_at_an_event_that_is_not_marked_says_whose():
    with pytest.raises(UsageError, match="full layback, which is not marked") as refusal:
        timeline(_script(Stop(event="full_layback")), *pair())
    assert "Ana 1" in refusal.value.where


@pytest.mark.parametrize(
    ("marks_a", "marks_b"),
    [
        (MARKS_A, {"leg_lift": 0.4}),
        ({"release": 1.0}, MARKS_B),
        ({"leg_lift": 0.5, "foot_contact": 1.3}, {"foot_contact": 1.3, "release": 1.5}),
    ],
)
def test_too_few_common_events_are_refused(marks_a, marks_b):
    with pytest.raises(UsageError):
        timeline(_script(LIFT), delivery("Ana 1", marks_a), delivery("Model", marks_b))


def test_clips_of_one_view_go_together():
    a, b = pair()
    rear = replace(walked_pair.camera(MARKS_A), name="rear", view="rear")
    both = walked(replace(a, cameras=(rear, a.cameras[0])), b)
    assert both.camera_a.name == "side"
    alone = walked(replace(a, cameras=(rear,)), b)
    assert alone.camera_a.name == "rear"


def test_without_clips_it_is_said():
    a, b = pair()
    with pytest.raises(UsageError, match="no clip"):
        walked(replace(a, cameras=()), b)


def test_a_pair_knows_its_events_and_its_sides():
    both = walked(*pair())
    assert both.events == tuple(MARKS_A)
    cue = cues_of(_script(LIFT, CONTACT), both)[0]
    assert both.side(cue, is_model=True) == (both.b, both.camera_b, cue.model_frame)
