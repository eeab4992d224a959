from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import savgol_coeffs, savgol_filter

from deliverylab.core.numerics.local_fit import LocalFit, local_fit, u_of_smoothing

RATE_HZ = 240.0


def _uneven_times(seed: int = 1) -> np.ndarray:
    rng = np.random.default_rng(seed)
    return np.cumsum(rng.uniform(0.5, 1.5, 200)) / RATE_HZ


# ---------------------------------------------------------------- an independent implementation


@pytest.mark.parametrize("half_frames", [4, 12, 17])
@pytest.mark.parametrize("degree", [2, 3, 4])
def test_even_times_against_savitzky_and_golay(half_frames, degree):
    times_s = np.arange(150) / RATE_HZ
    samples = np.random.default_rng(2).normal(size=150)
    fit = local_fit(times_s, samples, times_s, half_width_s=half_frames / RATE_HZ, degree=degree)
    window = 2 * half_frames + 1
    inner = slice(half_frames, 150 - half_frames)
    smooth = savgol_filter(samples, window, degree)
    slope = savgol_filter(samples, window, degree, deriv=1, delta=1.0 / RATE_HZ)
    # two ways to solve normal equations of condition about 1e4: twelve digits are left
    assert fit.value[inner] == pytest.approx(smooth[inner], abs=1e-10)
    assert fit.slope[inner] == pytest.approx(slope[inner], abs=1e-10 * RATE_HZ)


@pytest.mark.parametrize("half_frames", [4, 12])
def test_gain_against_the_weights_of_savitzky_and_golay(half_frames):
    times_s = np.arange(60) / RATE_HZ
    fit = local_fit(
        times_s, np.zeros(60), times_s[30:31], half_width_s=half_frames / RATE_HZ, degree=3
    )
    window = 2 * half_frames + 1
    value_weights = savgol_coeffs(window, 3)
    slope_weights = savgol_coeffs(window, 3, deriv=1, delta=1.0 / RATE_HZ)
    # independent samples: the gain is the root of the sum of the squared weights; ten digits
    assert fit.value_gain[0] == pytest.approx(np.linalg.norm(value_weights), rel=1e-10)
    assert fit.slope_gain[0] == pytest.approx(np.linalg.norm(slope_weights), rel=1e-10)


