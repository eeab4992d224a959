from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.ground import ground_height_m
from deliverylab.core.synthetic.scene import (
    STICK_RADIUS_M,
    LaidCone,
    lying_stick,
    plate_corners_m,
    rubber_corners_m,
)


def test_rubber_and_plate_have_the_rule_book_s_sizes():
    rubber = rubber_corners_m()
    sides = np.linalg.norm(np.roll(rubber, -1, axis=0) - rubber, axis=1)
    # Official Baseball Rules 2.04: 24 x 6 in
    assert sides == pytest.approx([0.6096, 0.1524, 0.6096, 0.1524])
    plate = plate_corners_m()
    sides = np.linalg.norm(np.roll(plate, -1, axis=0) - plate, axis=1)
    # 2.02: 17, 8 1/2, 12 in; the closing sides are 12.02 in when the others are exact
    assert sides / 0.0254 == pytest.approx([17.0, 8.5, 12.02, 12.02, 8.5], abs=0.005)
    # 2.04: 60 ft 6 in to the rear point
    assert plate[:, 0].max() == pytest.approx(18.4404)


def test_stick_has_its_length_and_lies_on_the_slope():
    stick = lying_stick((2.0, 0.0), (1.0, 0.0), 1.0)
    assert stick.length_m == pytest.approx(1.0, abs=1e-12)
    ends = stick.ends_m
    above = ends[:, 2] - ground_height_m(ends[:, 0], ends[:, 1])
    assert above == pytest.approx(STICK_RADIUS_M, abs=0.002)
    assert ends[:, 1] == pytest.approx(0.0)


def test_a_cone_s_foot_is_on_the_ground():
    foot = LaidCone(key="cone_left", x_m=2.01, y_m=0.79).foot_m
    assert foot == pytest.approx([2.01, 0.79, float(ground_height_m(2.01, 0.79))])
    assert foot[2] < -0.1  # down the slope from the rubber
