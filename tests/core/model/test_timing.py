from __future__ import annotations

from fractions import Fraction

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.timing import TimeRepair, Timing
from tests.core.model.records import N_FRAMES, timings


def test_an_odd_rate_stays_a_fraction():
    timing = Timing(n_frames=30_001, stored_rate="30000/1001")
    assert Fraction(timing.stored_rate) == Fraction(30000, 1001)
    # 30000 frames of 1001/30000 s last 1001 s to the last digit
    assert timing.times_s[-1] == 1001.0
    assert timing.stored_rate_hz == pytest.approx(29.97002997)
    assert timing.interval_s == pytest.approx(1001 / 30000, rel=1e-15)


def test_slow_motion_has_a_clock_of_its_own():
    # taken at 240, stored as 30: a second of the clip is an eighth of a real one
    timing = Timing(n_frames=100, stored_rate="30", capture_rate_hz=240.0)
    assert timing.true_rate_hz == 240.0
    assert timing.real_per_clip == pytest.approx(1 / 8)
    assert timing.interval_s * timing.real_per_clip == pytest.approx(1 / 240)


def test_in_real_time_both_clocks_agree():
    timing = Timing(n_frames=100, stored_rate="240")
    assert timing.true_rate_hz == 240.0
    assert timing.real_per_clip == 1.0


def test_uneven_stamps_are_used_as_they_are():
    timing = Timing(n_frames=4, stored_rate="25", stamps_s=(0.0, 0.04, 0.09, 0.12))
    assert timing.times_s.tolist() == [0.0, 0.04, 0.09, 0.12]
    assert timing.frame_position(0.065) == pytest.approx(1.5)
    assert [timing.frame_at(time_s) for time_s in (-1.0, 0.019, 0.07, 9.0)] == [0, 0, 2, 3]


def test_beyond_the_clip_positions_run_on_evenly():
    timing = Timing(n_frames=11, stored_rate="100")
    assert timing.frame_position(-0.02) == pytest.approx(-2.0)
    assert timing.frame_position(0.13) == pytest.approx(13.0)


@given(timing=timings, frame=st.integers(0, N_FRAMES - 1))
def test_a_frames_time_leads_back_to_the_frame(timing, frame):
    time_s = float(timing.times_s[frame])
    assert timing.frame_at(time_s) == frame
    assert timing.frame_position(time_s) == pytest.approx(frame, abs=1e-6)


@given(timing=timings)
def test_times_ascend_and_cannot_be_written_into(timing):
    times_s = timing.times_s
    assert len(times_s) == timing.n_frames
    assert np.all(np.diff(times_s) > 0)
    with pytest.raises(ValueError, match="read-only"):
        times_s[0] = 1.0


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"n_frames": 0}, "at least one frame"),
        ({"stored_rate": "fast"}, "240 or 30000/1001"),
        ({"stored_rate": "30/0"}, "stored rate"),
        ({"stored_rate": "0"}, "stored rate"),
        ({"stored_rate": "-30"}, "stored rate"),
        ({"stored_rate": "nan"}, "stored rate"),
        ({"stored_rate": "10001"}, "stored rate"),
        ({"stamps_s": (0.0, 0.1)}, "2 and 3"),
        ({"capture_rate_hz": 0.0}, "capture rate"),
        ({"capture_rate_hz": float("nan")}, "capture rate"),
        ({"capture_rate_hz": 20_000.0}, "capture rate"),
    ],
)
def test_what_no_camera_does_is_refused(change, said):
    facts = {"n_frames": 3, "stored_rate": "30"}
    assert Timing(**facts).n_frames == 3
    with pytest.raises(InputValueError, match=said):
        Timing(**(facts | change))


def test_a_copy_with_another_capture_rate_leaves_the_original():
    timing = Timing(n_frames=3, stored_rate="30")
    slow = msgspec.structs.replace(timing, capture_rate_hz=120.0)
    assert (timing.true_rate_hz, slow.true_rate_hz) == (30.0, 120.0)


def test_the_interval_beside_a_time_is_the_longer_one():
    uneven = Timing(n_frames=4, stored_rate="30", stamps_s=(0.0, 0.03, 0.1, 0.13))
    assert uneven.interval_near_s(0.0) == pytest.approx(0.03)
    assert uneven.interval_near_s(0.03) == pytest.approx(0.07)
    assert uneven.interval_near_s(0.1) == pytest.approx(0.07)
    assert uneven.interval_near_s(0.13) == pytest.approx(0.03)
    even = Timing(n_frames=4, stored_rate="30")
    assert even.interval_near_s(0.1) == even.interval_s
    alone = Timing(n_frames=1, stored_rate="30", stamps_s=(0.0,))
    assert alone.interval_near_s(0.0) == alone.interval_s


# ----------------------------------------------------------------------------- repaired axis

REPAIRED = Timing(
    n_frames=7,
    stored_rate="30",
    # 25 pictures a second stored as 30: the fourth picture is shown twice
    repair=TimeRepair(times_s=(0.0, 0.04, 0.08, 0.12, 0.12, 0.16, 0.2), note="25 stored as 30"),
)


def test_a_repaired_axis_gives_real_times_and_leaves_the_clips_own_clock():
    assert REPAIRED.times_s[4] == pytest.approx(4 / 30)
    assert REPAIRED.real_s(REPAIRED.times_s) == pytest.approx(REPAIRED.repair.times_s)
    assert REPAIRED.true_rate_hz == pytest.approx(25.0)
    # on both sides of the clip time goes on as before
    assert REPAIRED.real_s([-0.1, 0.3]) == pytest.approx([-0.1, 0.3])


def test_a_capture_rate_works_on_top_of_a_repair():
    slow = msgspec.structs.replace(REPAIRED, capture_rate_hz=240.0)
    assert slow.real_s(slow.times_s[-1]) == pytest.approx(0.2 / 8)
    assert slow.true_rate_hz == pytest.approx(200.0)


def test_real_time_leads_back_to_the_clips_clock():
    real_s = np.array([0.0, 0.05, 0.11, 0.17, 0.2])
    assert REPAIRED.real_s(REPAIRED.clip_s(real_s)) == pytest.approx(real_s)
    even = Timing(n_frames=5, stored_rate="30", capture_rate_hz=240.0)
    assert even.clip_s(even.real_s(0.1)) == pytest.approx(0.1)


def test_beside_a_repeat_an_event_is_known_to_the_longer_step():
    assert REPAIRED.interval_near_s(4 / 30) == pytest.approx(0.04)


@pytest.mark.parametrize("times_s", [(0.0, 0.1), (0.0, 0.2, 0.1), (0.0, 0.0, 0.0)])
def test_repairs_that_cannot_be_are_refused(times_s):
    with pytest.raises(InputValueError):
        Timing(n_frames=3, stored_rate="30", repair=TimeRepair(times_s=times_s, note=""))
