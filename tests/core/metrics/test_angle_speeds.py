from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.angle_speeds import (
    ANGLE_SPEEDS,
    HALF_WIDTH_S,
    angle_speed_curve,
    slope_with_u,
)
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.curves import CURVE_METRICS, Curve
from deliverylab.core.metrics.rates import BY_KEY as BANDS
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.timing import Timing
from deliverylab.core.numerics.local_fit import local_fit

replace = msgspec.structs.replace


def test_every_speed_is_of_an_angle_with_a_course_and_of_a_band():
    for speed in ANGLE_SPEEDS.values():
        assert speed.angle in CURVE_METRICS
        assert BY_KEY[speed.angle].unit == "deg"
        assert speed.band in BANDS


def test_the_trunks_speed_is_the_figures(side):
    curve = angle_speed_curve(side.delivery, "trunk_forward_tilt_speed")
    assert isinstance(curve, Curve)
    at = side.truth.events
    inside = (curve.times_s > at["foot_contact"]) & (curve.times_s < at["release"])
    step_s = 2e-3
    after, before = (
        BY_KEY["trunk_forward_tilt"].measure(side.true_pose(curve.times_s[inside] + shift))
        for shift in (step_s, -step_s)
    )
    truth = (after - before) / (2.0 * step_s)
    # without noise what is left is smoothing, which u holds for most of the course
    off = np.abs(curve.values[inside] - truth)
    assert np.mean(off <= 2.0 * curve.u[inside] + 15.0) > 0.9
    assert np.max(truth) > 100.0
    assert curve.unit == "deg/s"


def test_straightening_is_positive(side):
    knee = angle_speed_curve(side.delivery, "lead_knee_extension_speed")
    at = side.truth.events
    late = (knee.times_s > at["full_layback"]) & (knee.times_s < at["release"])
    # the figure's lead knee goes from 44 to 38 degrees between layback and release
    assert np.nanmean(knee.values[late]) > 0.0


def test_a_slow_clip_or_a_wrong_view_says_why_there_is_no_speed(side, rear):
    camera = side.delivery.cameras[0]
    slow = Timing(n_frames=camera.timing.n_frames, stored_rate="60")
    marks = {key: replace(mark, time_s=4.0 * mark.time_s) for key, mark in camera.marks.items()}
    delivery = replace(side.delivery, cameras=(replace(camera, timing=slow, marks=marks),))
    absence = angle_speed_curve(delivery, "lead_knee_extension_speed")
    assert isinstance(absence, Absence)
    assert "60 frames a second are too few; 120" in absence.reason
    assert isinstance(angle_speed_curve(rear.delivery, "trunk_forward_tilt_speed"), Absence)


def test_stated_u_against_noise_on_uneven_times():
    rng = np.random.default_rng(1)
    times_s = np.cumsum(rng.uniform(0.6, 1.4, 160)) / 240.0
    truth = 30.0 * np.sin(2.0 * np.pi * 1.5 * times_s)
    true_slope = 30.0 * 2.0 * np.pi * 1.5 * np.cos(2.0 * np.pi * 1.5 * times_s)
    drawn = [slope_with_u(times_s, truth + rng.normal(0.0, 2.0, 160)) for _ in range(200)]
    slopes, u = (np.array(each)[:, 20:-20] for each in zip(*drawn, strict=True))
    off = slopes - true_slope[20:-20]
    # Of a slow course the windows differ by noise alone: u errs to the large side, not to double.
    assert np.mean(np.abs(off) <= 2.0 * u) > 0.95
    assert 1.0 < np.sqrt(np.mean(u**2)) / np.std(off) < 2.0


def test_a_course_without_enough_samples_has_no_slope():
    slope, u = slope_with_u(np.arange(4.0), np.arange(4.0))
    assert np.isnan(slope).all()
    assert np.isnan(u).all()


@pytest.mark.parametrize("rate_hz", [120.0, 240.0, 480.0])
def test_the_window_passes_what_its_docstring_says(rate_hz):
    times_s = np.arange(int(2.0 * rate_hz)) / rate_hz
    omega = 2.0 * np.pi * 12.7
    fit = local_fit(
        times_s, np.sin(omega * times_s), np.linspace(0.8, 1.2, 200), half_width_s=HALF_WIDTH_S
    )
    share = np.sqrt(2.0 * np.mean(fit.slope**2)) / omega
    assert share == pytest.approx(0.5**0.5, abs=0.04)
