from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from deliverylab.core.compare.align import Timeline
from deliverylab.core.errors import UsageError
from deliverylab.core.model.delivery import Camera, Mark
from deliverylab.core.model.timing import TimeRepair, Timing

MARKS_S = {"leg_lift": 0.25, "foot_contact": 1.15, "release": 1.295}


def camera(marks_s):
    return Camera(
        name="main",
        view="open-side",
        width_px=1280,
        height_px=720,
        timing=Timing(n_frames=480, stored_rate="240"),
        marks={event: Mark(time_s=time_s) for event, time_s in marks_s.items()},
    )


def test_anchors_of_the_phase_scale():
    # Kageyama et al. 2015, J Sports Sci Med 14:246-255, fig. 2: 0 % maximal knee height, 100 %
    # stride-foot contact, 200 % release
    line = Timeline.of(camera(MARKS_S))
    assert line.phase_at(list(MARKS_S.values())) == pytest.approx([0.0, 100.0, 200.0])
    assert line.time_at([0.0, 100.0, 200.0]) == pytest.approx(list(MARKS_S.values()))


def test_straight_between_anchors_and_on_beyond_them():
    line = Timeline.of(camera(MARKS_S))
    assert line.phase_at(0.25 + 0.45) == pytest.approx(50.0)
    assert line.phase_at(1.15 + 0.0725) == pytest.approx(150.0)
    # before leg lift as fast as the stride, after release as fast as the throw
    assert line.phase_at(0.25 - 0.09) == pytest.approx(-10.0)
    assert line.phase_at(1.295 + 0.0145) == pytest.approx(210.0)


def test_other_events_do_not_bend_the_scale():
    more = MARKS_S | {"hand_break": 0.5, "foot_plant": 1.18, "full_layback": 1.26, "finish": 1.34}
    assert Timeline.of(camera(more)) == Timeline.of(camera(MARKS_S))


anchored = st.lists(st.floats(0.0, 60.0), min_size=2, max_size=3).map(sorted)


@given(anchored, st.floats(-100.0, 100.0), st.floats(-1000.0, 1000.0))
def test_phase_and_time_undo_each_other(times_s, time_s, phase):
    assume(min(np.diff(times_s)) > 0.01)
    line = Timeline.of(camera(dict(zip(MARKS_S, times_s, strict=False))))
    # phases reach 1e6 where an interval is a hundredth of a second: ten digits are left
    assert line.time_at(line.phase_at(time_s)) == pytest.approx(time_s, abs=1e-7)
    assert line.phase_at(line.time_at(phase)) == pytest.approx(phase, abs=1e-4)
    # and they never run backwards
    assert line.phase_at(time_s + 0.01) > line.phase_at(time_s)


def test_the_same_throw_in_slow_motion_has_the_same_phases():
    slow = {event: 8.0 * time_s + 2.0 for event, time_s in MARKS_S.items()}
    times_s = np.linspace(0.0, 1.6, 33)
    fast_line, slow_line = Timeline.of(camera(MARKS_S)), Timeline.of(camera(slow))
    assert slow_line.phase_at(8.0 * times_s + 2.0) == pytest.approx(fast_line.phase_at(times_s))


@pytest.mark.parametrize("missing", list(MARKS_S))
def test_two_anchors_are_enough(missing):
    marks_s = {event: time_s for event, time_s in MARKS_S.items() if event != missing}
    line = Timeline.of(camera(marks_s))
    phases = {"leg_lift": 0.0, "foot_contact": 100.0, "release": 200.0}
    for event, time_s in marks_s.items():
        assert line.phase_at(time_s) == pytest.approx(phases[event])


@pytest.mark.parametrize("marks_s", [{}, {"release": 1.3}, {"leg_lift": 0.2, "foot_plant": 1.2}])
def test_fewer_are_refused_and_say_what_is_wanted(marks_s):
    with pytest.raises(UsageError, match="leg lift, foot contact, release") as refused:
        Timeline.of(camera(marks_s))
    assert "main" in refused.value.where
    assert Timeline.of_or_none(camera(marks_s)) is None


@pytest.mark.parametrize("contact_s", [0.25, 0.1, 1.295, 1.4])
def test_marks_out_of_order_or_at_one_instant_are_refused(contact_s):
    wrong = camera(MARKS_S | {"foot_contact": contact_s})
    with pytest.raises(UsageError, match="out of order"):
        Timeline.of(wrong)
    assert Timeline.of_or_none(wrong) is None
    assert Timeline.of_or_none(camera(MARKS_S)) is not None


def test_missing_time_gives_nan_and_shapes_are_kept():
    line = Timeline.of(camera(MARKS_S))
    phases = line.phase_at([[0.25, np.nan], [1.15, 1.295]])
    assert phases.shape == (2, 2)
    assert np.isnan(phases[0, 1])
    assert phases[1].tolist() == pytest.approx([100.0, 200.0])


def test_phase_runs_evenly_over_repaired_time():
    # the first half of the clip was really twice as long as its stamps say
    n_frames = 61
    own_s = np.arange(n_frames) / 30
    held_s = np.where(own_s < 1.0, 2.0 * own_s, own_s + 1.0)
    timing = Timing(
        n_frames=n_frames,
        stored_rate="30",
        repair=TimeRepair(times_s=tuple(held_s.tolist()), note=""),
    )
    marks = {"leg_lift": Mark(time_s=0.0), "foot_contact": Mark(time_s=2.0)}
    camera = Camera(name="main", view="rear", width_px=64, height_px=48, timing=timing, marks=marks)
    line = Timeline.of(camera)
    # 1 s of the clip's clock is 2 s of 3
    assert line.phase_at(1.0) == pytest.approx(200 / 3)
    assert line.time_at(line.phase_at([0.3, 1.0, 1.7])) == pytest.approx([0.3, 1.0, 1.7])
    assert line.phase_at([0.0, 2.0]) == pytest.approx([0.0, 100.0])
