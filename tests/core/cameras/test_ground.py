from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.ground import MOUND_HEIGHT_M, ground_height_m


def test_slope_of_the_rule_book():
    # Official Baseball Rules 2.01: level to 6 in ahead of the rubber, then 1 in a foot
    assert ground_height_m([0.0, 0.1524]) == pytest.approx([0.0, 0.0], abs=1e-12)
    assert float(ground_height_m(1.5)) == pytest.approx(-(1.5 - 0.1524) / 12)
    assert float(ground_height_m(0.1524 + 1.8288)) == pytest.approx(-0.1524)


def test_field_lies_ten_inches_below_the_rubber():
    x = np.array([5.0, 18.44, -4.0, 0.5])
    y = np.array([0.0, 0.0, 0.0, 4.0])
    assert ground_height_m(x, y) == pytest.approx(-0.254)
    assert pytest.approx(0.254) == MOUND_HEIGHT_M


def test_mound_has_no_steps():
    for y in (0.0, 0.9, 1.6):
        heights = ground_height_m(np.linspace(-3.0, 4.0, 7001), y)
        assert np.max(np.abs(np.diff(heights))) < 0.001


def test_a_flat_field_is_flat_and_a_low_mound_ends_at_its_height():
    x = np.linspace(-3.0, 6.0, 50)
    assert ground_height_m(x, 0.3, 0.0) == pytest.approx(0.0)
    assert float(ground_height_m(1.5, 0.0, 0.1)) == pytest.approx(-0.1)
