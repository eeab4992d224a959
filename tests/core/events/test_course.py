from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.events.course import (
    LEAST_SAMPLES,
    Course,
    Found,
    Outcome,
    fitted_extreme,
    settling,
    without_wild,
)

TIMES_S = np.arange(240) / 240.0


def line(noise_m=0.0, seed=0):
    rng = np.random.default_rng(seed)
    places = np.stack((2.0 * TIMES_S, 1.0 - TIMES_S), axis=-1)
    return places + rng.normal(0.0, noise_m, places.shape)


def test_few_positions_are_no_course():
    places = line()
    places[LEAST_SAMPLES - 1 :] = np.nan
    assert Course.of(TIMES_S, places, 0.03) is None
    assert Course.of(TIMES_S, line(), 0.03) is not None


def test_a_line_keeps_place_and_velocity_and_a_gap_stays_open():
    places = line()
    places[100:140] = np.nan
    course = Course.of(TIMES_S, places, 0.03)
    inside = np.abs(course.grid_s - 0.5) < 0.05
    assert np.isnan(course.on_grid.value[inside]).all()
    known = np.isfinite(course.velocity_m_s[:, 0])
    assert course.velocity_m_s[known] == pytest.approx(
        np.broadcast_to([2.0, -1.0], (known.sum(), 2))
    )
    assert course.speed_m_s[known] == pytest.approx(np.sqrt(5.0))


def test_no_velocity_is_told_at_the_very_ends():
    course = Course.of(TIMES_S, line(), 0.03)
    assert np.isnan(course.velocity_m_s[[0, -1]]).all()


def test_a_slow_camera_gets_a_wider_window():
    assert Course.of(TIMES_S[::8], line()[::8], 0.03).half_width_s == pytest.approx(0.1)


def test_the_scatter_of_positions_is_read_off_what_smoothing_leaves():
    scatters = [Course.of(TIMES_S, line(0.008, seed), 0.03).scatter for seed in range(20)]
    # 480 absolute values each: a median is known to some 6 %, the mean of 20 to 2 %
    assert np.mean(scatters) == pytest.approx(0.008, rel=0.04)


def test_an_extreme_lies_between_frames():
    values = 1.0 - 3.0 * (TIMES_S - 0.5013) ** 2
    found = fitted_extreme(TIMES_S, values, 0.5, degree=2, order=1)
    assert found.time_s == pytest.approx(0.5013, abs=1e-9)


def test_the_extreme_of_a_speed_is_an_order_higher():
    values = 5.0 * TIMES_S - (TIMES_S - 0.4021) ** 3
    found = fitted_extreme(TIMES_S, values, 0.4, degree=3, order=2)
    assert found.time_s == pytest.approx(0.4021, abs=1e-9)


@pytest.mark.parametrize(("degree", "order"), [(2, 1), (4, 1), (3, 2)])
def test_the_stated_u_of_an_extreme_is_that_of_repeats(degree, order):
    rng = np.random.default_rng(1)
    swing = TIMES_S - 0.5
    truth = -3.0 * swing**2 if order == 1 else 4.0 * swing - 8.0 * swing**3
    found = [
        fitted_extreme(
            TIMES_S, truth + rng.normal(0.0, 0.01, len(TIMES_S)), 0.5, degree=degree, order=order
        )
        for _ in range(400)
    ]
    errors = np.array([each.time_s for each in found]) - 0.5
    # 400 draws: a standard deviation is known to 3.5 %
    assert np.std(errors) == pytest.approx(np.mean([each.u_s for each in found]), rel=0.12)


def test_no_extreme_between_the_samples_is_none():
    assert fitted_extreme(TIMES_S, TIMES_S**2 + TIMES_S, 0.5, degree=2, order=1) is None
    assert fitted_extreme(TIMES_S[:3], TIMES_S[:3], 0.0, degree=2, order=1) is None


def test_a_course_settles_where_it_first_comes_down_to_the_level():
    heights = np.maximum(0.1 - 0.5 * (TIMES_S - 0.5), 0.0)
    heights[200] = 0.015  # noise while it rests, below twice the level
    time_s = settling(TIMES_S, heights, 0.01, after_s=0.0, before_s=1.0)
    assert time_s == pytest.approx(0.68, abs=1e-6)


def test_a_course_that_was_never_well_above_does_not_settle():
    heights = np.full(len(TIMES_S), 0.015)
    assert settling(TIMES_S, heights, 0.01, after_s=0.0, before_s=1.0) is None
    heights = 0.5 - 0.1 * TIMES_S
    assert settling(TIMES_S, heights, 0.01, after_s=0.0, before_s=1.0) is None


def test_an_instant_moves_and_stays_as_sure():
    assert Found(1.0, 0.002).later(0.01) == Found(1.01, 0.002)


def test_nothing_found_says_why():
    nothing = Outcome.nothing("track the knee")
    assert (nothing.found, nothing.rule, nothing.why) == (None, "", "track the knee")


def test_wild_places_are_left_out_and_all_others_kept():
    places = line(0.008)
    places[[50, 51, 120]] += 0.5
    places[70:75] = np.nan
    kept = without_wild(TIMES_S, places)
    assert np.isnan(kept[[50, 51, 120]]).all()
    gone = np.isnan(kept).any(axis=1)
    assert sorted(np.flatnonzero(gone)) == [50, 51, *range(70, 75), 120]


@pytest.mark.parametrize("rate_hz", [60.0, 240.0])
def test_a_hand_that_turns_round_fast_is_not_wild(rate_hz):
    times_s = np.arange(0.0, 0.5, 1.0 / rate_hz)
    # 25 m/s around a shoulder 0.35 m away
    turn = 25.0 / 0.35 * (times_s - 0.251)
    arc = 0.35 * np.stack((np.sin(turn), np.cos(turn)), axis=-1)
    assert np.isfinite(without_wild(times_s, arc)).all()


def test_too_few_places_are_left_as_they_are():
    assert without_wild(TIMES_S[:4], line()[:4]) == pytest.approx(line()[:4])
