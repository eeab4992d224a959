from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import make_smoothing_spline

from deliverylab.core.numerics.smoothing_spline import smoothing_spline

GAP_S = 0.1


def _uneven_times(n=80, seed=1):
    return np.cumsum(np.random.default_rng(seed).uniform(0.5, 1.5, n)) / 120.0


def test_against_the_library_where_there_is_no_gap():
    times_s = _uneven_times()
    samples = np.sin(9.0 * times_s) + np.random.default_rng(2).normal(0.0, 0.05, len(times_s))
    at_s = np.linspace(times_s[0], times_s[-1], 50)
    fit = smoothing_spline(times_s, samples, at_s, max_gap_s=GAP_S)
    spline = make_smoothing_spline(times_s, samples)
    assert fit.value == pytest.approx(spline(at_s))
    assert fit.slope == pytest.approx(spline(at_s, 1))
    assert fit.curvature == pytest.approx(spline(at_s, 2))


def test_noise_gains_against_noise_at_the_stiffness_chosen():
    times_s = _uneven_times()
    truth = np.sin(9.0 * times_s)
    at_s = np.linspace(times_s[0], times_s[-1], 12)
    rng = np.random.default_rng(3)
    sigma = 0.05
    fits = [
        smoothing_spline(times_s, truth + rng.normal(0.0, sigma, 80), at_s, max_gap_s=GAP_S)
        for _ in range(40)
    ]
    for of, gain in (("value", "value_gain"), ("slope", "slope_gain")):
        spread = np.std([getattr(fit, of) for fit in fits], axis=0)
        stated = sigma * np.mean([getattr(fit, gain) for fit in fits], axis=0)
        # 40 draws know a spread to 11 %; the stiffness, chosen anew each time, adds some 10 %
        assert np.median(spread / stated) == pytest.approx(1.05, abs=0.2)
        assert spread / stated == pytest.approx(1.1, abs=0.45)
    assert np.mean([fit.scatter for fit in fits]) == pytest.approx(sigma, rel=0.06)


def test_gaps_stay_gaps_and_nothing_is_extrapolated():
    times_s = np.arange(100) / 60.0
    samples = np.sin(times_s)
    samples[40:55] = np.nan
    samples[10] = np.nan  # one frame is bridged
    fit = smoothing_spline(times_s, samples, times_s, max_gap_s=GAP_S)
    assert np.flatnonzero(np.isnan(fit.value)).tolist() == list(range(40, 55))
    beyond = smoothing_spline(times_s, samples, np.array([-0.1, 2.0]), max_gap_s=GAP_S)
    assert np.isnan([beyond.value, beyond.slope, beyond.curvature, beyond.slope_gain]).all()


def test_too_few_samples_carry_nothing():
    fit = smoothing_spline(np.arange(5.0), np.arange(5.0), np.array([2.0]), max_gap_s=2.0)
    assert np.isnan(fit.value).all()
    assert np.isnan(fit.scatter)


def test_a_straight_line_comes_back():
    times_s = _uneven_times()
    fit = smoothing_spline(times_s, 2.0 - 3.0 * times_s, times_s, max_gap_s=GAP_S)
    assert fit.value == pytest.approx(2.0 - 3.0 * times_s, abs=1e-6)
    assert fit.slope == pytest.approx(-3.0, abs=1e-4)
    assert np.isfinite(fit.slope_gain).all()
