from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import CubicSpline
from scipy.signal import butter

from deliverylab.core.errors import InputValueError
from deliverylab.core.numerics.derivatives import first_derivative
from deliverylab.core.numerics.filters import (
    butterworth_coefficients,
    derivative_gain,
    even_rate_hz,
    low_pass,
    n_unreliable,
    noise_gains,
    pass_correction,
    residual_gain,
    runs,
    shortest_run,
    zero_lag_gain,
)

# --------------------------------------------------------------------------- published figures


@pytest.mark.parametrize(("n_passes", "c"), [(1, 1.0), (2, 0.802243), (3, 0.714020), (4, 0.659530)])
def test_correction_for_the_number_of_passes(n_passes, c):
    # (2^(1/n) − 1)^(1/4), Robertson & Dowling 2003, J Electromyogr Kinesiol 13:569-573
    assert pass_correction(n_passes) == pytest.approx(c, abs=5e-7)


@pytest.mark.parametrize(
    ("cutoff_hz", "rate_hz", "a0", "a1", "b1", "b2"),
    [
        # Winter's formulas worked out for these pairs; Winter prints a0 = .09446 for the first
        (6, 60, 0.094447, 0.188893, 0.962641, -0.340428),
        (10, 100, 0.094447, 0.188893, 0.962641, -0.340428),
        (6, 100, 0.040595, 0.081189, 1.354749, -0.517128),
        (13, 120, 0.107110, 0.214220, 0.885229, -0.313670),
        (13.4, 240, 0.035852, 0.071705, 1.397562, -0.540972),
        (10, 240, 0.021390, 0.042781, 1.545768, -0.631329),
        (18, 240, 0.059200, 0.118400, 1.203676, -0.440476),
    ],
)
def test_coefficients_to_the_printed_digits(cutoff_hz, rate_hz, a0, a1, b1, b2):
    b, a = butterworth_coefficients(cutoff_hz, rate_hz)
    # six decimals: half of the last, and a1 is twice a rounded a0
    assert b == pytest.approx([a0, a1, a0], abs=1e-6)
    assert a == pytest.approx([1.0, -b1, -b2], abs=1e-6)


def test_a_single_pass_is_the_textbook_filter():
    # printed for 5 Hz at 100 Hz in a public teaching notebook of biomechanics
    b, a = butterworth_coefficients(5.0, 100.0, n_passes=1)
    assert b == pytest.approx([0.02008337, 0.04016673, 0.02008337], abs=5e-9)
    assert a == pytest.approx([1.0, -1.56101808, 0.64135154], abs=5e-9)
    for mine, scipys in zip((b, a), butter(2, 0.1), strict=True):
        assert mine == pytest.approx(scipys, abs=1e-12)


# ---------------------------------------------------------------------------- what the gain is


@pytest.mark.parametrize("rate_hz", [25.0, 30.0, 59.94, 120.0, 240.0, 960.0])
@pytest.mark.parametrize("cutoff_hz", [4.0, 8.0, 12.0])
@pytest.mark.parametrize("n_passes", [2, 4])
def test_gain_at_the_cutoff_is_the_same_at_every_rate(rate_hz, cutoff_hz, n_passes):
    gain = zero_lag_gain(np.array([0.0, cutoff_hz]), rate_hz, cutoff_hz, n_passes)
    assert gain == pytest.approx([1.0, 0.5**0.5], abs=1e-9)


@pytest.mark.parametrize(("cutoff_hz", "rate_hz"), [(6.0, 30.0), (6.0, 60.0), (14.0, 240.0)])
def test_a_filtered_sine_has_that_gain_and_no_lag(cutoff_hz, rate_hz):
    times_s = np.arange(int(20.0 * rate_hz)) / rate_hz
    wave = np.sin(2.0 * np.pi * cutoff_hz * times_s + 0.3)
    inner = slice(int(5 * rate_hz), int(15 * rate_hz))
    smooth = low_pass(wave, rate_hz, cutoff_hz)[inner]
    # 0.7071 within 0.001
    assert smooth == pytest.approx(wave[inner] * 0.5**0.5, abs=1e-3)


def test_noise_gains_against_noise():
    noise = np.random.default_rng(1).normal(size=100_000)
    for rate_hz, cutoff_hz in ((240.0, 14.0), (60.0, 12.0)):
        value_gain, slope_gain = noise_gains(rate_hz, cutoff_hz)
        smooth = low_pass(noise, rate_hz, cutoff_hz)
        slope = first_derivative(np.arange(len(noise)) / rate_hz, smooth).value[1:-1]
        # 100 000 samples, of which some 10 000 are independent: 1 % is 1.4 standard deviations
        assert np.std(smooth) == pytest.approx(value_gain, rel=0.02)
        assert np.std(slope) == pytest.approx(slope_gain, rel=0.02)
        assert np.std(noise - smooth) == pytest.approx(residual_gain(rate_hz, cutoff_hz), rel=0.02)


