"""The field's sizes against the rule book: Official Baseball Rules (OBR), in feet and inches."""

from __future__ import annotations

import pytest

from deliverylab.core.vocabulary.field import (
    BY_KEY,
    FIELDS,
    MOUND_SLOPE,
    SLOPE_START_M,
)


def _m(feet=0.0, inches=0.0):
    return (feet * 12 + inches) * 0.0254


@pytest.mark.parametrize(
    ("key", "rubber_in", "distance", "height_in"),
    [
        # OBR 2.04: a slab 24 by 6 inches, 60 feet 6 inches from the rear point of home base;
        # OBR 2.01: its top 10 inches above home base
        ("baseball", (24, 6), (60, 6), 10),
        # field guides of youth leagues: 50 and 46 feet
        ("youth-50", (24, 6), (50, 0), 8),
        ("youth-46", (18, 4), (46, 0), 6),
        # softball: 43 and 40 feet, on the flat
        ("softball-43", (24, 6), (43, 0), 0),
        ("softball-40", (24, 6), (40, 0), 0),
    ],
)
def test_sizes_are_those_of_the_rules(key, rubber_in, distance, height_in):
    size = BY_KEY[key]
    assert size.rubber_width_m == pytest.approx(_m(inches=rubber_in[0]), abs=1e-12)
    assert size.rubber_depth_m == pytest.approx(_m(inches=rubber_in[1]), abs=1e-12)
    assert size.pitching_distance_m == pytest.approx(_m(*distance), abs=1e-9)
    assert size.rubber_height_m == pytest.approx(_m(inches=height_in), abs=1e-12)
    assert size.source


def test_the_metric_values_of_the_large_field():
    # 60 ft 6 in = 18.4404 m; 24 x 6 in = 0.6096 x 0.1524 m; 10 in = 0.2540 m
    size = BY_KEY["baseball"]
    assert size.pitching_distance_m == pytest.approx(18.4404, abs=5e-5)
    assert (size.rubber_width_m, size.rubber_depth_m) == pytest.approx((0.6096, 0.1524))


def test_the_mound_falls_as_the_rules_say():
    # OBR 2.01: from 6 inches in front of the plate, 1 inch a foot, for 6 feet
    assert pytest.approx(1 / 12) == MOUND_SLOPE
    assert pytest.approx(0.1524) == SLOPE_START_M


def test_keys_are_unique():
    assert len(BY_KEY) == len(FIELDS)
