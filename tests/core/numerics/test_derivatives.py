from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.numerics.derivatives import first_derivative, second_derivative


def _uneven_times():
    return np.cumsum(np.random.default_rng(1).uniform(0.5, 1.5, 60)) / 240.0


def test_parabolas_are_exact_on_uneven_times():
    times_s = _uneven_times()
    samples = 2.0 - 3.0 * times_s + 5.0 * times_s**2
    first, second = first_derivative(times_s, samples), second_derivative(times_s, samples)
    # twelve digits of samples, divided by steps of 4 ms once and twice
    assert first.value[1:-1] == pytest.approx(-3.0 + 10.0 * times_s[1:-1], abs=1e-9)
    assert second.value[1:-1] == pytest.approx(10.0, abs=1e-6)
    for derivative in (first, second):
        assert np.isnan(derivative.value[[0, -1]]).all()
        assert np.isnan(derivative.gain[[0, -1]]).all()


@pytest.mark.parametrize(
    ("rate_hz", "speed_m_s", "acceleration_m_s2"),
    # σ√2/(2Δt) and σ√6/Δt² for points placed to 5 mm, worked out
    [(30.0, 0.106, 11.0), (60.0, 0.212, 44.0), (120.0, 0.424, 176.0), (240.0, 0.849, 706.0)],
)
def test_noise_of_speed_and_acceleration(rate_hz, speed_m_s, acceleration_m_s2):
    times_s = np.arange(5) / rate_hz
    first, second = (f(times_s, np.zeros(5)) for f in (first_derivative, second_derivative))
    # printed to three digits
    assert 0.005 * first.gain[2] == pytest.approx(speed_m_s, abs=5e-4)
    assert 0.005 * second.gain[2] == pytest.approx(acceleration_m_s2, rel=3e-3)


def test_gains_on_uneven_times_against_noise():
    times_s = _uneven_times()
    rng = np.random.default_rng(2)
    for function in (first_derivative, second_derivative):
        drawn = np.array([function(times_s, rng.normal(size=60)).value for _ in range(4000)])
        ratio = np.std(drawn[:, 1:-1], axis=0) / function(times_s, np.zeros(60)).gain[1:-1]
        # 4000 draws know a standard deviation to 1.1 %; the largest of 58 is within 3.5 of that
        assert ratio == pytest.approx(1.0, abs=0.045)


def test_beside_a_gap_there_is_no_derivative():
    samples = np.arange(10.0)
    samples[4] = np.nan
    first = first_derivative(np.arange(10.0), samples)
    assert np.flatnonzero(np.isfinite(first.value)).tolist() == [1, 2, 6, 7, 8]
    assert np.array_equal(np.isfinite(first.value), np.isfinite(first.gain))
    assert np.isnan(second_derivative(np.arange(2.0), np.arange(2.0)).value).all()


def test_hip_speed_of_a_walk():
    # Winter's gait table A.1, forward place of the hip (cm) and time (s) in frames 1 and 106, 28
    # and 50, as printed in Biomechanics and Motor Control of Human Movement.
    whole = np.diff([0.4494, 2.6092]) / np.diff([0.0, 1.501])
    assert whole[0] == pytest.approx(1.4389, abs=5e-5)
    times_s, hip_m = np.array([0.0, 0.386, 0.701]), np.array([0.4494, 1.0153, 1.4402])
    # a parabola through three printed rows: the walk's mean speed within its swing of ± 0.3 m/s
    assert first_derivative(times_s, hip_m).value[1] == pytest.approx(1.4389, abs=0.3)