def test_derivative_gains_against_noise_read_between_frames():
    rate_hz, cutoff_hz = 120.0, 20.0
    noise = np.random.default_rng(3).normal(size=50_000)
    spline = CubicSpline(np.arange(len(noise)) / rate_hz, low_pass(noise, rate_hz, cutoff_hz))
    at_s = np.arange(100.0, 300.0, 0.0113)
    for order in (0, 1):
        # 24 000 samples of which some 5 000 are independent; a spline follows 20 Hz to a per cent
        assert np.std(spline(at_s, order)) == pytest.approx(
            derivative_gain(rate_hz, cutoff_hz, order), rel=0.03
        )
    # between frames nothing is lost to the difference of neighbours
    assert derivative_gain(rate_hz, cutoff_hz, 1) > noise_gains(rate_hz, cutoff_hz)[1]


# ------------------------------------------------------------------------------- gaps and ends


def test_each_run_is_filtered_by_itself_and_gaps_stay_gaps():
    rng = np.random.default_rng(2)
    samples = rng.normal(size=(200, 2))
    samples[80:84] = np.nan
    samples[150, 1] = np.nan  # one coordinate missing is a gap of the point
    smooth = low_pass(samples, 240.0, 14.0)
    assert np.array_equal(
        np.isnan(smooth).any(axis=1), np.isin(np.arange(200), [80, 81, 82, 83, 150])
    )
    assert smooth[84:150] == pytest.approx(low_pass(samples[84:150], 240.0, 14.0))
    assert [(run.start, run.stop) for run in runs(samples)] == [(0, 80), (84, 150), (151, 200)]


def test_a_run_that_is_too_short_carries_no_value():
    n = shortest_run(240.0, 14.0)
    assert np.isnan(low_pass(np.arange(float(n - 1)), 240.0, 14.0)).all()
    assert np.isfinite(low_pass(np.arange(float(n)), 240.0, 14.0)).all()
    assert low_pass(np.zeros(0), 240.0, 14.0).shape == (0,)


@pytest.mark.parametrize(("rate_hz", "cutoff_hz"), [(60.0, 8.0), (120.0, 14.0), (240.0, 12.0)])
def test_what_the_padding_gets_wrong_is_gone_beyond_the_unreliable_part(rate_hz, cutoff_hz):
    # a step stands for padding that is wrong by 1 from the end on
    step = np.zeros(2000)
    step[:1000] = 1.0
    share = np.abs(low_pass(step, rate_hz, cutoff_hz)[1000:])
    n = n_unreliable(rate_hz, cutoff_hz)
    assert share[n:].max() < 0.05
    assert share[0] > 0.2


def test_straight_courses_come_back_exactly_to_the_ends():
    line = 3.0 + 0.7 * np.arange(60.0)
    # the padding continues value and slope: only rounding is left
    assert low_pass(line, 120.0, 12.0) == pytest.approx(line, abs=1e-9)


def test_turning_the_time_round_turns_the_result_round():
    # exactly so but for the start-up of the first pass within the padding
    samples = np.cumsum(np.random.default_rng(3).normal(size=300))
    smooth, turned = low_pass(samples, 240.0, 14.0), low_pass(samples[::-1], 240.0, 14.0)[::-1]
    assert smooth[40:-40] == pytest.approx(turned[40:-40], abs=1e-4)


# ---------------------------------------------------------------------------------- what is refused


@pytest.mark.parametrize("cutoff_hz", [0.0, -1.0, 30.0, 40.0])
def test_a_cutoff_above_half_the_rate_is_refused(cutoff_hz):
    with pytest.raises(InputValueError, match="half the frame rate"):
        butterworth_coefficients(cutoff_hz, 60.0)


@pytest.mark.parametrize("n_passes", [0, 1, 3])
def test_passes_that_would_lag_are_refused(n_passes):
    with pytest.raises(InputValueError, match="pairs"):
        low_pass(np.zeros(50), 60.0, 6.0, n_passes)


def test_even_times_have_a_rate_and_uneven_ones_are_refused():
    assert even_rate_hz(np.arange(50) / 29.97) == pytest.approx(29.97)
    # stamps rounded to milliseconds are still even
    assert even_rate_hz(np.round(np.arange(600) / 60.0, 3)) == pytest.approx(60.0, abs=0.01)
    for times_s in ([], [0.0], [0.0, 0.1, 0.05], [0.0, 0.1, 0.2, 0.4]):
        with pytest.raises(InputValueError, match="evenly spaced"):
            even_rate_hz(np.array(times_s))
