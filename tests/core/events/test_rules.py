from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.events.rules import (
    ARM_HALF_WIDTH_S,
    LEG_HALF_WIDTH_S,
    SPREADS,
    Spread,
)
from deliverylab.core.metrics.rates import band_of
from deliverylab.core.numerics.local_fit import local_fit


def test_the_larger_of_two_spreads_counts():
    assert Spread(0.002, 0.007).u_s == 0.007
    assert Spread(0.010, 0.007).u_s == 0.010
    assert Spread(None, 0.007).u_s == 0.007


def test_no_rule_is_held_for_surer_than_a_millisecond():
    assert all(spread.u_s >= 0.001 for spread in SPREADS.values())


@pytest.mark.parametrize(
    ("landmark", "half_width_s"), [("left_hand", ARM_HALF_WIDTH_S), ("left_heel", LEG_HALF_WIDTH_S)]
)
def test_the_windows_pass_what_the_usual_cut_offs_pass(landmark, half_width_s):
    # a cubic's weights depend on how many samples the window holds, so the gain is not exact
    hz = band_of(landmark).cutoff_hz
    times_s = np.arange(2000) / 1000.0
    wave = np.cos(2.0 * np.pi * hz * (times_s - 1.0))
    fit = local_fit(times_s, wave, np.array([1.0]), half_width_s=half_width_s)
    assert fit.value[0] == pytest.approx(0.707, abs=0.04)
