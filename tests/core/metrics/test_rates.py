from __future__ import annotations

import pytest

from deliverylab.core.metrics.catalogue import METRICS
from deliverylab.core.metrics.rates import BANDS, BY_KEY, band_of
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS


def test_bands_from_slow_to_fast_each_with_its_source():
    assert [band.cutoff_hz for band in BANDS] == [8.0, 12.0, 14.0, 20.0]
    assert [band.speed_rate_hz for band in BANDS] == sorted(band.speed_rate_hz for band in BANDS)
    for band in BANDS:
        assert band.source
        # sampled at least twice a period of the cut-off, or there is nothing to filter
        assert band.speed_rate_hz > 2.0 * band.cutoff_hz


def test_every_landmark_has_one_band():
    for key in LANDMARK_KEYS:
        part = key.removeprefix("left_").removeprefix("right_")
        assert sum(part in band.landmarks for band in BANDS) == (0 if key == "ball" else 1)
    assert band_of("left_knee").key == band_of("right_toe").key == "knee"
    assert band_of("right_hand").key == band_of("ball").key == "arm"


@pytest.mark.parametrize(
    ("metric", "band"),
    [
        ("com_forward_speed", "mass_centre"),
        ("peak_pelvis_speed", "trunk"),
        ("peak_shoulder_line_speed", "trunk"),
        ("peak_elbow_extension_speed", "arm"),
    ],
)
def test_metrics_of_speed_ask_for_the_rate_of_their_band(metric, band):
    spec = {spec.key: spec for spec in METRICS}[metric]
    assert spec.min_rate_hz == BY_KEY[band].speed_rate_hz