@pytest.mark.parametrize(("n", "gain"), [(3, 0.7071), (5, 0.3162), (7, 0.1890)])
def test_slope_of_a_straight_line_lets_through_what_the_books_say(n, gain):
    # σ√(12 / (n(n² − 1))) / Δt, textbook formula of the slope of a regression line
    times_s = np.arange(20) / RATE_HZ
    fit = local_fit(
        times_s, np.zeros(20), times_s[10:11], half_width_s=(n // 2) / RATE_HZ, degree=1
    )
    # printed to four decimals: half of the last
    assert fit.slope_gain[0] / RATE_HZ == pytest.approx(gain, abs=5e-5)


# ------------------------------------------------------------------------------------ exactness


@given(
    st.lists(st.floats(-3.0, 3.0), min_size=4, max_size=4),
    st.integers(0, 5),
)
def test_polynomials_of_the_fitted_degree_come_back_exactly(coefficients, seed):
    times_s = _uneven_times(seed)
    course = np.polynomial.Polynomial(coefficients)
    at_s = np.linspace(times_s[0], times_s[-1], 37)[1:-1]
    fit = local_fit(times_s, course(times_s), at_s, half_width_s=0.08, degree=3)
    # values up to some 3, condition of the one-sided windows at the ends about 1e7
    assert fit.value == pytest.approx(course(at_s), abs=1e-7)
    assert fit.slope == pytest.approx(course.deriv()(at_s), abs=1e-5)


def test_scale_and_shift_of_samples_and_of_time():
    times_s, samples = _uneven_times(), np.random.default_rng(3).normal(size=200)
    at_s = times_s[20:-20] + 0.3 / RATE_HZ
    fit = local_fit(times_s, samples, at_s, half_width_s=0.05)
    scaled = local_fit(times_s, -4.0 * samples + 100.0, at_s, half_width_s=0.05)
    # ten digits of numbers around a hundred
    assert scaled.value == pytest.approx(-4.0 * fit.value + 100.0, abs=1e-8)
    assert scaled.slope == pytest.approx(-4.0 * fit.slope, abs=1e-6)
    assert scaled.slope_gain == pytest.approx(fit.slope_gain)
    # a clip that shows the same motion eight times slower
    slow = local_fit(8.0 * times_s, samples, 8.0 * at_s, half_width_s=0.4)
    assert slow.value == pytest.approx(fit.value, abs=1e-9)
    assert 8.0 * slow.slope == pytest.approx(fit.slope, abs=1e-6)


def test_time_run_backwards_turns_the_slope_round():
    times_s, samples = _uneven_times(), np.random.default_rng(4).normal(size=200)
    at_s = times_s[20:-20]
    fit = local_fit(times_s, samples, at_s, half_width_s=0.05)
    back = local_fit(-times_s[::-1], samples[::-1], -at_s[::-1], half_width_s=0.05)
    assert back.value[::-1] == pytest.approx(fit.value, abs=1e-9)
    assert -back.slope[::-1] == pytest.approx(fit.slope, abs=1e-6)


# ----------------------------------------------------------------------------------- noise gain


def test_stated_gain_against_monte_carlo_on_uneven_times_with_gaps():
    rng = np.random.default_rng(5)
    times_s = _uneven_times()
    is_seen = rng.random(200) > 0.2
    # inside, beside the first sample, and just before the last
    at_s = np.array([times_s[100], times_s[60] + 0.001, times_s[is_seen][1], times_s[is_seen][-2]])
    u, n_repeats = 0.004, 3000
    runs = []
    for _ in range(n_repeats):
        samples = np.where(is_seen, rng.normal(0.0, u, 200), np.nan)
        runs.append(local_fit(times_s, samples, at_s, half_width_s=0.07))
    for value, gain in (("value", "value_gain"), ("slope", "slope_gain")):
        spread = np.std([getattr(run, value) for run in runs], axis=0, ddof=1)
        # a standard deviation of 3000 repeats is known to 1/√6000 = 1.3 %; three times that
        assert spread == pytest.approx(u * getattr(runs[0], gain), rel=0.04)


# ------------------------------------------------------------------------------- gaps and edges


def test_gaps_are_left_out_and_not_filled():
    times_s = _uneven_times()
    course = np.polynomial.Polynomial([0.2, 1.0, -3.0, 2.0])
    samples = course(times_s)
    samples[90:96] = np.nan
    with_gap = local_fit(times_s, samples, times_s[93:94], half_width_s=0.06)
    assert with_gap.slope == pytest.approx(course.deriv()(times_s[93:94]), abs=1e-7)
    keep = np.isfinite(samples)
    without = local_fit(times_s[keep], samples[keep], times_s[93:94], half_width_s=0.06)
    assert with_gap.value == without.value
    assert with_gap.slope_gain == without.slope_gain


def test_nothing_is_extrapolated():
    times_s = np.arange(30) / RATE_HZ
    outside = np.array([times_s[0] - 0.001, times_s[0], times_s[-1], times_s[-1] + 0.001])
    fit = local_fit(times_s, np.ones(30), outside, half_width_s=0.05)
    assert np.all(np.isnan([fit.value, fit.slope, fit.value_gain, fit.slope_gain]))
    inside = local_fit(times_s, np.ones(30), times_s[[1, -2]], half_width_s=0.05)
    assert np.all(np.isfinite(inside.slope))


@pytest.mark.parametrize(("n_samples", "is_enough"), [(4, False), (5, True)])
def test_a_cubic_asks_for_five_samples(n_samples, is_enough):
    times_s = np.arange(n_samples) / RATE_HZ
    fit = local_fit(times_s, times_s, times_s[2:3], half_width_s=1.0, degree=3)
    assert np.isfinite(fit.slope[0]) == is_enough


def test_window_includes_samples_on_its_rim():
    # 12 frames are 0.05 s: rounding of the times must not drop the outermost pair
    times_s = np.arange(200) / RATE_HZ
    fits = [
        local_fit(times_s, times_s, times_s[row : row + 1], half_width_s=12 / RATE_HZ).slope_gain
        for row in range(20, 180)
    ]
    assert np.ptp(fits) < 1e-6 * np.mean(fits)  # a sample less changes it by 6 %


def test_no_samples_no_instants_no_answer():
    times_s = np.arange(10) / RATE_HZ
    nothing = local_fit(times_s, np.full(10, np.nan), times_s[4:6], half_width_s=0.05)
    assert np.all(np.isnan(nothing.value))
    assert np.all(np.isnan(nothing.slope_gain))
    assert isinstance(local_fit(times_s, times_s, np.zeros(0), half_width_s=0.05), LocalFit)
    unknown = local_fit(times_s, times_s, np.array([np.nan]), half_width_s=0.05)
    assert np.isnan(unknown.slope[0])


@pytest.mark.parametrize(
    ("half_width_s", "is_slope", "cut_off_hz"), [(0.07, True, 9.1), (0.04, False, 13.5)]
)
def test_the_cut_offs_that_are_stated_are_the_measured_ones(half_width_s, is_slope, cut_off_hz):
    # At the cut-off of a low-pass an oscillation keeps 1/√2 of its size.
    times_s = np.arange(-60, 61) / 240.0
    turning = 2.0 * np.pi * cut_off_hz
    fit = local_fit(
        times_s,
        np.sin(turning * times_s) if is_slope else np.cos(turning * times_s),
        np.zeros(1),
        half_width_s=half_width_s,
    )
    kept = fit.slope[0] / turning if is_slope else fit.value[0]
    # The frequency is stated to 0.1 Hz, over which the gain changes by 0.007.
    assert kept == pytest.approx(np.sqrt(0.5), abs=0.01)


def test_only_what_noise_does_not_explain_is_smoothing():
    # 0.3 and 0.5 leave √(0.5² − 0.3²) = 0.4 for noise
    u = u_of_smoothing(np.array([0.5, 0.4, 1.0, np.nan]), 0.5, 0.3, margin=1.0, factor=2.0)
    np.testing.assert_allclose(u, [2.0 * 0.3, 0.0, 2.0 * np.sqrt(0.84), 0.0], atol=1e-7)
    assert u_of_smoothing(0.9, 0.5, 0.3, margin=2.5, factor=2.0) == 0.0
