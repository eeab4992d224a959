from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.curves import metric_curve
from deliverylab.core.report.courses import SHOWN_PHASES, chosen_chart
from deliverylab.core.units import MPH_M_S

replace = msgspec.structs.replace


def test_without_a_clear_difference_the_most_telling_course_is_shown(athlete, model):
    chart = chosen_chart(athlete, model, [], "metric")
    assert chart.title == "Upper body lean"
    assert chart.symbol == "°"


def test_the_clearest_difference_with_a_course_chooses(athlete, model, make_difference):
    found = [
        make_difference("stride_length", "", 70.0, 85.0, rank=1),
        make_difference("lead_knee_flexion", "release", 70.0, 30.0, rank=2),
        make_difference("trunk_forward_tilt", "release", 20.0, 40.0, rank=3),
    ]
    assert chosen_chart(athlete, model, found, "metric").title == "Front knee bend"


def test_the_series_are_on_the_phase_scale_with_u(athlete, model):
    series = chosen_chart(athlete, model, [], "metric").athlete
    known = series.phase[np.isfinite(series.phase)]
    assert np.all(np.diff(known) > 0)
    assert SHOWN_PHASES[0] <= known[0] < 0.0
    assert known[-1] > 200.0
    assert known[-1] <= SHOWN_PHASES[1]
    curve = metric_curve(athlete, "trunk_forward_tilt")
    assert np.nanmin(series.expanded_u) == pytest.approx(2.0 * curve.u.min())
    at_release = np.interp(200.0, series.phase, series.value)
    release_s = athlete.cameras[0].marks["release"].time_s
    assert at_release == pytest.approx(np.interp(release_s, curve.times_s, curve.values), abs=0.5)


def test_speeds_are_in_the_readers_units(athlete, model, make_difference):
    found = [make_difference("com_forward_speed", "leg_lift", 1.0, 0.1, u=0.01, rank=1)]
    metric = chosen_chart(athlete, model, found, "metric")
    imperial = chosen_chart(athlete, model, found, "imperial")
    assert (metric.symbol, imperial.symbol) == ("m/s", "mph")
    ratio = metric.athlete.value / imperial.athlete.value
    assert np.nanmedian(ratio) == pytest.approx(MPH_M_S)


def test_a_long_gap_interrupts_the_line(athlete, model):
    camera = athlete.cameras[0]
    tracks = {
        key: track.updated(dict.fromkeys(range(60, 80))) for key, track in camera.tracks.items()
    }
    gappy = replace(athlete, cameras=(replace(camera, tracks=tracks),))
    series = chosen_chart(gappy, model, [], "metric").athlete
    assert np.isnan(series.value).any()
    assert np.array_equal(np.isnan(series.value), np.isnan(series.phase))


def test_without_shared_course_or_alignment_there_is_no_chart(athlete, model):
    camera = athlete.cameras[0]
    for changed in (replace(camera, tracks={}), replace(camera, marks={})):
        assert chosen_chart(replace(athlete, cameras=(changed,)), model, [], "metric") is None
